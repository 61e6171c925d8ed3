"""Puts the report together: one HTML page that contains its style and its script and asks for nothing outside."""

from __future__ import annotations

import base64
import hashlib
from itertools import groupby
from pathlib import Path
from typing import Any

from extract.checks.words import clock_text, kind_text, moment_text, score_text
from extract.record.bout_words import counts_text, ending_text, rules_text, short_sides
from extract.record.flag_words import flag_head, place_text, slip_text
from extract.record.html import templates_of
from extract.record.model import Event, Record
from extract.record.plain import guess_warning, percent, side, source_text, stated, talk_text
from extract.report.marks import marked_cues
from extract.report.timeline import timeline
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
            script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
        )
    )


def shown(record: Record, transcript: Transcript) -> dict[str, Any]:
    """What ``view.html.j2`` shows of a bout."""
    sides = short_sides(record)
    return {
        "record": record,
        "timeline": timeline(record),
        "cues": marked_cues(record, transcript),
        "periods": _sheet(record),
        "guess_warning": guess_warning(record),
        "first_cue": _first_cues(record),
        "source": source_text,
        "percent": percent,
        "sides": sides,
        "counts": counts_text(record),
        "result": ending_text(record, sides),
        "rules": rules_text(record),
        "head": lambda flag: flag_head(flag, record),
        "slip": lambda flag: slip_text(flag, sides),
        "place": lambda flag: place_text(flag, record),
        "clock": clock_text,
        "moment": lambda t: moment_text(t, record.source.order),
        "timed": record.source.order is None,
        "score": score_text,
        "kind": kind_text,
        "side": side,
        "stated": lambda statement: stated(statement, sides),
        "talk_text": talk_text,
    }


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
