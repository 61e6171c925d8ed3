"""Events, flags and challenges as markers for an editing program, one a row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from extract.checks.sides import Sides
from extract.export.phrases import challenge_name, event_name, event_state, flag_note, outcome_text
from extract.export.sides import score_line
from extract.export.timecode import FrameRate, frame_at, label
from extract.record.bout_words import short_sides
from extract.record.files import csv_text
from extract.record.flag_words import flag_head
from extract.record.model import Record
from extract.record.plain import printable

HEADER = ("timecode", "type", "name", "note")


@dataclass(frozen=True, slots=True)
class Marker:
    """``t`` in seconds; ``type`` is event, challenge or flag."""

    t: float
    type: str
    name: str
    note: str


def markers_csv(record: Record, rate: FrameRate, start: int) -> str:
    """CSV (RFC 4180, no byte order mark): time code, type, name and note of each marker, by time. ``start`` is the
    recording's first frame in time code."""
    found = sorted(_markers(record), key=lambda marker: marker.t)
    rows = ((label(start + frame_at(m.t, rate), rate), m.type, m.name, m.note) for m in found)
    return csv_text(HEADER, rows)


def _markers(record: Record) -> Iterator[Marker]:
    sides = short_sides(record)
    for event in record.events:
        parts = (score_line(sides, event.score_after), event_state(event), printable(event.why))
        yield Marker(event.t, "event", event_name(event, sides), "; ".join(part for part in parts if part))
    yield from _challenges(record, sides)
    for flag in record.flags:
        yield Marker(flag.t, "flag", flag_head(flag, record), flag_note(flag, sides))


def _challenges(record: Record, sides: Sides) -> Iterator[Marker]:
    """A marker at each request, and one at its outcome if that is known."""
    for challenge in record.challenges:
        name, outcome = challenge_name(challenge, sides), outcome_text(challenge)
        yield Marker(challenge.t, "challenge", name, outcome)
        if challenge.t_outcome is not None:
            yield Marker(challenge.t_outcome, "challenge", f"{name}: {outcome}", "")
