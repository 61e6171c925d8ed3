"""The command ``correct``: what it is given wrongly is told in one line, before anything is served."""

from __future__ import annotations

import shutil
import socket
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.desk import DeskOptions, open_bout
from extract.record import write_record
from tests.decisions.desk_talk import sample
from tests.desk.served import ROOT, put

NAME = "lantern-final"


@pytest.fixture
def records(tmp_path: Path) -> Path:
    put(tmp_path, ROOT / "sample_transcripts" / "lantern-final.srt")
    return tmp_path


def refused(*args: str) -> str:
    """The one line that a call ends with."""
    result = CliRunner().invoke(app, ["correct", *args, "--no-browser"])
    assert result.exit_code == 2
    assert "Traceback" not in result.output
    assert result.stderr.count("\n") == 1
    return result.stderr


def test_what_is_not_there(tmp_path: Path) -> None:
    assert "no such file or folder" in refused(str(tmp_path / "none.record.json"))
    assert "no record in this folder" in refused(str(tmp_path))


def test_what_is_no_record(tmp_path: Path) -> None:
    (tmp_path / "x.record.json").write_text("nonsense")
    assert "x.record.json:1: is not JSON" in refused(str(tmp_path / "x.record.json"))


def test_a_record_without_its_transcript(records: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (records / f"{NAME}.srt").unlink()
    monkeypatch.chdir(records)
    assert "give it with --transcript" in refused(str(records / f"{NAME}.record.json"))


def test_another_transcript(records: Path) -> None:
    (records / f"{NAME}.srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nTwo red.\n")
    assert "is not the transcript that" in refused(str(records / f"{NAME}.record.json"))


def test_broken_decisions(records: Path) -> None:
    (records / f"{NAME}.decisions.jsonl").write_text("{}\n")
    assert f"{NAME}.decisions.jsonl:1: is no decision" in refused(str(records / f"{NAME}.record.json"))


def test_an_empty_name(records: Path) -> None:
    assert "--by: the name is empty" in refused(str(records), "--by", " ")


def test_one_bout_file_for_a_folder(records: Path) -> None:
    assert "cannot stand for a folder" in refused(str(records), "--bout", str(records / f"{NAME}.bout.toml"))


def test_a_port_that_is_taken(records: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        assert f"--port: {port} cannot be used" in refused(str(records), "--port", port)


def test_words_of_ones_own_have_to_be_given_again(tmp_path: Path) -> None:
    from extract import extract_bout

    transcript, bout, _ = sample("lantern-final.srt")
    words = tmp_path / "club.toml"
    words.write_text(
        '[[entry]]\nrole = "kind"\nvalue = "takedown"\nstrength = "call"\nforms = ["heave ho"]\n'
    )
    write_record(extract_bout(transcript, bout, lexicons=[words]), tmp_path, NAME)
    shutil.copy(ROOT / "sample_transcripts" / f"{NAME}.srt", tmp_path)
    assert "give them with --lexicon" in refused(str(tmp_path / f"{NAME}.record.json"))


def test_what_was_given_by_an_option_is_known_again(tmp_path: Path) -> None:
    from extract import extract_bout

    transcript, _, _ = sample("lantern-final.srt")
    record = extract_bout(transcript, rules="freestyle", red="Junia Skelvara", blue="Ottilie Brannoway")
    write_record(record, tmp_path, NAME)
    shutil.copy(ROOT / "sample_transcripts" / f"{NAME}.srt", tmp_path)
    opened = open_bout(tmp_path / f"{NAME}.record.json", DeskOptions("wren"))
    assert opened.state().record == record
