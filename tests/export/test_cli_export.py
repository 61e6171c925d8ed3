"""The commands export and facts: where they look, what they write, and what they refuse, each in one line."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from export_samples import LANTERN, LANTERN_TALK, run

from extract import read_transcript
from extract.export import FORMS
from extract.export.captions import captions_vtt
from extract.record import from_json, to_json


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a record and its transcript, the current one."""
    shutil.copy(LANTERN, tmp_path)
    shutil.copy(LANTERN_TALK, tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("form", FORMS)
def test_one_loop_with_a_transcript_goes_over_every_form(form: str, here: Path) -> None:
    shutil.move("lantern-final.srt", "talk.srt")
    given = run("export", LANTERN.name, "--as", form, "--transcript", "talk.srt")
    assert (given.exit_code, given.stderr) == (0, "")
    shutil.move("talk.srt", "lantern-final.srt")
    assert given.stdout == run("export", LANTERN.name, "--as", form).stdout


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_printed_or_written(form: str, here: Path) -> None:
    printed = run("export", LANTERN.name, "--as", form)
    assert (printed.exit_code, printed.stderr) == (0, "")
    written = run("export", LANTERN.name, "--as", form, "--out", "out.txt")
    assert (written.exit_code, written.stdout, written.stderr) == (0, "", "")
    assert (here / "out.txt").read_bytes() == printed.stdout_bytes
    assert names(here) == ["lantern-final.record.json", "lantern-final.srt", "out.txt"]


def test_help_names_every_form() -> None:
    text = " ".join(run("export", "--help").stdout.replace("│", " ").split())
    assert all(form in text for form in FORMS)


def test_transcript_is_found_beside_the_record_here_or_where_it_is_said(here: Path) -> None:
    (here / "deep").mkdir()
    shutil.move(LANTERN.name, "deep")
    record = Path("deep") / LANTERN.name
    expected = captions_vtt(from_json(LANTERN), read_transcript(LANTERN_TALK))
    assert run("export", record, "--as", "captions-vtt").stdout == expected
    shutil.move("lantern-final.srt", "deep")
    assert run("export", record, "--as", "captions-vtt").stdout == expected
    # Another file of that name here is passed over for the right one.
    shutil.move("deep/lantern-final.srt", "deep/talk.srt")
    (here / "lantern-final.srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nso\n")
    given = run("export", record, "--as", "captions-vtt", "--transcript", "deep/talk.srt")
    assert given.stdout == expected
    shutil.move("lantern-final.srt", "deep")
    shutil.move("deep/talk.srt", "lantern-final.srt")
    assert run("export", record, "--as", "captions-vtt").stdout == expected


@pytest.mark.parametrize("explicit", [True, False])
def test_another_transcript_is_refused(explicit: bool, here: Path) -> None:
    (here / "lantern-final.srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nso\n")
    more = ("--transcript", "lantern-final.srt") if explicit else ()
    done = run("export", LANTERN.name, "--as", "captions-srt", "--out", "out.srt", *more)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(
        "saidscore: lantern-final.srt: is not the transcript that lantern-final.record.json was made from (SHA-256 "
    )
    assert len(done.stderr.splitlines()) == 1
    assert "out.srt" not in names(here)


CAPTIONS = ("--as", "captions-vtt")
CLIPS = ("--as", "clips-csv")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        ((), "--as: no form is named; use one of captions-vtt, "),
        (("--as", "edl"), "--as: unknown form 'edl'; use one of captions-vtt, "),
        ((*CAPTIONS, "--fps", "25"), "--fps: does not go with --as captions-vtt; leave it out"),
        ((*CLIPS, "--when", "end"), "--when: does not go with --as clips-csv; leave it out"),
        (
            (*CAPTIONS, "--fps", "25", "--before", "2", "--when", "end"),
            "--fps --before: do not go with --as captions-vtt; leave them out",
        ),
        ((*CAPTIONS, "--when", "later"), "--when: unknown moment 'later'; use one of start, end, change"),
        (
            ("--as", "markers-csv", "--before", "2"),
            "--before: does not go with --as markers-csv; leave it out",
        ),
        ((*CLIPS, "--fps", "29"), "--fps: unknown frame rate '29'; use one of 23.976, 24, 25, 29.97, "),
        ((*CLIPS, "--start-timecode", "1:00"), "--start-timecode: '1:00' is no time code HH:MM:SS:FF; give "),
        (
            (*CLIPS, "--start-timecode", "01:00:00;00"),
            "--start-timecode: '01:00:00;00' is drop-frame, which 25 ",
        ),
        ((*CLIPS, "--before", "-1"), "--before: -1 is no such time; give seconds from 0 to 3600"),
        ((*CLIPS, "--after", "nan"), "--after: nan is no such time; give seconds from 0 to 3600"),
        (
            (*CLIPS, "--out", "gone/out.csv"),
            "gone/out.csv: its folder does not exist; name a file in a folder",
        ),
        ((*CLIPS, "--out", "."), ".: is no file; name a file with --out, or leave it out to print"),
        (
            (*CLIPS, "--out", LANTERN.name),
            f"{LANTERN.name}: would be overwritten, and it is read; name another",
        ),
        (
            (*CAPTIONS, "--out", "lantern-final.srt"),
            "lantern-final.srt: would be overwritten, and it is read; ",
        ),
        (
            (*CAPTIONS, "--transcript", "gone.srt"),
            "gone.srt: cannot be read (No such file or directory); give ",
        ),
    ],
)
def test_what_is_wrong_is_one_line(args: tuple[str, ...], told: str, here: Path) -> None:
    before = {path.name: path.read_bytes() for path in here.iterdir()}
    done = run("export", LANTERN.name, *args)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"saidscore: {told}")
    assert len(done.stderr.splitlines()) == 1
    assert {path.name: path.read_bytes() for path in here.iterdir()} == before


