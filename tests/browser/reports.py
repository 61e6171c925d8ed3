"""Reports to open in the browser: of the samples, and of any other bout."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from playwright.sync_api import Page

from extract import extract_bout, read_bout_file, read_transcript
from extract.record.model import Record
from extract.report import report_page
from extract.transcript import Transcript, transcript_files

SAMPLES = Path(__file__).parents[2] / "sample_transcripts"
NAMES = [path.name for path in transcript_files(SAMPLES)]


@lru_cache(maxsize=len(NAMES))
def sample(name: str) -> tuple[Record, Transcript]:
    """A sample's record and its transcript."""
    transcript = read_transcript(SAMPLES / name)
    sheet = SAMPLES / f"{name.rsplit('.', 1)[0]}.bout.toml"
    return extract_bout(transcript, read_bout_file(sheet) if sheet.exists() else None), transcript


def open_report(page: Page, folder: Path, record: Record, transcript: Transcript) -> None:
    """Write the report of a bout into ``folder`` and open it from there, as somebody would who was sent it."""
    path = folder / "bout.report.html"
    path.write_text(report_page(record, transcript), encoding="utf-8")
    page.goto(path.as_uri())
