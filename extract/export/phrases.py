"""Events, flags and challenges as the name of a marker or a clip."""

from __future__ import annotations

from extract.checks.sides import Sides
from extract.checks.words import kind_text
from extract.record.flag_words import slip_text
from extract.record.model import Challenge, Event, Flag
from extract.record.plain import printable
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
    """What else a person must know of an event: that nobody mentioned it, or that it did not stand."""
    remarks = [] if event.basis == "called" or event.kind in BOUNDS else ["not mentioned"]
    return ", ".join([*remarks, *(["overturned"] if event.status == "overturned" else [])])


def challenge_name(challenge: Challenge, sides: Sides) -> str:
    """``challenge by Brackett``."""
    return f"challenge by {sides.name(challenge.by)}" if challenge.by else "challenge"


def outcome_text(challenge: Challenge) -> str:
    """``won``, or that it is not known."""
    return "result unknown" if challenge.outcome == "unknown" else challenge.outcome


def flag_note(flag: Flag, sides: Sides) -> str:
    """What was said and what it should be, why, and the words."""
    parts = [
        slip_text(flag, sides),
        printable(flag.why).rstrip("."),
        f'"{printable(flag.text)}"' if flag.text else "",
    ]
    return "; ".join(part for part in parts if part)
