"""The command line: what it takes, writes, prints and returns.

The extractor has a stand-in that gives a record made by hand: these tests are about the command alone.
"""

from __future__ import annotations

import csv
import io
import json
import os
import signal
import subprocess
import sys
import textwrap
import time
import tomllib
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from typer.testing import CliRunner

from extract import transcript as transcript_package
from extract.cli.app import app
from extract.errors import InputError
from extract.record import Record, from_json
from extract.transcript.cue import Cue, Transcript
from tests.foreground import foreground
from tests.record.record_example import make_record

ROOT = Path(__file__).parent.parent


class Extractor:
    """Stands for the readers and the extractor, and remembers what it was asked."""

    def __init__(self) -> None:
        self.calls: list[dict[str, Any]] = []

    def read_transcript(self, path: Path) -> Transcript:
        text = path.read_text(encoding="utf-8")
        if text.startswith("broken"):
            raise InputError(path, "no cue in it", "give a transcript with times", 1)
        return Transcript(path.name, "srt", "0" * 64, (Cue(1, 0.0, 1.0, text),))

    def read_bout_file(self, path: Path) -> str:
        return path.name

    def transcript_files(self, folder: Path) -> list[Path]:
        return sorted(folder.glob("*.srt"))

    def extract_bout(
        self, transcript: Transcript, bout: str | None = None, *, several: Any, **given: Any
    ) -> Record:
        self.calls.append({"file": transcript.file, "bout": bout, **given})
        text = transcript.cues[0].text
        if text == "interrupt":
            raise KeyboardInterrupt
        record = replace(make_record(), source=replace(make_record().source, file=transcript.file))
        if text == "agrees":
            return replace(record, statements=record.statements[:1], flags=())
        if text == "unclear":
            return replace(record, statements=(), flags=record.flags[2:3])
        return record


@pytest.fixture
def extractor(monkeypatch: pytest.MonkeyPatch) -> Extractor:
    stand_in = Extractor()
    module: Any = ModuleType("extract.bout")
    module.extract_bout = stand_in.extract_bout
    monkeypatch.setitem(sys.modules, "extract.bout", module)
    for name in ("read_transcript", "read_bout_file", "transcript_files"):
        monkeypatch.setattr(transcript_package, name, getattr(stand_in, name), raising=False)
    return stand_in


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def write(path: Path, text: str = "disagrees") -> str:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return str(path)


def run(*args: str) -> Any:
    return CliRunner().invoke(app, list(args))


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def tables(name: str) -> list[str]:
    return sorted(
        [
            f"{name}.record.json",
            *(f"{name}.{table}.csv" for table in ("events", "statements", "clock", "flags")),
        ]
    )


def test_log_writes_the_record_into_the_current_folder(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here.parent / "in" / "match.srt"))
    assert result.exit_code == 0
    assert names(here) == tables("match")
    assert from_json(here / "match.record.json").source.file == "match.srt"
    assert "said 3-1 Varnholt; should be 3-0 Varnholt" in result.stdout
    assert "match.record.json and 4 tables" in result.stdout
    assert result.stderr == ""


def test_log_with_out_and_quiet(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here / "match.srt"), "--out", "new/records", "--quiet")
    assert (result.exit_code, result.output) == (0, "")
    assert names(here) == ["match.srt", "new"]
    assert names(here / "new" / "records") == tables("match")


def test_options_reach_the_extractor(extractor: Extractor, here: Path) -> None:
    bout = write(here / "facts.toml")
    write(here / "match.bout.toml")
    run("log", write(here / "match.srt"), "--bout", bout, "--rules", "greco", "--red", "A", "--blue", "B")
    assert extractor.calls == [
        {
            "file": "match.srt",
            "bout": "facts.toml",
            "rules": "greco",
            "red": "A",
            "blue": "B",
            "parameters": None,
            "lexicons": (),
            "alternatives": 0,
            "decisions": (),
        }
    ]
    run("check", "match.srt", "--bout", bout, "--rules", "greco", "--red", "A", "--blue", "B")
    assert extractor.calls[1] == extractor.calls[0]


def test_how_many_alternatives_are_asked_for(extractor: Extractor, here: Path) -> None:
    run("log", write(here / "match.srt"), "--alternatives", "3", "--json")
    assert [call["alternatives"] for call in extractor.calls] == [3]
    assert run("log", "match.srt", "--alternatives", "-1").exit_code == 2
    assert len(extractor.calls) == 1


