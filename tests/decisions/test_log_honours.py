"""``saidscore log`` and ``check`` go by the decisions that lie beside the record or the transcript."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.cli import app
from extract.decisions import Journal
from extract.decisions.make import Request, make
from extract.record import from_json
from tests.decisions.desk_talk import FOLDER, sample

LANTERN = "lantern-final.srt"


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    for ending in (".srt", ".bout.toml"):
        shutil.copy(FOLDER / f"lantern-final{ending}", tmp_path)
    return tmp_path / LANTERN


def remove_an_event(path: Path) -> str:
    """Writes a file of one decision; its id."""
    transcript, _, record = sample(LANTERN)
    event = next(e for e in record.events if e.kind == "takedown")
    decision = make(Request("remove", "event", event.id), record, transcript, (), "wren")
    Journal().append(path, [decision])
    return decision.id


@pytest.mark.parametrize("where", ["beside the record", "beside the transcript", "given"])
def test_decisions_are_found(talk: Path, where: str) -> None:
    out = talk.parent / "records"
    places = {
        "beside the record": out,
        "beside the transcript": talk.parent,
        "given": talk.parent / "elsewhere",
    }
    path = places[where] / "lantern-final.decisions.jsonl"
    name = remove_an_event(path)
    more = ["--decisions", str(path)] if where == "given" else []
    result = CliRunner().invoke(app, ["log", str(talk), "--out", str(out), *more])
    assert result.exit_code == 0, result.output
    assert "Decided by wren: 1" in result.output
    assert [d.id for d in from_json(out / "lantern-final.record.json").decisions] == [name]


def test_check_goes_by_them_too(talk: Path) -> None:
    before = CliRunner().invoke(app, ["check", str(talk)]).output
    remove_an_event(talk.parent / "lantern-final.decisions.jsonl")
    assert CliRunner().invoke(app, ["check", str(talk)]).output != before


def test_a_broken_file_is_bad_input(talk: Path) -> None:
    path = talk.parent / "lantern-final.decisions.jsonl"
    path.write_text('{"schema": "saidscore.decisions/1"}\nnonsense\n')
    result = CliRunner().invoke(app, ["log", str(talk), "--out", str(talk.parent / "records")])
    assert result.exit_code == 2
    assert f"{path}:2: is no decision" in result.output
    assert not (talk.parent / "records").exists()


def test_one_file_cannot_stand_for_two(talk: Path) -> None:
    shutil.copy(talk, talk.with_name("other.srt"))
    path = talk.parent / "x.decisions.jsonl"
    remove_an_event(path)
    result = CliRunner().invoke(
        app, ["check", str(talk), str(talk.with_name("other.srt")), "--decisions", str(path)]
    )
    assert result.exit_code == 2
    assert "one decisions file cannot stand for 2 transcripts" in result.output


def test_a_file_that_is_not_there_is_named(talk: Path) -> None:
    result = CliRunner().invoke(app, ["check", str(talk), "--decisions", "nowhere.jsonl"])
    assert result.exit_code == 2
    assert "give the path of a decisions file" in result.output
