"""Events, flags and challenges as the name of a marker or a clip."""

from __future__ import annotations

from extract.checks.words import kind_text
from extract.export.sides import Sides
from extract.record.model import Challenge, Event, Flag
from extract.record.plain import printable, score_or_words
from extract.rules.base import BOUNDS


def event_name(event: Event, sides: Sides) -> str:
    """``takedown Varnholt 2``, ``caution against Brackett, Varnholt 1``, ``period 1 start``."""
    kind = kind_text(event.kind)
    if event.kind in BOUNDS:
        return kind.replace("period", f"period {event.period}")
    to = [sides.name(event.corner)] if event.corner else []
    points = [str(event.points)] if event.points else []
    if event.against is None:
        return " ".join([kind, *to, *points])
    warned = f"{kind} against {sides.name(event.against)}"
    return ", ".join([warned, *([" ".join([*to, *points])] if points else [])])


def event_state(event: Event) -> str:
    """What else a person must know of an event: that nobody called it, or that it did not stand."""
    remarks = [] if event.basis == "called" or event.kind in BOUNDS else ["not called"]
    return ", ".join([*remarks, *(["overturned"] if event.status == "overturned" else [])])


def challenge_name(challenge: Challenge, sides: Sides) -> str:
    """``challenge by Brackett``."""
    return f"challenge by {sides.name(challenge.by)}" if challenge.by else "challenge"


def outcome_text(challenge: Challenge) -> str:
    """``won``, or that it is not known."""
    return "outcome not known" if challenge.outcome == "unknown" else challenge.outcome


def flag_note(flag: Flag) -> str:
    """What was said and what is computed (red first), why, and the words."""
    values = [
        f"{word} {score_or_words(value)}"
        for word, value in (("said", flag.said), ("computed", flag.computed))
        if value is not None
    ]
    parts = [", ".join(values), printable(flag.why), f'"{printable(flag.text)}"' if flag.text else ""]
    return "; ".join(part for part in parts if part)
