"""The command ``session``: what it writes, prints, and refuses."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.record import disagreement_lines, from_json
from extract.record.model import NOTE
from tests.session.session_samples import PEBBLE, pebble_truth

SHEET = PEBBLE.with_suffix(".sheet.csv")


def run(*args: object) -> Any:
    return CliRunner().invoke(app, ["session", *(str(arg) for arg in args)])


def test_it_writes_a_record_for_each_bout_and_a_table_of_the_parts(tmp_path: Path) -> None:
    done = run(PEBBLE, "--sheet", SHEET, "--out", tmp_path)
    assert done.exit_code == 0, done.output
    count = len(pebble_truth())
    names = {f"pebble-cup.{n:02d}.record.json" for n in range(1, count + 1)}
    assert {path.name for path in tmp_path.glob("*.record.json")} == names
    assert len(list(tmp_path.iterdir())) == 5 * count + 1
    text = (tmp_path / "pebble-cup.session.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    bouts = [row for row in rows if row["kind"] == "bout"]
    assert [row["label"] for row in bouts] == [bout["label"] for bout in pebble_truth()]
    assert bouts[0]["red"] == "Tamsin Orrell"
    assert bouts[0]["result"] == "Orrell wins 6-3 by points"
    assert [row["end"] for row in rows[:-1]] == [row["start"] for row in rows[1:]]
    assert [row["bout"] for row in bouts] == sorted(name.removesuffix(".record.json") for name in names)
    assert {row["file"] for row in rows} == {"pebble-cup.srt"}
    assert {row["bout"] for row in rows if row["kind"] == "studio"} == {""}
    events = pd.read_csv(tmp_path / "pebble-cup.01.events.csv")
    assert set(events["bout"]) == {"pebble-cup.01"}
    assert set(events["red"]) == {"Tamsin Orrell"}
    record = from_json(tmp_path / "pebble-cup.02.record.json")
    assert record.source.part is not None
    assert (record.source.part.number, record.source.part.start) == (2, float(bouts[1]["start"]))
    lines = done.output.splitlines()
    assert len([line for line in lines if " - " in line]) == len(rows)
    assert any(
        "57 kg: red Tamsin Orrell against blue Keziah Pell; Orrell wins 6-3 by points" in x for x in lines
    )
    assert NOTE in done.output


def test_quiet_prints_nothing_and_json_prints_the_records(tmp_path: Path) -> None:
    assert run(PEBBLE, "--out", tmp_path / "a", "--quiet").output == ""
    done = run(PEBBLE, "--json")
    records = [json.loads(line) for line in done.output.splitlines()]
    assert [record["source"]["part"]["number"] for record in records] == list(range(1, len(records) + 1))
    assert len(records) >= 6


def test_report_writes_each_page_and_lists_what_is_to_check(tmp_path: Path) -> None:
    done = run(PEBBLE, "--sheet", SHEET, "--out", tmp_path, "--report")
    assert done.exit_code == 0, done.output
    records = sorted(tmp_path.glob("*.record.json"))
    listed = (tmp_path / "pebble-cup.bouts.html").read_text("utf-8")
    assert f'href="./{records[0].name.removesuffix(".record.json")}.report.html"' in listed
    pages = sorted(tmp_path.glob("*.report.html"))
    assert [page.name for page in pages] == [
        f"{path.name.removesuffix('.record.json')}.report.html" for path in records
    ]
    again = tmp_path / "again.html"
    made = CliRunner().invoke(
        app, ["report", str(records[1]), "--transcript", str(PEBBLE), "--out", str(again)]
    )
    assert made.exit_code == 0, made.output
    assert again.read_text(encoding="utf-8") == pages[1].read_text(encoding="utf-8")
    listed = done.output.split("\nTo check\n")[1].split("\n\n")[0].splitlines()
    wanted = [
        f"  {line}"
        for path in records
        for line in disagreement_lines(from_json(path), path.name.removesuffix(".record.json"))
    ]
    assert listed == wanted
    assert wanted
    assert "other files" in done.output


def test_without_report_there_is_no_list_and_no_page(tmp_path: Path) -> None:
    done = run(PEBBLE, "--out", tmp_path)
    assert "To check" not in done.output
    assert not list(tmp_path.glob("*.html"))


def test_help_says_that_a_reading_is_no_official_result() -> None:
    text = " ".join(run("--help").output.split())
    assert "not an official result; the officials' score sheet stands" in text


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--rules", "sumo"], "--rules: unknown ruleset 'sumo'"),
        (["--sheet", "absent.csv"], "absent.csv: no such file or folder; give the path of a bout sheet"),
        (["--lexicon", "absent.toml"], "absent.toml"),
        (["--parameters", "absent.toml"], "absent.toml"),
    ],
)
def test_bad_options_are_refused_before_anything_is_written(
    tmp_path: Path, options: list[str], words: str
) -> None:
    done = run(PEBBLE, "--out", tmp_path / "out", *options)
    assert done.exit_code == 2
    assert words in done.output
    assert not (tmp_path / "out").exists()


def test_a_faulty_sheet_is_told_with_its_line(tmp_path: Path) -> None:
    sheet = tmp_path / "card.csv"
    sheet.write_text("red,blue,rules\nA,B,sumo\n", encoding="utf-8")
    done = run(PEBBLE, "--sheet", sheet, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert f"{sheet}:2: unknown ruleset 'sumo'" in done.output.replace("\n", "")
    assert not (tmp_path / "out").exists()


def test_nothing_is_half_written(tmp_path: Path) -> None:
    """A folder in the place of the last file: none of the files before it is written."""
    (tmp_path / "pebble-cup.session.csv").mkdir()
    done = run(PEBBLE, "--out", tmp_path)
    assert done.exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["pebble-cup.session.csv"]


def test_what_is_read_is_not_overwritten(tmp_path: Path) -> None:
    sheet = tmp_path / "pebble-cup.session.csv"
    sheet.write_bytes(SHEET.read_bytes())
    done = run(PEBBLE, "--sheet", sheet, "--out", tmp_path)
    assert done.exit_code == 2
    assert "would be overwritten" in done.output
    assert sheet.read_bytes() == SHEET.read_bytes()