def test_bout_file_beside_the_transcript_is_taken(extractor: Extractor, here: Path) -> None:
    write(here / "one.bout.toml")
    run("log", write(here / "one.srt"), write(here / "two.srt"))
    assert [call["bout"] for call in extractor.calls] == ["one.bout.toml", None]


def test_folder_means_its_transcripts_and_each_file_is_taken_once(extractor: Extractor, here: Path) -> None:
    one = write(here / "in" / "one.srt")
    write(here / "in" / "two.srt")
    result = run("log", "in", one, "--out", "out")
    assert result.exit_code == 0
    assert [call["file"] for call in extractor.calls] == ["one.srt", "two.srt"]
    assert names(here / "out") == sorted(tables("one") + tables("two"))


def test_folder_without_transcripts(extractor: Extractor, here: Path) -> None:
    (here / "empty").mkdir()
    result = run("log", "empty")
    assert result.exit_code == 2
    assert "empty: no transcript in this folder" in result.stderr


def test_json_of_one_file_is_one_document(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here / "match.srt"), "--json")
    assert result.exit_code == 0
    assert from_json(result.stdout).source.file == "match.srt"
    assert result.stdout.startswith("{\n")
    assert names(here) == ["match.srt"]


def test_json_of_several_files_or_a_folder_is_one_line_each(extractor: Extractor, here: Path) -> None:
    one = write(here / "in" / "one.srt")
    for args in ([one, write(here / "two.srt")], ["in"]):
        result = run("log", *args, "--json")
        lines = result.stdout.split("\n")
        assert lines.pop() == ""
        assert [from_json(line).source.file for line in lines] == ["one.srt", "two.srt"][: len(args)]
    assert names(here) == ["in", "two.srt"]


def test_json_with_out_does_both(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here / "match.srt"), "--json", "--out", "out")
    assert from_json(result.stdout) == from_json(here / "out" / "match.record.json")
    assert json.loads(result.stdout)


def test_json_is_utf_8_whatever_the_terminal_uses(here: Path) -> None:
    write(here / "match.srt")
    code = "record = replace(record, note='naïve ✓')"
    done = spawn("log", "match.srt", "--json", before=code, cwd=here, env={"PYTHONIOENCODING": "ascii"})
    assert from_json(done.stdout.decode("utf-8")).note == "naïve ✓"


def test_summary_survives_a_terminal_that_lacks_a_letter(here: Path) -> None:
    write(here / "match.srt")
    code = "record = replace(record, note='naïve')"
    done = spawn("log", "match.srt", before=code, cwd=here, env={"PYTHONIOENCODING": "ascii"})
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"na?ve" in done.stdout


def test_check_prints_the_disagreements(extractor: Extractor, here: Path) -> None:
    result = run("check", write(here / "match.srt"), write(here / "calm.srt", "agrees"))
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    path = here / "match.srt"
    assert lines[1] == (
        f"{path}:25:1:52: wrong score: said 3-1 Varnholt; should be 3-0 Varnholt: No call has given blue a point."
    )
    assert len(lines) == 4
    assert names(here) == ["calm.srt", "match.srt"]


def test_check_prints_a_table_over_all_files(extractor: Extractor, here: Path) -> None:
    files = [
        write(here / f"{name}.srt", text) for name, text in (("a", "disagrees"), ("b", "agrees"), ("c", "x"))
    ]
    result = run("check", "--csv", *files)
    assert result.exit_code == 1
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert [row["bout"] for row in rows] == ["a"] * 4 + ["c"] * 4
    assert rows[1]["said"] == "3-1 Varnholt"
    result = run("check", "--json", *files)
    assert result.exit_code == 1
    objects = [json.loads(line) for line in result.stdout.splitlines()]
    assert [each["file"] for each in objects] == [files[0]] * 4 + [files[2]] * 4
    assert set(objects[0]) == set(rows[0])


def test_check_prints_the_head_of_an_empty_table(extractor: Extractor, here: Path) -> None:
    result = run("check", "--csv", write(here / "calm.srt", "agrees"))
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("file,bout,")
    assert len(result.stdout.splitlines()) == 1


