"""Freestyle and Greco-Roman under the rules of United World Wrestling."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from extract.rules.base import CORNERS, Corner, Move, State, other
from extract.rules.family import Family, of
from extract.rules.kinds import kinds_that

ACTIONS = kinds_that("action")


class Olympic(Family):
    """The two olympic styles: no control to keep, criteria at a level score, challenges that may cost a
    point.

    Taken by ``apply`` after the end, and judged anew: ``challenge_point``, since the last action is often challenged,
    unless a fall or the like ended the bout; and after superiority the actions that finish the attack or counter it, a
    fall among them.
    """

    silent: tuple[str, ...] = ("passivity_warning",)

    def criteria_in_order(self, state: State) -> Iterator[tuple[str, Corner | None]]:
        """The criteria of a level score: the highest-value points, then fewer cautions, then the last point; at 1-1 some
        editions of Greco-Roman have an order of their own. There are none at 0-0 or when somebody leads.

        Points for cautions, passivity and lost challenges count by their value like any other.
        """
        if state.score[0] != state.score[1] or not state.values:
            return
        for name in self.data.level_score_criteria:
            holder = CRITERIA[name](state)
            yield name, holder
            if holder is not None:
                return

    def _scores(self, state: State) -> Iterator[Move]:
        for kind in (kind for kind in self.scoring_kinds if kind in ACTIONS):
            for points in self.points_of(kind):
                for corner in CORNERS:
                    yield Move(kind, corner, points)

    def _calls(self, state: State) -> Iterator[Move]:
        for corner in CORNERS:
            offender = other(corner)
            for points in self.points_of("caution"):
                yield Move("caution", corner, points, offender)
            if of(state.challenges, offender) > 0:
                for points in self.points_of("challenge_point"):
                    yield Move("challenge_point", corner, points)
            yield Move("passivity_warning", None, 0, offender)
            if self._may_lose_point(state, offender):
                for points in self.points_of("passivity_point"):
                    yield Move("passivity_point", corner, points, offender)

    def _may_lose_point(self, state: State, passive: Corner) -> bool:
        """Whether a passivity point may be given against ``passive``. Lenient: a side that was warned may
        lose it without an activity clock, because nobody may have mentioned its start."""
        limit = self.data.passivity_points_limit
        if limit is not None and sum(state.penalties) >= limit:
            return False
        return (
            state.activity == passive or of(state.warnings, passive) >= self.data.calls_before_passivity_point
        )

    def _starts(self, state: State) -> Iterator[Move]:
        if state.period < len(self.period_seconds):
            yield Move("period_start")

    def _changes(self, state: State, move: Move) -> dict[str, Any]:
        if move.kind == "challenge_point" and move.corner is not None:
            red, blue = state.challenges
            return {
                "challenges": (red, max(blue - 1, 0)) if move.corner == "red" else (max(red - 1, 0), blue)
            }
        if move.kind in ("passivity_point", "period_start"):
            return {"activity": None}
        return {}

    def _is_end(self, state: State) -> bool:
        return not state.running and state.period >= len(self.period_seconds)

    def _is_late(self, state: State, move: Move) -> bool:
        if state.over is None or move.corner is None or move.points not in self.points_of(move.kind):
            return False
        if move.kind == "challenge_point":
            open_to_one = state.over.by in ("points", "criteria", "superiority", "unknown")
            return open_to_one and of(state.challenges, other(move.corner)) > 0
        # The bout is stopped only when both are back in neutral: the attack, and the counter, are finished first
        # (Art. 27 and 43).
        return state.over.by == "superiority" and state.running and move.kind in (*ACTIONS, "fall")

    def _counted(self, state: State) -> dict[str, tuple[int, int]]:
        (red, blue), enough = state.warnings, self.data.calls_before_passivity_point
        return {"warnings": (min(red, enough), min(blue, enough))}

    def _why_not(self, state: State, move: Move) -> str | None:
        if move.kind == "challenge_point" and move.corner is not None:
            return f"{other(move.corner)} has no challenge left to lose"
        if move.kind == "passivity_point" and move.against is not None:
            limit = self.data.passivity_points_limit
            if limit is not None and sum(state.penalties) >= limit:
                return f"passivity brings no point after the first {limit} of a bout"
            return f"{move.against} was neither warned nor put on the activity clock"
        return None


class Freestyle(Olympic):
    """Freestyle: after a verbal warning, passivity starts an activity clock; a point if nothing is scored."""

    silent = (*Olympic.silent, "activity_clock_start")

    def _calls(self, state: State) -> Iterator[Move]:
        yield from super()._calls(state)
        if state.running:
            for corner in CORNERS:
                if state.activity != corner:
                    yield Move("activity_clock_start", None, 0, corner)

    def _changes(self, state: State, move: Move) -> dict[str, Any]:
        if move.kind == "activity_clock_start":
            return {"activity": move.against}
        if move.kind in ACTIONS and state.activity is not None:
            ended = self.data.activity_ended_by == "either" or move.corner == state.activity
            return {"activity": None} if ended else {}
        return super()._changes(state, move)


class Greco(Olympic):
    """Greco-Roman: passivity brings a point and the choice of par terre at once; no activity clock."""


def _highest_value(state: State) -> Corner | None:
    red, blue = (sorted((p for side, p in state.values if side == c), reverse=True) for c in CORNERS)
    return None if red == blue else ("red" if red > blue else "blue")


def _fewest_cautions(state: State) -> Corner | None:
    red, blue = state.cautions
    return None if red == blue else ("red" if red < blue else "blue")


def _last_point(state: State) -> Corner | None:
    return state.values[-1][0]


def _first_point_at_one_all(state: State) -> Corner | None:
    """At 1-1 fewer cautions, then the first point (test of 2025)."""
    return (_fewest_cautions(state) or state.values[0][0]) if state.score == (1, 1) else None


def _one_all_ladder(state: State) -> Corner | None:
    """At 1-1 (from 2026): who has no caution where the other has one; then a point earned on the mat before one that is
    not; then the first point where neither is earned, the last where both are."""
    if state.score != (1, 1):
        return None
    fewer = _fewest_cautions(state)
    if fewer is not None:
        return fewer
    earned = _earners(state)
    if len(earned) == 1:
        return earned[0]
    return state.values[-1 if earned else 0][0]


def _most_of_the_highest(state: State) -> Corner | None:
    """The highest value, then more of it (2026: nothing is said of the next)."""
    red, blue = ([p for side, p in state.values if side == c] for c in CORNERS)
    top = (max(red, default=0), max(blue, default=0))
    counts = (red.count(max(top)), blue.count(max(top)))
    return None if counts[0] == counts[1] else ("red" if counts[0] > counts[1] else "blue")


def _last_earned_point(state: State) -> Corner | None:
    """The last technical point: one that an action earned; where there is none, the last of any."""
    return (_earners(state) or [side for side, _ in state.values])[-1]


def _earners(state: State) -> list[Corner]:
    """Who earned each of the points that an action earned, in order."""
    return [side for (side, _), earned in zip(state.values, state.earned, strict=True) if earned]


CRITERIA: dict[str, Callable[[State], Corner | None]] = {
    "highest_value": _highest_value,
    "fewest_cautions": _fewest_cautions,
    "last_point": _last_point,
    "first_point_at_one_all": _first_point_at_one_all,
    "one_all_ladder": _one_all_ladder,
    "most_of_the_highest": _most_of_the_highest,
    "last_earned_point": _last_earned_point,
}