def test_no_transcript_is_one_line(here: Path) -> None:
    (here / "lantern-final.srt").unlink()
    done = run("export", LANTERN.name, *CAPTIONS)
    assert done.exit_code == 2
    assert done.stderr == (
        "saidscore: lantern-final.record.json: its transcript 'lantern-final.srt' is neither beside it nor in the "
        "current folder; give it with --transcript\n"
    )


@pytest.mark.parametrize("command", [("export", "--as", "clips-csv"), ("facts",), ("facts", "--html")])
@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "a.json: cannot be read (No such file or directory); give a record as this program writes it"),
        (b"{\n\n!", "a.json:3: is not JSON "),
        (b"\xff\xfe\x00", "a.json: is not UTF-8; "),
        (b"{}", "a.json: has schema None, not 'saidscore.record/1'; "),
        (b'{"schema": "saidscore.record/1"}', "a.json: source: missing; "),
    ],
)
def test_record_that_is_none(content: bytes | None, told: str, command: tuple[str, ...], here: Path) -> None:
    if content is not None:
        (here / "a.json").write_bytes(content)
    done = run(command[0], "a.json", *command[1:])
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"saidscore: {told}")
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    "command", [("export", "--as", "clips-csv"), ("facts",), ("report",)], ids=lambda command: command[0]
)
@pytest.mark.parametrize(
    "name", ["lantern-final.srt", "ropewalk-greco.json", "pellingham-dual.txt", "shed-notes.csv"]
)
def test_a_transcript_in_place_of_a_record_is_told_what_to_do(
    name: str, command: tuple[str, ...], here: Path
) -> None:
    shutil.copy(LANTERN_TALK.with_name(name), here / "my talk")
    done = run(command[0], "my talk", *command[1:])
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == (
        "saidscore: my talk: is a transcript; make its record first: saidscore log 'my talk'\n"
    )


@pytest.mark.parametrize("command", ["log", "check", "session"])
@pytest.mark.parametrize("lines", [False, True])
def test_a_record_in_place_of_a_transcript_is_told_what_it_is(command: str, lines: bool, here: Path) -> None:
    (here / "a.json").write_text(to_json(from_json(LANTERN), one_line=lines), encoding="utf-8")
    done = run(command, "a.json")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(
        "saidscore: a.json: is a record, not a transcript; give the transcript that "
    )
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize("command", ["log", "check", "report", "facts"])
@pytest.mark.parametrize(
    "content", [b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", b"PK\x03\x04\x14\x00word/document.xml"]
)
def test_a_file_of_another_program_is_told_in_one_line(command: str, content: bytes, here: Path) -> None:
    (here / "a.bin").write_bytes(content)
    done = run(command, "a.bin")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("saidscore: a.bin:")
    assert len(done.stderr.splitlines()) == 1


def test_failure_in_writing_leaves_what_was_there(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (here / "out.csv").write_text("old")

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", refuse)
    done = run("export", LANTERN.name, *CLIPS, "--out", "out.csv")
    assert done.exit_code == 2
    assert done.stderr.startswith("saidscore: out.csv: cannot be written (No space left on device); ")
    assert (here / "out.csv").read_text() == "old"
    assert names(here) == ["lantern-final.record.json", "lantern-final.srt", "out.csv"]


@pytest.mark.skipif(not Path("/dev/null").exists(), reason="a device of POSIX")
def test_device_is_not_replaced_by_a_file(here: Path) -> None:
    assert run("export", LANTERN.name, *CLIPS, "--out", "/dev/null").exit_code == 2
    assert not Path("/dev/null").is_file()


def test_options_reach_the_form(here: Path) -> None:
    done = run("export", LANTERN.name, *CLIPS, "--fps", "29.97", "--start-timecode", "10:00:00:00", "--before", "0.5",
               "--after", "1")  # fmt: skip
    assert done.stdout.splitlines()[1].startswith("45.84,47.34,10:00:45;24,10:00:47;09,")


def test_facts_in_both_forms(here: Path) -> None:
    assert run("facts", LANTERN.name).stdout.startswith("Fact sheet: Brannoway against Skelvara\n")
    assert run("facts", LANTERN.name, "--html").stdout.startswith("<!DOCTYPE html>\n")