def test_check_takes_one_form(extractor: Extractor, here: Path) -> None:
    result = run("check", "--csv", "--json", write(here / "match.srt"))
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "saidscore: --csv: does not go with --json; give one of them\n"
    assert not extractor.calls


def test_what_is_only_unclear_gives_no_status(extractor: Extractor, here: Path) -> None:
    result = run("check", write(here / "match.srt", "unclear"))
    assert result.exit_code == 0
    assert "wrong time left?: said 1:00; computed 0:40" in result.stdout


def test_check_without_disagreement(extractor: Extractor, here: Path) -> None:
    result = run("check", write(here / "calm.srt", "agrees"))
    assert (result.exit_code, result.output) == (0, "")


@pytest.mark.parametrize("command", ["log", "check"])
def test_bad_file_is_reported_and_the_others_done(command: str, extractor: Extractor, here: Path) -> None:
    files = [write(here / "a.srt"), write(here / "b.srt", "broken"), write(here / "c.srt")]
    result = run(command, *files)
    assert result.exit_code == 2
    assert result.stderr == f"saidscore: {files[1]}:1: no cue in it; give a transcript with times\n"
    assert [call["file"] for call in extractor.calls] == ["a.srt", "c.srt"]


@pytest.mark.parametrize("args", [["log"], ["log", "--quiet"], ["log", "--json"], ["check"]])
def test_bad_file_of_a_folder_is_reported_and_the_others_done(
    args: list[str], extractor: Extractor, here: Path
) -> None:
    """The status is that of a dataset some of whose inputs could not be used."""
    for name, text in (("a", "agrees"), ("b", "broken"), ("c", "disagrees")):
        write(here / "in" / f"{name}.srt", text)
    result = run(*args, "in")
    assert result.exit_code == 3
    assert result.stderr == "saidscore: in/b.srt:1: no cue in it; give a transcript with times\n"
    assert [call["file"] for call in extractor.calls] == ["a.srt", "c.srt"]
    # A file that is named is asked for: it weighs more than one that a folder happens to hold.
    assert run(*args, "in", write(here / "d.srt", "broken")).exit_code == 2
    assert run(*args, "in", "in/b.srt").exit_code == 2


def test_damaged_file_of_a_folder_is_told_even_if_quiet(here: Path) -> None:
    write(here / "in" / "a.srt", "1\n00:00:01,000 --> 00:00:02,000\ntwo for red\n")
    write(here / "in" / "b.srt", "two for red\n")
    write(here / "in" / "README.txt", "Notes")
    result = run("log", "in", "--out", "out", "--quiet")
    assert result.exit_code == 3
    assert [line.split(":")[:2] for line in result.stderr.splitlines()] == [["saidscore", " in/b.srt"]]
    assert names(here / "out") == tables("a")


def test_output_in_the_way_is_no_fault_of_a_folder(
    extractor: Extractor, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*args: Any, **kwargs: Any) -> None:
        raise InputError("out/a.record.json", "cannot be written (No space left on device)", "make room")

    write(here / "in" / "a.srt")
    monkeypatch.setattr("extract.record.write_record", full)
    assert run("log", "in", "--out", "out").exit_code == 2


@pytest.mark.parametrize("command", ["log", "check"])
def test_every_absent_file_is_named_before_any_work(command: str, extractor: Extractor, here: Path) -> None:
    result = run(command, write(here / "a.srt"), "gone.srt", "away.srt", "--bout", "none.toml")
    assert result.exit_code == 2
    assert all(name in result.stderr for name in ("gone.srt", "away.srt", "none.toml"))
    assert len(result.stderr.splitlines()) == 3
    assert extractor.calls == []
    assert names(here) == ["a.srt"]


@pytest.mark.parametrize("second", ["two/match.srt", "two/MATCH.vtt"])
def test_two_inputs_of_one_name_are_refused_before_any_work(
    second: str, extractor: Extractor, here: Path
) -> None:
    files = [write(here / "one" / "match.srt"), write(here / second)]
    result = run("log", *files)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert all(name in result.stderr for name in files)
    assert extractor.calls == []
    assert run("log", *files, "--json").exit_code == 0
    assert run("check", *files).exit_code == 1


