"""Collegiate (NCAA) and scholastic (NFHS) wrestling: control, choice of position, riding time, overtime."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from extract.rules.base import CORNERS, Corner, Move, Outcome, State, other
from extract.rules.family import Family, of


class Folkstyle(Family):
    """The folkstyle family. ``State.control`` is who is on top; it decides which scores are possible.

    Taken by ``apply`` after the end, and judged anew: ``near_fall`` for the winner who is still on top, when a takedown
    or reversal that reached the technical fall or won sudden victory led straight into it (NFHS changes for 2024-25,
    technical fall); ``riding_time`` once regulation ended by points, which can level the score and so reopen the bout
    for overtime; ``ride_out`` for who was on top through an ultimate tie-breaker. ``riding_time`` without a point, at
    the end of a round of tie-breakers, wins a level bout. Penalties outside the usual ladder (unsportsmanlike conduct,
    say) exist, so every value of ``penalty_point`` is open.
    """

    silent = ("stalling_warning", "restart")

    def _kind_of(self, period: int) -> str:
        """What ``period`` is: ``regulation``, or the kind of an extra period."""
        extra = period - len(self.period_seconds)
        return "regulation" if extra <= 0 else self.data.extra_periods[extra - 1][0]

    def _periods(self) -> int:
        return len(self.period_seconds) + len(self.data.extra_periods)

    def riding_round(self, period: int) -> int | None:
        """Regulation is one reckoning, the tie-breakers of overtime the next; nothing counts in sudden victory."""
        if self.riding_time_seconds is None or not 1 <= period <= self._periods():
            return None
        return {"regulation": 0, "tiebreaker": 1}.get(self._kind_of(period))

    def _scores(self, state: State) -> Iterator[Move]:
        top = state.control
        for corner in CORNERS:
            kinds = (
                ("takedown",) if top is None else ("near_fall",) if corner == top else ("escape", "reversal")
            )
            for kind in kinds:
                for points in self.points_of(kind):
                    yield Move(kind, corner, points)

    def _calls(self, state: State) -> Iterator[Move]:
        if state.running:
            # After an injury time-out or the third stalling penalty the other side chooses how they start again.
            yield from (Move("restart", corner) for corner in (None, *CORNERS) if corner != state.control)
        ladder = self.data.stalling_ladder
        for corner in CORNERS:
            offender = other(corner)
            step = of(state.warnings, offender) + of(state.penalties, offender)
            if step < len(ladder):
                if ladder[step] == 0:
                    yield Move("stalling_warning", None, 0, offender)
                else:
                    yield Move("stalling_point", corner, ladder[step], offender)
            limit = self.data.penalty_limit
            for points in self.points_of("penalty_point"):
                # The points of false starts and injury time-outs, always one, are of no chart and never disqualify.
                if points == 1 or limit is None or of(state.cautions, offender) < limit:
                    yield Move("penalty_point", corner, points, offender)
            if self._riding_time_due(state):
                for points in self.points_of("riding_time"):
                    yield Move("riding_time", corner, points)
                if self._riding_time_decides(state):
                    yield Move("riding_time", corner, 0)
            if self._rides_out(state, corner):
                for points in self.points_of("ride_out"):
                    yield Move("ride_out", corner, points)

    def _riding_time_due(self, state: State) -> bool:
        """Whether riding time is reckoned in this period or the break after it, and not yet given.

        Given as the wrestling ends, but often called out before the whistle: any time in the last period will
        do. In overtime it is reckoned over the tie-breakers (NCAA 3.16.4).
        """
        if state.riding_time:
            return False
        if self._kind_of(state.period) == "tiebreaker":
            return self._closes_tiebreakers(state.period)
        return state.period == len(self.period_seconds)

    def _riding_time_decides(self, state: State) -> bool:
        """Whether any net advantage wins the bout now: level after a round of tie-breakers in which no riding-time point
        was given (NCAA 3.16.4 and A.R. 3-11), in the older editions only after the last round."""
        level = state.score[0] == state.score[1]
        if not level or state.riding_time or not self._closes_tiebreakers(state.period):
            return False
        if self._kind_of(state.period) != "tiebreaker":
            return False
        last = state.period == self._periods()
        return self.data.riding_time_decides == "each" or (self.data.riding_time_decides == "last" and last)

    def _rides_out(self, state: State, corner: Corner) -> bool:
        level = state.score[0] == state.score[1]
        return level and state.control == corner and self._kind_of(state.period) == "ultimate"

    def _decided(self, state: State, move: Move) -> Outcome | None:
        if move.kind == "riding_time" and not move.points:
            return Outcome(move.corner, "criteria")
        return super()._decided(state, move)

    def _closes_tiebreakers(self, period: int) -> bool:
        return period >= self._periods() or self._kind_of(period + 1) != "tiebreaker"

    def _starts(self, state: State) -> Iterator[Move]:
        following = state.period + 1
        if following > self._periods():
            return
        kind = self._kind_of(following)
        if kind in ("regulation", "sudden_victory"):
            yield Move("period_start")
        if kind in ("tiebreaker", "ultimate") or 1 < following <= len(self.period_seconds):
            yield Move("period_start", "red")
            yield Move("period_start", "blue")

    def _changes(self, state: State, move: Move) -> dict[str, Any]:
        if move.kind == "period_start":
            # Each round of overtime begins with sudden victory, and with clocks at zero (A.R. 3-11).
            anew = self._kind_of(state.period + 1) == "sudden_victory"
            return {"control": move.corner, **({"riding_time": False} if anew else {})}
        if move.kind in ("takedown", "reversal"):
            return {"control": move.corner}
        if move.kind == "escape":
            return {"control": None}
        if move.kind == "restart":
            return {"control": move.corner}
        if move.kind == "riding_time":
            return {"riding_time": True}
        if move.kind == "ride_out":
            return {"control": None}
        # Riding out the ultimate tie-breaker wins it, so there the position outlasts the whistle.
        if move.kind == "period_end" and self._kind_of(min(state.period, self._periods())) != "ultimate":
            return {"control": None}
        return {}

    def _is_end(self, state: State) -> bool:
        level = state.score[0] == state.score[1]
        if state.period < len(self.period_seconds):
            return False
        kind = self._kind_of(min(state.period, self._periods()))
        if kind == "sudden_victory":
            return not level
        if kind == "ultimate":
            return not level or not state.running
        if state.running:
            return False
        if kind == "tiebreaker":
            return self._closes_tiebreakers(state.period) and (not level or state.period >= self._periods())
        return not level

    def _standing(self, state: State) -> Outcome | None:
        standing = super()._standing(state)
        ridden_out = state.period == self._periods() and not state.running and state.control is not None
        if standing is None and ridden_out and self._kind_of(state.period) == "ultimate":
            return Outcome(state.control, "criteria")
        return standing

    def _is_late(self, state: State, move: Move) -> bool:
        if state.over is None or move.corner is None:
            return False
        if move.kind == "riding_time" and not move.points:
            return state.over.by == "unknown" and self._riding_time_decides(state)
        if move.points not in self.points_of(move.kind):
            return False
        if move.kind == "ride_out":
            return state.over.by == "criteria" and self._rides_out(state, move.corner)
        if move.kind == "riding_time":
            return state.over.by == "points" and self._riding_time_due(state)
        by_lead = state.over.by in ("superiority", "points") and state.running
        return move.kind == "near_fall" and by_lead and move.corner == state.over.winner == state.control

    def _counted(self, state: State) -> dict[str, tuple[int, int]]:
        # The steps of the ladder count, warnings and points alike, and nothing beyond the last.
        (red, blue), last = state.warnings, len(self.data.stalling_ladder)
        steps = (min(red + state.penalties[0], last), min(blue + state.penalties[1], last))
        limit = self.data.penalty_limit or 0
        cautions = (min(state.cautions[0], limit), min(state.cautions[1], limit))
        return {"warnings": steps, "penalties": (0, 0), "cautions": cautions}

    def _why_not(self, state: State, move: Move) -> str | None:
        if move.kind in ("stalling_warning", "stalling_point") and move.against is not None:
            step = of(state.warnings, move.against) + of(state.penalties, move.against)
            return (
                f"call {step + 1} on {move.against} is another step of the ladder {self.data.stalling_ladder}"
            )
        if move.kind == "penalty_point" and move.against is not None:
            return (
                f"{move.against} has had {of(state.cautions, move.against)} penalties; the next disqualifies"
            )
        if move.kind == "riding_time":
            return "given already" if state.riding_time else "reckoned only at the end of the bout"
        if state.running and move.kind in ("takedown", "escape", "reversal", "near_fall"):
            return f"not open to {move.corner}, {_position(state.control)}"
        if move.kind == "bout_end" and state.score[0] == state.score[1]:
            return "the score is level, wrestling goes on"
        return None


class Collegiate(Folkstyle):
    """Collegiate wrestling: three, two and two minutes, riding time."""


class Scholastic(Folkstyle):
    """Scholastic wrestling: three periods of two minutes, no riding time, an ultimate tie-breaker."""


def _position(top: Corner | None) -> str:
    return "both are in neutral" if top is None else f"{top} is on top"
