"""The fact sheet as one HTML page that asks for nothing from outside."""

from __future__ import annotations

from pathlib import Path

from extract.export.facts import FactSheet
from extract.record.pages import page_html

_TEMPLATE = Path(__file__).with_name("templates") / "facts.html.j2"


def facts_html(sheet: FactSheet) -> str:
    """The page. Everything from the transcript is escaped."""
    return page_html(_TEMPLATE, sheet=sheet)
