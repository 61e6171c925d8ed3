"""The command label: a record and its corrections as a labelled bout."""

from __future__ import annotations

import json
import shutil
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from extract import extract_bout
from extract.cli.app import app
from extract.decisions import Decision, read_decisions
from extract.decisions.make import Request
from extract.labelled import read_labelled
from extract.labelled.counts import count
from extract.labelled.measures import measure
from extract.record import Record, from_json, to_json, write_record
from extract.transcript import BoutFile, read_bout_file
from extract.transcript.bout_file import Side, bout_file_in
from extract.transcript.bout_file_text import bout_file_text
from extract.transcript.known import Known
from tests.decisions.desk_talk import FOLDER, SAMPLES, decide, sample

NAME = "lantern-final"
TRANSCRIPT = FOLDER / f"{NAME}.srt"


def run(*args: object) -> Any:
    return CliRunner().invoke(app, [str(arg) for arg in args])


def put(folder: Path, record: Record, name: str = NAME, made: Sequence[Decision] = ()) -> Path:
    """The record, and the decisions it was made with, in a folder; the path of the record."""
    if made:
        path = folder / f"{name}.decisions.jsonl"
        read_decisions(path).append(path, made)
    return write_record(record, folder, name)[0]


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "labelled"


@pytest.mark.parametrize("file", SAMPLES)
def test_a_record_labelled_as_it_stands_is_perfect(file: str, tmp_path: Path, out: Path) -> None:
    name = Path(file).stem
    path = put(tmp_path, sample(file)[2], name)
    done = run("label", path, "--transcript", FOLDER / file, "--out", out)
    assert (done.exit_code, done.stderr) == (0, "")
    [bout] = read_labelled(out)
    assert (bout.truth.id, bout.truth.coarse) == (name, bout.transcript.interpolated)
    tallies = measure(bout.truth, extract_bout(bout.transcript, bout.bout))
    for what, tally in tallies.items():
        assert (what, tally.found, tally.right) == (what, tally.labelled, tally.given)
    # The fit finds every call that a label says was made.
    assert count([bout]).events == sum(bool(event.points) for event in bout.truth.events)


def test_measure_works_on_the_folder_right_after(tmp_path: Path, out: Path) -> None:
    path = put(tmp_path, sample(f"{NAME}.srt")[2])
    assert run("label", path, "--transcript", TRANSCRIPT, "--out", out).exit_code == 0
    done = run("measure", out, "--resamples", "0", "--json")
    assert done.exit_code == 0
    figures = {what: tally["figure"] for what, tally in json.loads(done.stdout)["totals"]["all"].items()}
    assert set(figures.values()) == {1.0}


def test_what_was_corrected_counts_against_the_program_and_is_told(tmp_path: Path, out: Path) -> None:
    before = sample(f"{NAME}.srt")[2]
    said = next(s for s in before.statements if s.verdict == "agrees")
    record, made = decide(
        f"{NAME}.srt",
        Request("remove", "score", said.id),
        Request("change", "result", to={"winner": "red", "by": "points"}),
    )
    done = run("label", put(tmp_path, record, made=made), "--transcript", TRANSCRIPT, "--out", out)
    assert done.exit_code == 0
    assert "the names: no, the result: yes." in done.stdout
    assert "not looked at by a person:" in done.stdout
    [bout] = read_labelled(out)
    assert before.result.winner == "blue"
    assert measure(bout.truth, record)["result"].found == 1
    assert measure(bout.truth, before)["result"].found == 0
    tree = json.loads((out / f"{NAME}.truth.json").read_text())
    assert tree["result"]["looked_at"] is True
    assert tree["corrected_by"] == list(dict.fromkeys(each.by for each in record.decisions))
    assert tree["corrected_by"]
    [told] = tree["distractors"]
    assert (abs(told["t"] - said.t) < 1, told["words"]) == (True, said.text)


def test_each_entry_says_whether_a_person_looked_at_it(tmp_path: Path, out: Path) -> None:
    event = next(e for e in sample(f"{NAME}.srt")[2].events if e.points)
    record, made = decide(f"{NAME}.srt", Request("accept", "event", event.id))
    done = run("label", put(tmp_path, record, made=made), "--transcript", TRANSCRIPT, "--out", out)
    tree = json.loads((out / f"{NAME}.truth.json").read_text())
    assert [e["t"] for e in tree["events"] if e["looked_at"]] == [event.t]
    listed = [e for e in record.events if e.points or e.against]
    assert f"Looked at by a person: 1 of {len(listed)} events, 0 of 13 stated scores" in done.stdout
    assert not any(s["looked_at"] for s in tree["scores"])


def test_how_an_award_was_told(tmp_path: Path, out: Path) -> None:
    path = put(tmp_path, sample(f"{NAME}.srt")[2])
    run("label", path, "--transcript", TRANSCRIPT, "--out", out)
    [bout] = read_labelled(out)
    told = {round(e.t): e.called for e in bout.truth.events if e.points}
    # "Two points, Skelvara, takedown"; "Two! Two"; "Step-out"; nothing but later scores.
    assert (told[46], told[171], told[286], told[355]) == (
        "full call", "points only", "kind only", "score only",
    )  # fmt: skip


def test_what_options_said_goes_into_a_bout_file(tmp_path: Path, out: Path) -> None:
    notes = FOLDER / "shed-notes.csv"
    options = ("--rules", "freestyle", "--red", 'H. "Lark" Larkspurre', "--blue", "Noor Ambersaal")
    assert run("log", notes, *options, "--out", tmp_path, "--quiet").exit_code == 0
    record = tmp_path / "shed-notes.record.json"
    assert run("label", record, "--transcript", notes, "--out", out).exit_code == 0
    [bout] = read_labelled(out)
    assert bout.bout is not None
    assert bout.bout.red.name == 'H. "Lark" Larkspurre'
    again = extract_bout(bout.transcript, bout.bout)
    assert from_json(to_json(again)).events == from_json(record).events


