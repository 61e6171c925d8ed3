"""``--recursive``: the transcripts of a folder and of all folders in it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.paths import DESK_MARK
from extract.record import from_json
from extract.transcript.tree import branches

TALK = """[0:05] Orla Fenwick in red against Tamsin Quill in blue, freestyle.
[0:20] Takedown Fenwick, two points.
[0:24] Two-nothing.
"""


def run(*args: object) -> Any:
    return CliRunner().invoke(app, [str(arg) for arg in args])


def put(path: Path, text: str = TALK) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two bouts of one name in two folders, and one at the top."""
    monkeypatch.chdir(tmp_path)
    for name in ("top.txt", "march/final.txt", "april/mat 1/final.txt"):
        put(tmp_path / "season" / name)
    return tmp_path / "season"


def records(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.record.json"))


def test_records_keep_their_folder_so_that_names_do_not_collide(season: Path, tmp_path: Path) -> None:
    put(season / "march" / "final.bout.toml", '[red]\nname = "Orla Fenwick"\nteam = "Gannet Row"\n')
    done = run("log", "season", "--recursive", "--out", "out", "--report")
    assert done.exit_code == 0, done.output
    out = tmp_path / "out"
    assert records(out) == ["april/mat 1/final.record.json", "march/final.record.json", "top.record.json"]
    assert (out / "april" / "mat 1" / "final.report.html").is_file()
    assert (out / "april" / "mat 1" / "final.events.csv").is_file()
    teams = [from_json(out / name).bout.red.team for name in records(out)]
    assert teams == [None, "Gannet Row", None]
    assert "Written: out/march/final.record.json" in done.stdout


def test_without_it_the_folders_in_a_folder_are_not_read(season: Path, tmp_path: Path) -> None:
    done = run("log", "season", "--out", "out", "--quiet")
    assert done.exit_code == 0
    assert records(tmp_path / "out") == ["top.record.json"]


def test_a_second_run_finds_the_same_where_the_records_lie_beside_the_transcripts(season: Path) -> None:
    for _ in range(2):
        assert run("log", season, "--recursive", "--out", season, "--report", "--quiet").exit_code == 0
    assert len(records(season)) == 3


def test_corrections_are_found_beside_the_record_and_beside_the_transcript(
    season: Path, tmp_path: Path
) -> None:
    for folder in (tmp_path / "out" / "march", season / "april" / "mat 1"):
        put(folder / "final.decisions.jsonl", "no JSON\n")
    done = run("log", "season", "--recursive", "--out", "out", "--quiet")
    assert done.exit_code == 3
    assert "out/march/final.decisions.jsonl:1: " in done.stderr
    assert "season/april/mat 1/final.decisions.jsonl:1: " in done.stderr


def test_check_goes_into_folders_too(season: Path) -> None:
    put(
        season / "april" / "wrong.txt",
        TALK + "[0:50] Step out, one for Quill.\n[0:55] Three-one.\n[1:20] Still two-one, Fenwick leads.\n",
    )
    done = run("check", "season", "--recursive")
    assert done.exit_code == 1
    assert "season/april/wrong.txt" in done.stdout


def test_links_are_followed_once_and_never_in_a_circle(season: Path, tmp_path: Path) -> None:
    put(tmp_path / "elsewhere" / "guest.txt")
    for link, target in {
        "season/again": "..",
        "season/march/round": ".",
        "season/march/up": "..",
        "season/april/other": "../march",
        "season/guests": "../elsewhere",
        "season/same guests": "../elsewhere",
        "season/nowhere": "nowhere",
    }.items():
        os.symlink(target, tmp_path / link)
    done = run("log", "season", "--recursive", "--out", "out")
    assert done.exit_code == 0, done.output
    assert records(tmp_path / "out") == [
        "april/mat 1/final.record.json",
        "guests/guest.record.json",
        "march/final.record.json",
        "top.record.json",
    ]
    told = [line for line in done.stderr.splitlines() if "a link to a folder" in line]
    assert len(told) == 5
    assert "saidscore: season/march/round: not read: a link to a folder that is read anyway" in told


def test_a_folder_that_cannot_be_read_is_told_and_the_others_are_done(
    season: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    listed = Path.iterdir

    def iterdir(path: Path) -> Iterator[Path]:
        if path.name == "march":
            raise PermissionError(13, "Permission denied", str(path))
        return listed(path)

    monkeypatch.setattr(Path, "iterdir", iterdir)
    done = run("log", "season", "--recursive", "--out", "out", "--quiet")
    assert done.exit_code == 3
    assert done.stderr == (
        "saidscore: season/march: cannot be read (Permission denied); give the path of a folder\n"
    )
    assert records(tmp_path / "out") == ["april/mat 1/final.record.json", "top.record.json"]


def test_a_tree_without_transcripts_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "empty" / "deep").mkdir(parents=True)
    done = run("log", tmp_path / "empty", "--recursive")
    assert done.exit_code == 2
    assert "no transcript in this folder; give a folder with transcripts\n" in done.stderr


def test_hidden_folders_and_copies_for_the_desk_are_left_out(season: Path) -> None:
    put(season / ".cache" / "x.txt")
    put(season / "desk" / "x.txt")
    (season / "desk" / DESK_MARK).touch()
    below = [branch.below.as_posix() for branch in branches(season)]
    assert below == [".", "april", "april/mat 1", "march"]
