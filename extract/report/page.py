"""Puts the report together: one HTML page that contains its style and its script and asks for nothing outside."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import Any

from extract.checks.understood import NOTHING
from extract.checks.words import clock_text, kind_text, moment_text, score_text
from extract.record.bout_words import (
    VERDICTS,
    counts_text,
    ending_text,
    rules_text,
    short_sides,
)
from extract.record.html import script_hash, templates_of
from extract.record.model import Event, Record
from extract.record.plain import guess_warning, percent, printable, side, stated, talk_text
from extract.report.cards import cards, uncertain
from extract.report.chart import NARROW, WIDE, chart
from extract.report.marks import marked_cues
from extract.report.picture import picture_svg
from extract.rules.base import UNLISTED
from extract.transcript.cue import Transcript

TEMPLATES = Path(__file__).with_name("templates")


def report_page(record: Record, transcript: Transcript) -> str:
    """The report of a bout as HTML. ``transcript`` is the one that the record was made from, so that the places of
    the evidence are positions in it."""
    script = _part("report.js")
    return (
        templates_of(TEMPLATES)
        .get_template("report.html.j2")
        .render(
            **shown(record, transcript),
            style=_part("report.css"),
            script=script,
            script_hash=script_hash(script),
        )
    )


def shown(record: Record, transcript: Transcript) -> dict[str, Any]:
    """What ``view.html.j2`` shows of a bout."""
    sides = short_sides(record)
    understood = _understood(record)
    every = cards(record, transcript)
    if not understood:
        # What the flags of an empty log say of its 0-0 would look like a result.
        every = tuple(card for card in every if card.flag.kind not in (NOTHING, "winner"))
    return {
        "record": record,
        "sides": sides,
        "understood": understood,
        "headline": ending_text(record, sides),
        "rules": rules_text(record),
        "counts": counts_text(record),
        "verdicts": VERDICTS,
        "slips": [card for card in every if card.is_slip],
        "warnings": [card for card in every if not card.is_slip and card.flag.severity != "note"],
        "notes": [card for card in every if card.flag.severity == "note"],
        "uncertain": uncertain(record),
        "charts": (("wide", chart(record, WIDE)), ("narrow", chart(record, NARROW))) if understood else (),
        "picture": picture_svg(record) if understood else "",
        "cues": marked_cues(record, transcript),
        "periods": _sheet(record),
        "guess_warning": guess_warning(record),
        "first_cue": _first_cues(record),
        "percent": percent,
        "printable": printable,
        "clock": clock_text,
        "moment": lambda t: moment_text(t, record.source.order),
        "timed": record.source.order is None,
        "score": score_text,
        "kind": kind_text,
        "side": side,
        "stated": lambda statement: stated(statement, sides),
        "talk_text": talk_text,
        "css_text": _css_text,
    }


def _understood(record: Record) -> bool:
    """Whether anything of a bout was found: a score, somebody's points or warning, a challenge, or a winner."""
    if any(flag.kind == NOTHING for flag in record.flags):
        return False
    told = any(event.corner or event.against for event in record.events)
    stated = record.statements or any(flag.said is not None for flag in record.flags)
    return bool(told or stated or record.challenges or record.result.winner)


def _sheet(record: Record) -> list[tuple[int, list[Event]]]:
    """The events of the score sheet by period."""
    events = [event for event in record.events if event.kind not in UNLISTED]
    return [(period, list(rows)) for period, rows in groupby(events, key=lambda event: event.period)]


def _first_cues(record: Record) -> dict[str, int]:
    """Where in the talk each event and challenge is first told, by id."""
    entries = [(each.id, each.evidence) for each in record.events]
    entries += [(each.id, each.evidence) for each in record.challenges]
    return {name: evidence[0].cue for name, evidence in entries if evidence}


def _part(name: str) -> str:
    """The text of a file of the templates: the style or the script."""
    return (TEMPLATES / name).read_text(encoding="utf-8")


def _css_text(text: str) -> str:
    """A text as a string of a style sheet: every character that may not stand there as its number."""
    return (
        '"'
        + "".join(c if (c.isascii() and c.isalnum()) or c == " " else f"\\{ord(c):x} " for c in text)
        + '"'
    )