def test_a_bout_file_is_copied_as_it_is(tmp_path: Path, out: Path) -> None:
    run("label", put(tmp_path, sample(f"{NAME}.srt")[2]), "--transcript", TRANSCRIPT, "--out", out)
    assert (out / f"{NAME}.bout.toml").read_bytes() == (FOLDER / f"{NAME}.bout.toml").read_bytes()
    assert (out / f"{NAME}.srt").read_bytes() == TRANSCRIPT.read_bytes()


def test_labels_of_its_own_are_made_anew(tmp_path: Path, out: Path) -> None:
    path = put(tmp_path, sample(f"{NAME}.srt")[2])
    for _ in range(2):
        assert run("label", path, "--transcript", TRANSCRIPT, "--out", out).exit_code == 0
    assert len(list(out.iterdir())) == 3


def _hand_labels(out: Path) -> Path:
    return Path(shutil.copy(FOLDER / f"{NAME}.truth.json", out))


def _other_transcript(out: Path) -> Path:
    return Path(shutil.copy(FOLDER / "saltpan-foil.srt", out / f"{NAME}.srt"))


def _other_bout(out: Path) -> Path:
    (out / f"{NAME}.bout.toml").write_text('rules = "greco"\n')
    return out / f"{NAME}.bout.toml"


@pytest.mark.parametrize("obstacle", [_hand_labels, _other_transcript, _other_bout])
def test_what_is_not_its_own_is_not_overwritten(obstacle: Any, tmp_path: Path, out: Path) -> None:
    out.mkdir()
    there = obstacle(out)
    before = there.read_bytes()
    done = run("label", put(tmp_path, sample(f"{NAME}.srt")[2]), "--transcript", TRANSCRIPT, "--out", out)
    assert (done.exit_code, done.stdout) == (2, "")
    assert str(there) in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert there.read_bytes() == before
    assert list(out.iterdir()) == [there]


def test_a_transcript_that_would_be_taken_first_is_named(tmp_path: Path, out: Path) -> None:
    name = "tallow-quarter"
    out.mkdir()
    shutil.copy(TRANSCRIPT, out / f"{name}.srt")
    path = put(tmp_path, sample(f"{name}.vtt")[2], name)
    done = run("label", path, "--transcript", FOLDER / f"{name}.vtt", "--out", out)
    assert done.exit_code == 2
    assert f"{name}.srt: would be taken for the transcript" in done.stderr


def test_a_record_without_its_corrections_is_no_truth(tmp_path: Path, out: Path) -> None:
    event = next(e for e in sample(f"{NAME}.srt")[2].events if e.points)
    record, made = decide(f"{NAME}.srt", Request("remove", "event", event.id))
    with_none = put(tmp_path, record)
    done = run("label", with_none, "--transcript", TRANSCRIPT, "--out", out)
    assert (done.exit_code, out.exists()) == (2, False)
    assert "was not made with the corrections in lantern-final.decisions.jsonl" in done.stderr
    put(tmp_path, sample(f"{NAME}.srt")[2], made=made)
    assert run("label", with_none, "--transcript", TRANSCRIPT, "--out", out).exit_code == 2


def test_bouts_that_cannot_be_labelled_say_why(tmp_path: Path, out: Path) -> None:
    account = tmp_path / "account.txt"
    account.write_text("Takedown red, two.\nStep-out blue, one.\nRed leads two to one.\n" * 3)
    assert run("log", account, "--out", tmp_path, "--rules", "freestyle", "--quiet").exit_code == 0
    done = run("label", tmp_path / "account.record.json", "--transcript", account, "--out", out)
    assert (done.exit_code, out.exists()) == (2, False)
    assert "has no times" in done.stderr
    session = FOLDER / "session" / "pebble-cup.srt"
    assert run("session", session, "--out", tmp_path / "cup", "--quiet").exit_code == 0
    part = sorted((tmp_path / "cup").glob("*.record.json"))[0]
    done = run("label", part, "--transcript", session, "--out", out)
    assert (done.exit_code, out.exists()) == (2, False)
    assert "one bout of a longer recording" in done.stderr


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
SIDE = st.builds(Side, TEXT, st.none() | TEXT, st.lists(TEXT, min_size=1).map(tuple), st.none() | TEXT)


@given(
    SIDE,
    TEXT,
    st.builds(Known, st.sampled_from(["red", "blue"]), TEXT, st.just((3, 1)), st.just(((2, 1), (3, 1)))),
)
def test_any_text_stands_in_a_bout_file_as_it_is(red: Side, edition: str, known: Known) -> None:
    tree = tomllib.loads(bout_file_text(BoutFile("foil", edition, None, red, Side(), None, known=known)))
    side = {"name": red.name, "team": red.team, "aliases": list(red.aliases), "colour": red.colour}
    assert tree == {
        "rules": "foil",
        "edition": edition,
        "red": {key: value for key, value in side.items() if value is not None},
        "result": {"winner": known.winner, "by": known.by, "score": [3, 1], "periods": [[2, 1], [3, 1]]},
    }


def test_the_bout_files_of_the_samples_are_read_again_as_they_are() -> None:
    for path in FOLDER.glob("*.bout.toml"):
        bout = read_bout_file(path)
        assert bout_file_in(bout_file_text(bout).encode(), path) == bout