def test_input_is_never_overwritten(extractor: Extractor, here: Path) -> None:
    notes = write(here / "match.clock.csv", "notes")
    result = run("log", write(here / "match.srt"), notes)
    assert result.exit_code == 2
    assert "match.clock.csv: the tables of" in result.stderr
    assert (here / "match.clock.csv").read_text() == "notes"
    assert extractor.calls == []


def test_out_that_is_a_file(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here / "match.srt"), "--out", write(here / "file"))
    assert result.exit_code == 2
    assert "is no folder" in result.stderr
    assert extractor.calls == []


def test_one_bout_file_for_several_transcripts(extractor: Extractor, here: Path) -> None:
    files = [write(here / "a.srt"), write(here / "b.srt")]
    result = run("log", *files, "--bout", write(here / "x.toml"))
    assert result.exit_code == 2
    assert "x.toml: one bout file cannot stand for 2 transcripts" in result.stderr
    assert extractor.calls == []


@pytest.mark.parametrize("command", ["log", "check"])
def test_unknown_ruleset(command: str, extractor: Extractor, here: Path) -> None:
    result = run(command, write(here / "a.srt"), "--rules", "sumo")
    assert result.exit_code == 2
    assert (
        "unknown ruleset 'sumo'; use one of collegiate, foil, freestyle, greco, scholastic" in result.stderr
    )
    assert extractor.calls == []


@pytest.mark.parametrize("place", ["bout file", "out"])
def test_a_loop_of_links_is_one_line(here: Path, place: str) -> None:
    """Under the bout file's name beside the transcript, and where the records should go."""
    talk = here / "a.srt"
    talk.write_text("1\n00:00:01,000 --> 00:00:02,000\ntwo for red\n", encoding="utf-8")
    loop = here / ("a.bout.toml" if place == "bout file" else "loop")
    loop.symlink_to(loop.name)
    result = run("log", str(talk), *(["--out", str(loop)] if place == "out" else []))
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert "Traceback" not in result.output


@pytest.mark.parametrize("args", [["log"], ["check"], ["log", "--nonsense"], ["nonsense"]])
def test_wrong_usage(args: list[str]) -> None:
    result = run(*args)
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_escape_sequence_in_a_message_does_not_reach_the_terminal(extractor: Extractor, here: Path) -> None:
    assert "\x1b" not in run("log", "gone\x1b[2J.srt").stderr


def test_rules_lists_rulesets_and_editions() -> None:
    result = run("rules")
    assert result.exit_code == 0
    table, _, hint = result.stdout.partition("\n\n")
    rows = [line.split()[:2] for line in table.splitlines()]
    assert ["freestyle", "2022"] in rows
    assert {row[0] for row in rows[1:]} == {"collegiate", "foil", "freestyle", "greco", "scholastic"}
    assert "saidscore rules NAME" in hint


def test_version_is_that_of_the_distribution(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.metadata.version", lambda name: {"saidscore": "7.8.9"}[name])
    assert run("--version").stdout == "saidscore 7.8.9\n"


def test_interrupt_is_quiet(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here / "a.srt", "interrupt"))
    assert (result.exit_code, result.output) == (130, "")


@pytest.mark.parametrize("command", ["log", "check"])
@pytest.mark.parametrize("kind", ["transcript", "--bout", "--parameters"])
def test_file_that_must_not_be_read_gets_one_line(
    kind: str, command: str, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Whoever runs the tests may be allowed everything, so the refusal comes from a stand-in.
    shut = here / "shut.toml"
    files = [write(here / "a.srt", "1\n00:00:01,000 --> 00:00:02,000\ntwo\n")]
    if kind == "transcript":
        files = [write(shut)]
    else:
        files += [kind, write(shut)]
    real_access, real_open = os.access, io.open

    def refuse(path: Any, *args: Any, **kwargs: Any) -> Any:
        if str(path) == str(shut):
            raise PermissionError(13, "Permission denied", str(path))
        return real_open(path, *args, **kwargs)

    monkeypatch.setattr(os, "access", lambda path, mode: str(path) != str(shut) and real_access(path, mode))
    monkeypatch.setattr("io.open", refuse)
    monkeypatch.setattr("builtins.open", refuse)
    result = run(command, *files)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert result.stderr.startswith(f"saidscore: {shut}: cannot be read (Permission denied); ")


def test_absent_bout_file_is_called_one(extractor: Extractor, here: Path) -> None:
    result = run("log", write(here / "a.srt"), "--bout", "gone.toml")
    assert result.exit_code == 2
    assert result.stderr == "saidscore: gone.toml: no such file or folder; give the path of a bout file\n"


def test_folder_in_place_of_the_bout_file_beside(here: Path) -> None:
    (here / "a.bout.toml").mkdir()
    result = run("log", write(here / "a.srt", "1\n00:00:01,000 --> 00:00:02,000\ntwo for red\n"))
    assert result.exit_code == 2
    assert result.stderr == f"saidscore: {here}/a.bout.toml: is a folder; give the path of a file\n"


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (["--red", ""], "--red: the name is empty"),
        (["--blue", " "], "--blue: the name is empty"),
        (["--red", "Bob", "--blue", "bob "], "--blue: the same name as --red, 'bob '"),
    ],
)
def test_names_that_tell_nobody_apart(
    args: list[str], message: str, extractor: Extractor, here: Path
) -> None:
    result = run("log", write(here / "a.srt"), *args)
    assert result.exit_code == 2
    assert message in result.stderr
    assert extractor.calls == []


