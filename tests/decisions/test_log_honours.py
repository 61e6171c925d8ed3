"""``saidscore log`` and ``check`` go by the decisions that lie beside the record or the transcript."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
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
    assert "1 correction by wren\n" in result.output
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


def test_an_event_that_was_not_and_a_score_that_needs_it_are_told_to_contradict(tmp_path: Path) -> None:
    """The answers to two doubts: that nothing was given, and that the score said after it was on the board."""
    path = tmp_path / "para.txt"
    path.write_text(
        "[0:03] ANNA: Collegiate wrestling, one fifty-seven. Dell Orrin in green, Kip Haskard in red.\n"
        "[0:25] ANNA: Takedown Orrin, three points.\n[0:31] BEN: Three-nothing.\n"
        "[0:58] ANNA: Escape, Haskard, one. It is three-one Orrin.\n[3:02] BEN: End of the first. Three-one.\n"
        "[3:30] BEN: Orrin chose bottom. And he escapes. Five-one.\n"
    )
    journal = tmp_path / "para.decisions.jsonl"
    at = {"at": "2026-11-26T02:58:27Z", "by": "wren"}
    nothing = {"t": 211.28, "kind": "reversal", "corner": "blue", "points": 2}
    said = {"t": 215.0, "said": [1, 5]}
    lines = [
        {"schema": "saidscore.decisions/1"},
        {"id": "d1", **at, "do": "remove", "what": "event", "of": nothing},
        {"id": "d2", **at, "do": "change", "what": "score", "of": said, "to": {**said, "right": True},
         "words": [{"t": 215.0, "text": "Five-one"}]},
    ]  # fmt: skip
    journal.write_text("".join(json.dumps(line) + "\n" for line in lines))
    CliRunner().invoke(app, ["log", str(path), "--out", str(tmp_path / "out")])
    record = from_json(tmp_path / "out" / "para.record.json")
    conflicts = [flag.why for flag in record.flags if flag.kind == "decision_conflict"]
    assert any("Correction d1" in why or "Correction d2" in why for why in conflicts)
