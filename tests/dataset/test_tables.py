"""The tables against the bout record and against published standards.

Data Package and Table Schema, version 2 (Frictionless Data, https://datapackage.org): held by the frictionless library,
which reads every row by them. Parquet (Apache): held by three readers that have nothing of ours in them.
"""

from __future__ import annotations

import json
from pathlib import Path

import duckdb
import frictionless
import pandas as pd
import polars as pl
import pytest
from typer.testing import CliRunner

from extract import extract_bout, read_transcript
from extract.cli.app import app
from extract.dataset.tables import OF_RECORD, dataset_tables
from extract.record.frames import frames as record_frames
from tests.dataset.corpus import write_corpus

SCORED = ("bouts", "events", "statements", "clock", "challenges", "flags")


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dataset of nine bouts, an input that is broken, and two that hold nothing that is scored."""
    folder = tmp_path_factory.mktemp("tables")
    write_corpus(folder / "talk", 9)
    (folder / "talk" / "broken.vtt").write_text("WEBVTT\n\n00:05.000 --> nonsense\nhello\n")
    (folder / "talk" / "quiet.srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nGood evening.\n")
    result = CliRunner().invoke(
        app,
        [
            "dataset",
            str(folder / "talk"),
            "--out",
            str(folder / "out"),
            "--jobs",
            "1",
            "--recordings",
            "bout",
        ],
    )
    assert result.exit_code == 3, result.output
    return folder / "out"


def test_the_dictionary_has_every_column_of_the_record_and_no_other() -> None:
    for table in OF_RECORD:
        have = {column.name for column in dataset_tables()[table.name].columns}
        own = have - {"bout_id", "input", "program", "lexicon", "parameters", "input_sha256", "speaker"}
        assert own == {column.name for column in table.columns}, table.name


def test_there_are_the_tables_that_were_promised() -> None:
    assert set(SCORED) | {"inputs", "failures"} <= set(dataset_tables())


def test_rows_are_those_of_the_record(built: Path) -> None:
    path = built.parent / "talk" / "evening" / "bout-0001.srt"
    frames = record_frames(extract_bout(read_transcript(path)))
    for name in ("events", "statements", "clock", "flags"):
        table = pd.read_parquet(built / name)
        mine = table[table["bout_id"] == "evening/bout-0001.srt"]
        assert list(mine["id"]) == list(frames[name]["id"])
        assert list(mine["t"]) == pytest.approx(list(frames[name]["t"]))


def test_every_row_says_how_it_was_made(built: Path) -> None:
    for name in dataset_tables():
        table = pd.read_parquet(built / name)
        assert table[["program", "lexicon", "parameters", "input_sha256"]].notna().all().all()
    assert pd.read_parquet(built / "inputs")["input_sha256"].nunique() == 11


def test_the_description_is_a_data_package_and_every_row_is_as_it_says(built: Path) -> None:
    report = frictionless.validate(str(built / "datapackage.json"))
    assert report.flatten(["name", "fieldName", "note"]) == []
    assert {task.name.replace("-", "_") for task in report.tasks} == set(dataset_tables())
    package = frictionless.Package(str(built / "datapackage.json"))
    assert package.get_resource("events").schema.foreign_keys[-1]["reference"]["resource"] == "bouts"


def test_frictionless_finds_a_row_that_is_not_as_described(built: Path, tmp_path: Path) -> None:
    tree = json.loads((built / "datapackage.json").read_text())
    (bouts,) = (each for each in tree["resources"] if each["name"] == "bouts")
    next(f for f in bouts["schema"]["fields"] if f["name"] == "cues")["constraints"]["maximum"] = 0
    tree["resources"] = [bouts]
    (tmp_path / "bouts").symlink_to(built / "bouts")
    (tmp_path / "datapackage.json").write_text(json.dumps(tree))
    assert not frictionless.validate(str(tmp_path / "datapackage.json")).valid


@pytest.mark.parametrize("name", sorted(dataset_tables()))
def test_three_readers_see_the_same(built: Path, name: str) -> None:
    by_pandas = pd.read_parquet(built / name)
    by_polars = pl.read_parquet(built / name / "*.parquet")
    by_duckdb = duckdb.sql(f"select * from '{built}/{name}/*.parquet'")
    columns = [column.name for column in dataset_tables()[name].columns]
    assert list(by_pandas.columns) == by_polars.columns == by_duckdb.columns == columns
    rows = by_polars.rows()
    assert by_duckdb.fetchall() == rows
    assert [
        tuple(None if pd.isna(cell) else cell for cell in row) for row in by_pandas.itertuples(index=False)
    ] == rows


def test_failures_name_file_line_and_remedy(built: Path) -> None:
    (row,) = pd.read_parquet(built / "failures").to_dict("records")
    assert row["input"] == "broken.vtt"
    assert row["file"].endswith("talk/broken.vtt")
    assert row["line"] == 3
    assert row["problem"]
    assert row["remedy"]


def test_speakers_and_programmes_are_kept(tmp_path: Path) -> None:
    (tmp_path / "final").mkdir()
    cues = [
        {
            "start": 0,
            "end": 4,
            "text": "Quill in red, Fenwick in blue, first period, here we go.",
            "speaker": "Ada",
        },
        {"start": 10, "end": 14, "text": "Takedown Quill. Two nothing.", "speaker": "Bo"},
        {"start": 20, "end": 24, "text": "Step out Fenwick. Two one.", "speaker": "Ada"},
    ]
    (tmp_path / "final" / "a.json").write_text(json.dumps({"segments": cues}))
    out = tmp_path / "out"
    result = CliRunner().invoke(
        app, ["dataset", str(tmp_path), "--out", str(out), "-q", "--jobs", "1", "--recordings", "bout"]
    )
    assert result.exit_code == 0, result.output
    assert list(pd.read_parquet(out / "statements")["speaker"]) == ["Bo", "Ada"]
    assert list(pd.read_parquet(out / "bouts")["programme"]) == ["final"]
