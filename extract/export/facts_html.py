"""The fact sheet as one HTML page that asks for nothing from outside."""

from __future__ import annotations

from pathlib import Path

from extract.export.facts import FactSheet
from extract.record.html import templates_of

_TEMPLATES = Path(__file__).with_name("templates")


def facts_html(sheet: FactSheet) -> str:
    """The page. Everything from the transcript is escaped."""
    return templates_of(_TEMPLATES).get_template("facts.html").render(sheet=sheet)