def test_obstacle_among_the_targets_is_named_and_nothing_written(extractor: Extractor, here: Path) -> None:
    (here / "out" / "b.flags.csv").mkdir(parents=True)
    result = run("log", write(here / "a.srt"), write(here / "b.srt"), "--out", "out")
    assert result.exit_code == 2
    assert result.stderr.startswith("saidscore: out/b.flags.csv: is a folder")
    assert names(here / "out") == ["b.flags.csv"]
    assert extractor.calls == []


def test_what_a_folder_holds_besides_is_told_once(extractor: Extractor, here: Path) -> None:
    for name in ("one.srt", "letter.md", "one.bout.toml", "one.record.json", ".hidden", "deep/two.srt"):
        write(here / "in" / name)
    told = (
        "saidscore: in: not read, as no transcript: letter.md; "
        "folders in it are not read (--recursive reads them): deep\n"
    )
    assert run("log", "in", "--out", "out").stderr == told
    assert run("check", "in").stderr == told
    assert run("log", "in", "--out", "out", "--quiet").stderr == ""


def test_folder_whose_transcripts_lie_deeper(extractor: Extractor, here: Path) -> None:
    write(here / "in" / "deep" / "one.srt")
    assert "--recursive to read the folders in it, too" in run("log", "in").stderr
    assert run("log", "in", "--recursive", "--out", "out").exit_code == 0
    assert names(here / "out" / "deep") == tables("one")


# What follows runs the command in a process of its own, with the stand-in put in place before it starts.
STAND_IN = """
import sys, time
from dataclasses import replace
from types import ModuleType
sys.path[:0] = [{root!r}, {tests!r}]
import extract.transcript
from extract.transcript.cue import Transcript
from record.record_example import make_record
record = make_record()
{before}
def extract_bout(transcript, bout=None, **given):
    {during}
    return record
sys.modules["extract.bout"] = module = ModuleType("extract.bout")
module.extract_bout = extract_bout
extract.transcript.read_transcript = lambda path: Transcript(path.name, "srt", "", ())
extract.transcript.read_bout_file = extract.transcript.transcript_files = lambda path: None
from extract.cli.app import main
main()
"""


def command(*args: str, before: str = "", during: str = "pass") -> list[str]:
    code = textwrap.dedent(STAND_IN).format(
        root=str(ROOT), tests=str(ROOT / "tests"), before=before, during=during
    )
    return [sys.executable, "-c", code, *args]


def spawn(
    *args: str, before: str = "", cwd: Path, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        command(*args, before=before),
        cwd=cwd,
        env={**os.environ, **(env or {})},
        capture_output=True,
        check=False,
        timeout=60,
    )


def test_exit_statuses_of_the_process(here: Path) -> None:
    write(here / "match.srt")
    assert spawn("check", "match.srt", cwd=here).returncode == 1
    assert spawn("log", "match.srt", cwd=here).returncode == 0
    absent = spawn("log", "gone.srt", cwd=here)
    assert (absent.returncode, absent.stdout) == (2, b"")
    assert b"Traceback" not in absent.stderr


