"""The samples and the records expected of them.

``python -m tests.samples`` writes ``sample_transcripts/expected/``; read the difference before you commit it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from extract import extract_bout, read_bout_file, read_transcript
from extract.record import Record
from extract.record.files import to_json
from extract.transcript import BoutFile, Transcript, transcript_files

FOLDER = Path(__file__).resolve().parent.parent / "sample_transcripts"
EXPECTED = FOLDER / "expected"
NAMES = tuple(path.name for path in transcript_files(FOLDER))

Read = tuple[Transcript, BoutFile | None, Record]


def extracted(path: Path) -> Read:
    """The transcript in a file, what is known of its bout, and the record of it."""
    sheet = path.with_name(f"{path.stem}.bout.toml")
    transcript, bout = read_transcript(path), read_bout_file(sheet) if sheet.exists() else None
    return transcript, bout, extract_bout(transcript, bout)


@cache
def bout_at(path: Path) -> Read:
    """The same, once for all tests that look at a file of the project."""
    return extracted(path)


def sample(name: str) -> Read:
    """A sample by the name of its file, once for all tests."""
    return bout_at(FOLDER / name)


def sample_records() -> dict[str, str]:
    """The record of every sample as JSON, by the name of its file. Each is made anew."""
    return {f"{Path(name).stem}.record.json": to_json(extracted(FOLDER / name)[2]) for name in NAMES}


if __name__ == "__main__":
    EXPECTED.mkdir(exist_ok=True)
    for name, text in sample_records().items():
        (EXPECTED / name).write_text(text, encoding="utf-8")
