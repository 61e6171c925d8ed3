"""Reports to open in the browser: of the samples, and of any other bout."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

from extract.record.model import Record
from extract.report import report_page
from extract.transcript import Transcript
from tests import samples


def sample(name: str) -> tuple[Record, Transcript]:
    """A sample's record and its transcript."""
    transcript, _, record = samples.sample(name)
    return record, transcript


def open_report(page: Page, folder: Path, record: Record, transcript: Transcript) -> None:
    """Write the report of a bout into ``folder`` and open it from there, as somebody would who was sent it."""
    path = folder / "bout.report.html"
    path.write_text(report_page(record, transcript), encoding="utf-8")
    page.goto(path.as_uri())
