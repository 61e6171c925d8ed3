"""A drawn bout: what happened when, and what board and clock showed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from extract.rules import Corner, Move, Outcome, Ruleset


class DrawnEvent(NamedTuple):
    """One event: seconds of recording, period, seconds left on the bout clock, the move, and when a challenge took
    it off the board (None: it stands)."""

    t: float
    period: int
    clock: float
    move: Move
    off: float | None = None


class DrawnChallenge(NamedTuple):
    """A challenge: who asked and when, which event (its position), how and when it was decided."""

    t: float
    by: Corner
    about: int
    outcome: str
    t_outcome: float


class Span(NamedTuple):
    """A period: its number, start and end in seconds of recording, its length on the clock."""

    number: int
    start: float
    end: float
    seconds: int


@dataclass(frozen=True, slots=True)
class DrawnBout:
    """A whole bout. ``stops`` are the stretches of recording in which the clock stood, ``end`` when it was over."""

    seed: int
    rules: Ruleset
    events: tuple[DrawnEvent, ...]
    challenges: tuple[DrawnChallenge, ...]
    spans: tuple[Span, ...]
    stops: tuple[tuple[float, float], ...]
    outcome: Outcome
    end: float

    def board(self) -> list[tuple[float, tuple[int, int]]]:
        """The scoreboard over time; an award is on it until a challenge takes it off."""
        changes: list[tuple[float, Corner, int]] = []
        for e in self.events:
            if e.move.points and e.move.corner is not None:
                changes.append((e.t, e.move.corner, e.move.points))
                if e.off is not None:
                    changes.append((e.off, e.move.corner, -e.move.points))
        red = blue = 0
        out = [(0.0, (0, 0))]
        for t, corner, amount in sorted(changes):
            red, blue = (red + amount, blue) if corner == "red" else (red, blue + amount)
            out.append((t, (red, blue)))
        return out

    def score_at(self, t: float) -> tuple[int, int]:
        """The board at ``t``."""
        return [score for at, score in self.board() if at <= t][-1]

    def clock_at(self, t: float) -> tuple[int, float] | None:
        """Period and seconds left at ``t``; None outside the periods."""
        for span in self.spans:
            if span.start <= t <= span.end:
                stood = sum(max(min(b, t) - max(a, span.start), 0.0) for a, b in self.stops if a < t)
                return span.number, max(span.seconds - (t - span.start - stood), 0.0)
        return None

    def standing(self) -> list[DrawnEvent]:
        """The events that nothing took off the board."""
        return [e for e in self.events if e.off is None]
