"""The samples with the records expected of them, and the command."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from extract import read_transcript
from extract.cli.app import app
from extract.record import Record, from_json
from extract.transcript import Transcript, transcript_files
from tests.samples import EXPECTED, FOLDER

LANTERN = EXPECTED / "lantern-final.record.json"
LANTERN_TALK = FOLDER / "lantern-final.srt"


def sample_bouts() -> list[tuple[Record, Transcript]]:
    """Every sample's record and transcript."""
    return [
        (from_json(EXPECTED / f"{path.stem}.record.json"), read_transcript(path))
        for path in transcript_files(FOLDER)
    ]


def run(*args: str | Path) -> Any:
    """What the command does: ``exit_code``, ``stdout``, ``stderr``."""
    return CliRunner().invoke(app, [str(arg) for arg in args])
