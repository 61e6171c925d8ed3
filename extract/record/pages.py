"""Offline pages beside a record: one HTML file with its style and its script inside, that asks for nothing."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from extract.record.html import script_hash, templates_of

_BASE = Path(__file__).with_name("templates")


def page_html(template: Path, **shown: object) -> str:
    """The page of a template that fills ``page.html.j2``. ``NAME.css`` and ``NAME.js`` beside ``NAME.html.j2`` are its own
    style and script, if they are there. Everything in ``shown`` is escaped."""
    name = template.name.removesuffix(".html.j2")
    script = _text(template.with_name(f"{name}.js"))
    return (
        templates_of(template.parent, _BASE)
        .get_template(template.name)
        .render(
            **shown,
            style=_text(_BASE / "page.css") + _text(template.with_name(f"{name}.css")),
            script=script,
            script_hash=script_hash(script),
        )
    )


@cache
def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8") if path.exists() else ""
