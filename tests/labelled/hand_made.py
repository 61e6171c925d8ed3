"""Truths and records made by hand, entry by entry."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from extract.labelled.labels import (
    TrueBoard,
    TrueChallenge,
    TrueClock,
    TrueEvent,
    TrueResult,
    TrueScore,
    Truth,
)
from extract.record import BoardEntry, Challenge, ClockReading, Event, Record, Result, Statement
from tests.record.record_example import make_event, make_record, make_statement

SAMPLES = Path(__file__).parent.parent.parent / "sample_transcripts"


def truth(**changed: Any) -> Truth:
    """A bout in which nothing happened; the keywords say what did."""
    nothing: dict[str, Any] = dict.fromkeys(("events", "board", "scores", "clocks", "challenges"), ())
    result = TrueResult(None, "unknown", 0, 0)
    return Truth(
        **{"id": "made", "rules": "freestyle", "format": "srt", "result": result, **nothing, **changed}
    )


def record(**changed: Any) -> Record:
    """A record in which nothing was found; the keywords say what was."""
    nothing: dict[str, Any] = dict.fromkeys(
        ("events", "board", "statements", "clock", "challenges", "flags"), ()
    )
    return replace(make_record(), **{"result": result(), **nothing, **changed})


def result(
    winner: Any = None, by: Any = "unknown", score: tuple[int, int] = (0, 0), sure: float = 0.5
) -> Result:
    return Result(winner, by, score, None, sure)


def award(t: float, called: str = "full call", **changed: Any) -> TrueEvent:
    return TrueEvent(
        **{"t": t, "kind": "takedown", "corner": "red", "points": 2, "called": called, **changed}
    )


def event(number: int, t: float, **changed: Any) -> Event:
    return make_event(number, t, **changed)


def statement(number: int, t: float, said: Any, **changed: Any) -> Statement:
    return make_statement(number, t, **{"said": said, "verdict": "agrees", "slip": None, **changed})


def reading(number: int, t: float, seconds_left: float) -> ClockReading:
    return ClockReading(f"c{number}", t, 1, 0, 5, "clock", seconds_left, "exact", 1)


def challenge(number: int, t: float, by: Any, outcome: Any) -> Challenge:
    return Challenge(f"h{number}", t, by, outcome, None)


def perfect_record(of: Truth) -> Record:
    """The record that has all that is labelled, as it is labelled, and nothing more."""
    standing = [e for e in of.events if e.points and e.status == "stands"]
    return record(
        events=tuple(
            event(k, e.t, kind=e.kind, corner=e.corner, points=e.points, confidence=1.0)
            for k, e in enumerate(standing)
        ),
        board=tuple(BoardEntry(b.t, b.red, b.blue) for b in of.board),
        statements=tuple(
            statement(
                k, s.t, s.said, verdict="disagrees" if s.slip else "agrees", slip=s.slip, confidence=1.0
            )
            for k, s in enumerate(of.scores)
        ),
        clock=tuple(reading(k, c.t, c.seconds_left) for k, c in enumerate(of.clocks)),
        challenges=tuple(challenge(k, c.t, c.by, c.outcome) for k, c in enumerate(of.challenges)),
        result=result(of.result.winner, of.result.by, (of.result.red, of.result.blue), 1.0),
    )


__all__ = [
    "SAMPLES",
    "TrueBoard",
    "TrueChallenge",
    "TrueClock",
    "TrueResult",
    "TrueScore",
    "award",
    "challenge",
    "event",
    "perfect_record",
    "reading",
    "record",
    "result",
    "statement",
    "truth",
]
