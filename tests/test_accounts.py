"""Accounts without times from end to end: a page of bouts, and one with its newest entry first."""

from __future__ import annotations

import csv
import io
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.export import FORMS
from extract.record import from_json

ACCOUNTS = Path(__file__).resolve().parent / "accounts"
PAGE, BLOG = ACCOUNTS / "quay-night.txt", ACCOUNTS / "harbor-blog.txt"


def run(*args: object) -> Any:
    return CliRunner().invoke(app, [str(arg) for arg in args])


def _rows(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


@pytest.fixture(scope="module")
def blog(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The folder with what ``log`` writes of the blog, and what it prints."""
    out = tmp_path_factory.mktemp("blog")
    done = run("log", BLOG, "--out", out, "--report", "--explain", "--alternatives", "2")
    assert done.exit_code == 0, done.output
    return out, done.output


def test_the_log_of_a_blog_names_lines(blog: tuple[Path, str]) -> None:
    out, printed = blog
    record = from_json(out / "harbor-blog.record.json")
    awards = [(e.corner, e.points, e.basis) for e in record.events if e.points]
    assert awards == [
        ("red", 2, "called"), ("red", 2, "inferred"), ("blue", 1, "called"), ("blue", 2, "called"), ("red", 2, "called"),
        ("blue", 1, "inferred"),
    ]  # fmt: skip
    assert (record.result.winner, record.result.score) == ("red", (6, 4))
    assert "line  period clock event" in printed
    assert "line 11, period 1: POINTS NOT MENTIONED" in printed
    assert "in lines 10 to 11" in printed
    told = printed.split("Written:")[0]
    assert re.search(r"\b[0-9]:[0-9]{2}\b", told) is None


def test_tables_have_lines_and_no_times(blog: tuple[Path, str]) -> None:
    out, _ = blog
    lines = BLOG.read_text(encoding="utf-8").splitlines()
    rows = [
        row for row in _rows(out / "harbor-blog.events.csv") if row["basis"] == "called" and row["evidence"]
    ]
    assert rows
    for row in rows:
        assert "t" not in row
        assert row["evidence"].split(" | ")[0] in lines[int(row["line"]) - 1]
    for name in ("statements", "flags", "clock"):
        head = (out / f"harbor-blog.{name}.csv").read_text(encoding="utf-8-sig").splitlines()[0].split(",")
        assert "line" in head
        assert "t" not in head


def test_the_page_names_lines(blog: tuple[Path, str]) -> None:
    page = (blog[0] / "harbor-blog.report.html").read_text(encoding="utf-8")
    assert "12 entries without times, by order" in page
    assert ">line 11</a>" in page
    assert '<th scope="col">place</th>' in page


@pytest.mark.parametrize("form", FORMS)
def test_exports_that_need_times_say_so(form: str, blog: tuple[Path, str]) -> None:
    done = run("export", blog[0] / "harbor-blog.record.json", "--as", form)
    assert (done.exit_code, done.stdout) == (2, "")
    assert "has no times" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_the_desk_says_that_it_needs_times(blog: tuple[Path, str]) -> None:
    done = run("correct", blog[0] / "harbor-blog.record.json", "--transcript", BLOG, "--no-browser")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "has no times" in done.stderr


def test_the_fact_sheet_names_lines(blog: tuple[Path, str]) -> None:
    done = run("facts", blog[0] / "harbor-blog.record.json")
    assert done.exit_code == 0
    assert "line 12" not in done.stdout.split("Right")[0]
    assert "line 11" in done.stdout.split("Right")[1]


def test_a_session_gives_each_bout_of_a_page_its_record(tmp_path: Path) -> None:
    done = run("session", PAGE, "--out", tmp_path)
    assert done.exit_code == 0, done.output
    assert (
        "lines    3 -   14   1  red Tamsin Orrell against blue Ottilie Brannoway; Orrell wins 5-3 by points"
        in done.stdout
    )
    found = [from_json(tmp_path / f"quay-night.{n:02d}.record.json") for n in (1, 2, 3)]
    assert [(r.bout.red.name, r.bout.blue.name) for r in found] == [
        ("Tamsin Orrell", "Ottilie Brannoway"), ("Bastian Crewe", "Ivor Maddock"), ("Corin Ashdowne", "Petr Halloran")
    ]  # fmt: skip
    assert [(r.result.winner, r.result.by, r.result.score) for r in found] == [
        ("red", "points", (5, 3)), ("red", "points", (6, 3)), ("red", "fall", (2, 1))
    ]  # fmt: skip
    clocks = [e.clock_s for e in found[0].events if e.kind in ("takedown", "passivity_warning")]
    assert clocks == [125.0, 40.0, None, None]
    rows = _rows(tmp_path / "quay-night.session.csv")
    assert [(row["kind"], row["start"], row["end"]) for row in rows] == [
        ("studio", "", ""),
        *[("bout", "", "")] * 3,
    ]
    assert rows[1]["why"] == "Under the heading in line 3."


def test_a_sheet_names_the_bouts_of_a_page(tmp_path: Path) -> None:
    sheet = tmp_path / "night.sheet.csv"
    sheet.write_text(
        "label,red,blue,red_team\n65 kg,Ivor Maddock,Bastian Crewe,Old Ropewalk\n", encoding="utf-8"
    )
    assert run("session", PAGE, "--sheet", sheet, "--out", tmp_path).exit_code == 0
    second = from_json(tmp_path / "quay-night.02.record.json")
    assert (second.bout.red.name, second.result.winner, second.result.score) == (
        "Ivor Maddock",
        "blue",
        (3, 6),
    )


def test_log_says_first_that_a_page_has_several_bouts(tmp_path: Path) -> None:
    done = run("log", PAGE, "--out", tmp_path)
    assert done.exit_code == 0
    flags = done.stdout.split("to check")[1].splitlines()
    assert "SEVERAL BOUTS" in flags[1]
    assert "session" in flags[2]
    checked = run("check", PAGE)
    assert checked.exit_code == 1
    assert checked.stdout.startswith(f"{PAGE}:1: several bouts: This page heads 3 bouts")


def test_what_is_compared_by_times_needs_them(tmp_path: Path) -> None:
    shutil.copy(PAGE, tmp_path / "page.txt")
    shutil.copy(
        ACCOUNTS.parent.parent / "sample_transcripts" / "lantern-final.truth.json",
        tmp_path / "page.truth.json",
    )
    done = run("measure", tmp_path)
    assert done.exit_code == 2
    assert "page.txt: has no times" in done.stderr
