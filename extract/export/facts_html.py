"""The fact sheet as one HTML page that asks for nothing from outside."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from extract.export.facts import FactSheet

_TEMPLATES = Path(__file__).with_name("templates")


def facts_html(sheet: FactSheet) -> str:
    """The page. Whatever a transcript may hold stands in it as text."""
    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("facts.html").render(sheet=sheet)
