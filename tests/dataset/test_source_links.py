"""Patterns and folders with links, pipes and folders that may not be entered."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from extract.dataset.item import load
from extract.dataset.pattern import matches
from extract.dataset.source import open_source
from extract.errors import InputError

TALK = "[0:01] Two for red.\n"


def fill(top: Path, *names: str) -> None:
    for name in names:
        (top / name).parent.mkdir(parents=True, exist_ok=True)
        (top / name).write_text(TALK)


def keys(source: str | Path, out: Path) -> list[str]:
    return [item.key for item in open_source(str(source), out).items()]


def link_to_itself(top: Path) -> None:
    (top / "again").symlink_to(".")


def two_links_to_the_top(top: Path) -> None:
    for name in ("again", "once more"):
        (top / name).symlink_to(top)


def links_to_each_other(top: Path) -> None:
    (top / "left" / "right").symlink_to(top / "right")
    (top / "right" / "left").symlink_to(top / "left")


def link_before_what_it_leads_to(top: Path) -> None:
    (top / "a").symlink_to(top / "left")


@pytest.mark.parametrize(
    "link", [link_to_itself, two_links_to_the_top, links_to_each_other, link_before_what_it_leads_to]
)
def test_a_pattern_gives_each_file_once_whatever_links_there_are(
    tmp_path: Path, link: Callable[[Path], None]
) -> None:
    top = tmp_path / "talk"
    fill(top, "a.txt", "left/b.txt", "left/deep/c.txt", "right/d.txt")
    link(top)
    (top / "left" / "other name.txt").symlink_to("b.txt")
    out = tmp_path / "out"
    assert keys(f"{top}/**/*.txt", out) == ["a.txt", "left/b.txt", "left/deep/c.txt", "right/d.txt"]
    deeper = keys(f"{top}/*/*/*.txt", out)
    assert "left/deep/c.txt" in deeper
    assert len({(top / key).resolve() for key in deeper}) == len(deeper)


def test_a_pattern_follows_a_link_to_what_is_nowhere_else(tmp_path: Path) -> None:
    fill(tmp_path / "elsewhere", "a.txt", "deep/b.txt")
    fill(tmp_path / "talk", "c.txt")
    (tmp_path / "talk" / "old").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "talk" / "older").symlink_to(tmp_path / "elsewhere")
    assert keys(f"{tmp_path}/talk/**/*.txt", tmp_path / "out") == ["c.txt", "old/a.txt", "old/deep/b.txt"]


@pytest.mark.parametrize(
    "pattern",
    ["*.txt", "**", "**/*", "**/*.txt", "*/*.txt", "*/d?ep/*", "**/deep/*.txt", "**/deep/**", "l*/**/[ab]*", ".h*/*",
     "**/.h*", "*/deep/c.txt", "**/**/*.txt", "[[]x]/*", "left/**/c.txt"],
)  # fmt: skip
def test_without_links_a_pattern_means_what_it_means_to_glob(tmp_path: Path, pattern: str) -> None:
    """Reference: the module glob of the standard library."""
    import glob

    fill(
        tmp_path, "a.txt", "b.srt", ".h.txt", "left/b.txt", "left/deep/c.txt", "left/deep/er/d.txt", "right/deep/a.txt",
        ".hid/e.txt", "left/.hid/f.txt", "[x]/g.txt",
    )  # fmt: skip
    wanted = set(glob.glob(f"{glob.escape(str(tmp_path))}/{pattern}", recursive=True))
    found = matches(tmp_path, Path(pattern).parts)
    assert sorted(map(str, found)) == sorted(path for path in wanted if os.path.isfile(path))


@pytest.mark.parametrize("pattern", ["", "/**/*.txt"])
def test_a_folder_that_may_not_be_entered_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, pattern: str
) -> None:
    fill(tmp_path / "talk", "a.txt", "shut/b.txt")
    shut = str(tmp_path / "talk" / "shut")
    real_scandir, real_stat = os.scandir, os.stat

    def refused(path: object) -> bool:
        return isinstance(path, str | os.PathLike) and os.fspath(path).startswith(shut + os.sep)

    # Whoever runs the tests may be allowed everything, so the refusal comes from a stand-in.
    def scandir(path: str = ".") -> object:
        if os.fspath(path) == shut or refused(path):
            raise PermissionError(13, "Permission denied", os.fspath(path))
        return real_scandir(path)

    def stat(path: str, **how: object) -> object:
        if refused(path):
            raise PermissionError(13, "Permission denied", os.fspath(path))
        return real_stat(path, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "scandir", scandir)
    monkeypatch.setattr(os, "stat", stat)
    with pytest.raises(InputError, match=rf"^{shut}: cannot be read \(Permission denied\); "):
        open_source(f"{tmp_path}/talk{pattern}", tmp_path / "out")


@pytest.mark.parametrize("column", ["transcript", "sheet"])
def test_what_is_no_plain_file_in_a_list_is_told_at_once(tmp_path: Path, column: str) -> None:
    os.mkfifo(tmp_path / "pipe.srt")
    fill(tmp_path, "a.txt")
    cells = {"transcript": "a.txt", "sheet": "", column: "pipe.srt"}
    (tmp_path / "list.csv").write_text(f"transcript,sheet\n{cells['transcript']},{cells['sheet']}\na.txt,\n")
    first, *_ = open_source(str(tmp_path / "list.csv"), tmp_path / "out").items()
    with pytest.raises(InputError, match=r"pipe\.srt: is no plain file; "):
        load(first)


def test_a_list_or_table_that_is_a_pipe_is_told_at_once(tmp_path: Path) -> None:
    for name in ("list.csv", "rows.jsonl", "rows.parquet", "talk.srt"):
        os.mkfifo(tmp_path / name)
        with pytest.raises(InputError, match=rf"{name}: is no plain file; "):
            open_source(str(tmp_path / name), tmp_path / "out")


def test_a_device_is_not_read_to_the_limit(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("transcript\n/dev/zero\n")
    (item,) = open_source(str(tmp_path / "list.csv"), tmp_path / "out").items()
    with pytest.raises(InputError, match="/dev/zero: is no plain file; "):
        load(item)