@pytest.mark.parametrize("args", [["log", "--json"], ["log", "--out", "out"], ["check"]])
def test_reader_that_goes_away_is_no_error(args: list[str], here: Path) -> None:
    write(here / "match.srt")
    read, write_end = os.pipe()
    os.close(read)
    try:
        done = subprocess.run(
            command(*args, "match.srt"),
            cwd=here,
            stdout=write_end,
            stderr=subprocess.PIPE,
            check=False,
            timeout=60,
            # With a buffer something is left over for the interpreter to flush at its end.
            env={name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"},
        )
    finally:
        os.close(write_end)
    assert (done.returncode, done.stderr) == (141, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
@pytest.mark.parametrize(
    "args", [["log", "--json"], ["log", "--out", "out"], ["check"], ["rules"], ["--help"]]
)
def test_output_that_takes_no_more_is_one_line(args: list[str], here: Path) -> None:
    write(here / "match.srt")
    files = ["match.srt"] if args[0] in ("log", "check") else []
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            command(*args, *files), cwd=here, stdout=full, stderr=subprocess.PIPE, check=False, timeout=60
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"saidscore: standard output: cannot be written (No space left on device)")
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize("args", [["log", "FILE"], ["dataset", "*.srt", "--out", "out"]])
def test_a_current_folder_that_was_deleted_is_named(args: list[str], here: Path) -> None:
    """It is no fault of the output."""
    file = write(here.parent / "match.srt")
    before = f"import os; os.rmdir({str(here)!r})"
    done = spawn(*(file if each == "FILE" else each for each in args), before=before, cwd=here)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith(b"saidscore: .: the current folder is not there any more; ")


def test_entry_loads_nothing_before_it_can_catch_an_interrupt() -> None:
    module = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["scripts"]["saidscore"].split(
        ":"
    )[0]
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); before = set(sys.modules); import {module}\n"
        "print(sorted(set(sys.modules) - before))\n"
    )
    # -I -S: what the site adds to the path may load modules of its own.
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code], capture_output=True, check=True, timeout=60, text=True
    )
    assert done.stdout == f"{sorted(['__future__', 'extract', module])}\n"


def test_interrupt_while_the_program_is_loaded_is_quiet(here: Path) -> None:
    entry = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["scripts"]["saidscore"]
    module, function = entry.split(":")
    code = (
        "import sys\n"
        f"sys.path.insert(0, {str(ROOT)!r})\n"
        "class Interrupted:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name == 'typer': raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Interrupted())\n"
        f"from {module} import {function}\n"
        f"sys.exit({function}())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, timeout=60, cwd=here
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


@pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
def test_interrupt_of_the_process_is_quiet_and_leaves_nothing(here: Path) -> None:
    write(here / "match.srt")
    marker = here / "begun"
    during = f"open({str(marker)!r}, 'w').close(); time.sleep(60)"
    process = subprocess.Popen(
        foreground(command("log", "match.srt", during=during)),
        cwd=here,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    while not marker.exists() and process.poll() is None:
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out, err) == (130, b"", b"")
    assert names(here) == ["begun", "match.srt"]


def test_progress_bar_only_on_a_terminal(here: Path) -> None:
    pty = pytest.importorskip("pty", reason="pseudo-terminals of POSIX")
    for name in ("a.srt", "b.srt"):
        write(here / name)
    assert spawn("log", "a.srt", "b.srt", "--quiet", cwd=here).stderr == b""
    master, slave = pty.openpty()
    done = subprocess.run(
        command("log", "a.srt", "b.srt", "--json"), cwd=here, stdout=subprocess.PIPE, stderr=slave,
        env={**os.environ, "TERM": "xterm"}, check=False, timeout=60,
    )  # fmt: skip
    os.close(slave)
    shown = os.read(master, 100_000)
    os.close(master)
    assert b"a.srt" in shown
    assert done.returncode == 0
    assert len([from_json(line) for line in done.stdout.decode().splitlines()]) == 2


def test_help_imports_nothing_slow(here: Path) -> None:
    code = (
        "import sys\n"
        f"sys.path.insert(0, {str(ROOT)!r})\n"
        "from extract.cli.app import main\n"
        "try: main()\n"
        "finally: print(sorted({'spacy', 'pandas', 'numpy', 'rich', 'rapidfuzz', 'jinja2'} & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "--help"], cwd=here, capture_output=True, check=True, timeout=60
    )
    assert done.stdout.splitlines()[-1] == b"[]"
