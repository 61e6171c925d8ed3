"""The row that each fact of a record was found by, and the lines that tell it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from record_example import make_record
from typer.testing import CliRunner

from extract.cli.app import app
from extract.lexicon.load import row_places, shipped_rows
from extract.record import Evidence, Record, from_json, to_json
from extract.record.reasons import reason_lines
from tests.made_talk import bout
from tests.samples import FOLDER, sample

TALK = ("Here we go, first period.", "Takedown, red! Two points.", "It's two-nothing, red.")


def test_a_statement_names_its_row() -> None:
    [statement] = bout(*TALK).statements
    assert statement.row == "pair.hyphen"


def test_every_row_in_a_record_is_one_of_the_lexicon() -> None:
    known = {placed.row.id for placed in shipped_rows()} | {""}
    record = sample("lantern-final.srt")[2]
    assert {s.row for s in record.statements if s.said is not None} <= known - {""}
    assert {e.row for event in record.events for e in event.evidence} <= known
    assert {c.row for c in record.clock} <= known
    assert record.result.row in known


def test_a_record_without_rows_is_read() -> None:
    record = make_record()
    old = re.sub(r', "row": "[^"]*"', "", to_json(record))
    assert '"row"' not in old
    assert to_json(from_json(old)) == to_json(record)


def test_the_places_of_rows() -> None:
    places = row_places()
    file, line = places["pair.hyphen"].rsplit(":", 1)
    assert file == "lexicons/phrases/scores.toml"
    text = (FOLDER.parent / file).read_text("utf-8").splitlines()
    assert text[int(line) - 1 : int(line) + 1] == ["[[phrase]]", 'id = "pair.hyphen"']


def rowed(row: str) -> Record:
    """The example with every evidence, statement and clock reading by one row."""
    record = make_record()
    events = tuple(
        replace(e, evidence=tuple(replace(piece, row=row) for piece in e.evidence)) for e in record.events
    )
    return replace(
        record,
        events=events,
        statements=tuple(replace(s, row=row) for s in record.statements),
        clock=tuple(replace(c, row=row) for c in record.clock),
        challenges=tuple(replace(c, evidence=(Evidence(1, 0, 3, "red", row),)) for c in record.challenges),
        result=replace(record.result, row=row),
    )


def test_each_entry_has_its_reason_and_its_row() -> None:
    record = rowed("a.row")
    lines = list(reason_lines(record, {"a.row": "lexicons/phrases/some.toml:7"}))
    assert lines[0] == "Why"
    for entry in (*record.events, *record.statements):
        [at] = [n for n, line in enumerate(lines) if line.startswith(f"  {entry.id} ")]
        assert entry.why in lines[at]
    pieces = sum(len(e.evidence) for e in (*record.events, *record.challenges))
    told = [line for line in lines if line.endswith("by the row a.row, lexicons/phrases/some.toml:7")]
    assert len(told) == pieces + len(record.statements) + len(record.clock) + 1
    # A row that is gone from the lexicon is named all the same.
    assert any(line.endswith("by the row a.row") for line in reason_lines(record, {}))
    assert not any("by the row" in line for line in reason_lines(rowed(""), {}))


def test_no_control_character_gets_out() -> None:
    assert "\x1b" not in "".join(reason_lines(rowed("a\x1b[31m"), {"a\x1b[31m": "\x1b:1"}))


@pytest.mark.parametrize("explain", [True, False])
def test_explain_on_the_command_line(tmp_path: Path, explain: bool) -> None:
    given = ["log", str(FOLDER / "lantern-final.srt"), "--out", str(tmp_path), *["--explain"] * explain]
    done = CliRunner().invoke(app, given)
    assert done.exit_code == 0
    assert ("\nWhy\n" in done.stdout) == explain
    line = f"    by the row pair.to, {row_places()['pair.to']}"
    assert (line in done.stdout.splitlines()) == explain


def test_explain_names_a_users_own_file(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text(
        '\n[[phrase]]\nid = "own.pair"\ngives = "score pair"\nform = "to"\nbinds = true\n'
        'words = "<x=number> gegen <y=number>"\n',
        "utf-8",
    )
    talk = tmp_path / "match.srt"
    talk.write_text(
        "1\n00:00:01,000 --> 00:00:03,000\nFirst period. Takedown red, two!\n\n"
        "2\n00:00:06,000 --> 00:00:09,000\nTwo gegen nothing, red.\n",
        "utf-8",
    )
    given = [
        "log",
        str(talk),
        "--lexicon",
        str(path),
        "--explain",
        "--rules",
        "freestyle",
        "--out",
        str(tmp_path),
    ]
    done = CliRunner().invoke(app, given)
    assert f"    by the row own.pair, {path}:2" in done.stdout.splitlines()


def test_scores_passed_over_have_the_kind_of_their_talk() -> None:
    """What is told of last year counts for nothing, and the lines say what it was taken for."""
    record = bout(*TALK, "Last year it was six four and she won that one.", "She was six two down last year.")
    assert [passed.kind for passed in record.passed_over] == ["another bout"] * len(record.passed_over)
    lines = list(reason_lines(record, {}))
    at = next(k for k, line in enumerate(lines) if line.startswith("Passed over:"))
    assert len(lines) == at + 1 + len(record.passed_over)
    assert re.fullmatch(r"  \d:\d\d cue 4 \"six four\": another bout \(\d+ %\)", lines[at + 1])
    assert not any(line.startswith("Passed over") for line in reason_lines(bout(*TALK), {}))


def test_a_record_without_stretches_is_read() -> None:
    record = replace(bout(*TALK), stretches=(), passed_over=())
    old = re.sub(r',\n "(stretches|passed_over)": \[\]', "", to_json(record))
    assert "stretches" not in old
    assert to_json(from_json(old)) == to_json(record)
    assert from_json(to_json(bout(*TALK))).stretches
