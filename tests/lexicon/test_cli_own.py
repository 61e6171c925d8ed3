"""A user's own lexicon on the command line: it changes what is heard, and the record names it."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from extract import extract_bout
from extract.cli.app import app
from extract.record import from_json, to_json
from tests.labelled.hand_made import SAMPLES
from tests.lexicon.conftest import Own
from tests.made_talk import bout_file, transcript

TALK = """1
00:00:01,000 --> 00:00:04,000
And the whistle, first period.

2
00:00:20,000 --> 00:00:23,000
{call}

3
00:00:40,000 --> 00:00:43,000
Nothing much since then.
"""
HEAVE = '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\nforms = ["heave ho"]\n'


def run(*args: object) -> Any:
    return CliRunner().invoke(app, [str(arg) for arg in args])


def record(folder: Path, call: str, *options: object) -> dict[str, Any]:
    path = folder / "match.srt"
    path.write_text(TALK.format(call=call), "utf-8")
    names = ("--rules", "freestyle", "--red", "Doran Felmouth", "--blue", "Ivo Strandlow")
    done = run("log", path, *names, "--json", *options)
    assert done.exit_code == 0, done.stderr
    tree: dict[str, Any] = json.loads(done.stdout)
    return tree


def kinds(tree: dict[str, Any]) -> list[tuple[str, str]]:
    return [(event["kind"], event["corner"]) for event in tree["events"] if event["points"]]


def test_a_phrase_of_ones_own_becomes_a_call(own: Own, tmp_path: Path) -> None:
    call = "Heave-ho for Felmouth, two points for Felmouth!"
    without, with_it = record(tmp_path, call), record(tmp_path, call, "--lexicon", own(HEAVE))
    [event] = [event for event in with_it["events"] if event["points"]]
    assert (event["kind"], event["corner"]) == ("takedown", "red")
    assert "Heave-ho" in event["evidence"][0]["text"]
    assert [e["evidence"] for e in without["events"] if e["points"]] != [event["evidence"]]
    assert kinds(record(tmp_path, "Heave-ho, Felmouth!")) == []
    assert kinds(record(tmp_path, "Heave-ho, Felmouth!", "--lexicon", own(HEAVE))) == [("takedown", "red")]


def test_a_dropped_form_is_no_call_any_more(own: Own, tmp_path: Path) -> None:
    dropping = own('[[entry]]\nrole = "kind"\nvalue = "step_out"\ndrop = ["step out"]\n')
    assert kinds(record(tmp_path, "Step-out, Felmouth!")) == [("step_out", "red")]
    assert kinds(record(tmp_path, "Step-out, Felmouth!", "--lexicon", dropping)) == []


def test_a_shipped_form_with_another_meaning_gives_way(own: Own, tmp_path: Path) -> None:
    other = own(HEAVE.replace("heave ho", "push out"))
    assert kinds(record(tmp_path, "Push out, Felmouth!")) == [("step_out", "red")]
    assert kinds(record(tmp_path, "Push out, Felmouth!", "--lexicon", other)) == [("takedown", "red")]


def test_a_sheet_mark_of_ones_own(own: Own) -> None:
    mark = own('[[entry]]\nrole = "sheet_mark"\nvalue = "takedown"\nstyles = ["olympic"]\nforms = ["HH"]\n')
    talk = transcript("whistle, first period", "HH2 Felmouth", "nothing since")
    assert [e.kind for e in extract_bout(talk, bout_file(), lexicons=[mark]).events if e.points] == [
        "takedown"
    ]


def test_the_record_names_the_lexicons(own: Own, tmp_path: Path) -> None:
    one, two = own(HEAVE, "one.toml"), own('[[entry]]\nrole = "more"\nforms = ["anew"]\n', "two.toml")
    assert record(tmp_path, "nothing")["lexicons"] == []
    tree = record(
        tmp_path, "nothing", "--lexicon", one, "--lexicon", two, "--lexicon", one, "--out", tmp_path
    )
    assert tree["lexicons"] == [
        {"file": path.name, "sha256": hashlib.sha256(path.read_bytes()).hexdigest()} for path in (one, two)
    ]
    written = from_json(tmp_path / "match.record.json")
    assert [lexicon.file for lexicon in written.lexicons] == ["one.toml", "two.toml"]
    assert json.loads(to_json(written))["lexicons"] == tree["lexicons"]


def test_check_takes_it_too(own: Own, tmp_path: Path) -> None:
    path = tmp_path / "match.srt"
    path.write_text(TALK.format(call="Heave-ho for Felmouth! The score is one-nothing, red."), "utf-8")
    names = ("--rules", "freestyle", "--red", "Doran Felmouth", "--blue", "Ivo Strandlow")
    assert run("check", path, *names).exit_code == 0
    done = run("check", path, *names, "--lexicon", own(HEAVE))
    assert done.exit_code == 1
    assert "said 1-0 Felmouth; should be 2-0 Felmouth" in done.stdout


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (HEAVE + '[[entry]]\nrole = "moar"\nforms = ["a"]\n', ":7: unknown role 'moar'"),
        (
            HEAVE.replace("takedown", "excape"),
            ":3: no edition of collegiate, foil, freestyle, greco, scholastic has the kind",
        ),
        (HEAVE + 'drop = ["never there"]\n', ":6: no shipped kind takedown has 'never there'"),
        (HEAVE + "drop = [\n", ": TOML that does not parse"),
    ],
)
@pytest.mark.parametrize("command", ["log", "check", "measure", "fit"])
def test_a_fault_stops_everything_with_one_line(
    own: Own, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str, text: str, told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    path = own(text)
    out = ("--out", "mine.toml") if command == "fit" else ()
    what = SAMPLES if command in ("measure", "fit") else SAMPLES / "shed-notes.csv"
    done = run(command, what, "--lexicon", path, *out)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"saidscore: {path}")
    assert told in done.stderr
    assert done.stderr.count("\n") == 1
    assert [p.name for p in tmp_path.iterdir()] == ["own.toml"]


def test_measure_and_fit_hear_with_it(own: Own, tmp_path: Path) -> None:
    folder = tmp_path / "labelled"
    folder.mkdir()
    for path in SAMPLES.glob("shed-notes.*"):
        shutil.copy(path, folder)
    silent = own('[[entry]]\nrole = "minute"\ndrop = ["min", "mins", "minute", "minutes"]\n')
    plain = run("measure", folder, "--resamples", "0", "--json")
    changed = run("measure", folder, "--resamples", "0", "--json", "--lexicon", silent)
    assert (plain.exit_code, changed.exit_code) == (0, 0)
    assert f"with the words of {silent}" in changed.stdout
    assert run("measure", folder, "--resamples", "0", "--lexicon", silent).stdout.startswith(
        "1 labelled bout"
    )
    mine = tmp_path / "mine.toml"
    assert run("fit", folder, "--out", mine, "--lexicon", silent).exit_code == 0
    assert 'command = "saidscore fit labelled --lexicon own.toml"' in mine.read_text("utf-8")


def test_one_sentence_is_heard() -> None:
    assert run("lexicon", "hear", "Okomfo seven, Umarike four.").output == (
        "Okomfo seven, Umarike four: score, asserted, named, pair 7-4, first red, tie attached; row score.named\n"
    )
    assert run("lexicon", "hear", "What an evening.").output == "nothing is heard there\n"
    assert run("lexicon", "hear", "Two for red.", "--rules", "sumo").exit_code == 2


def test_one_sentence_is_heard_with_a_lexicon_of_ones_own(own: Own) -> None:
    assert "takedown" in run("lexicon", "hear", "Heave ho, blue!", "--lexicon", own(HEAVE)).output
    assert "takedown" not in run("lexicon", "hear", "Heave ho, blue!").output
