"""The running balance of riding time, from who is in control in the log and what the clock shows meanwhile."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from extract.log.to_log import BoutLog
from extract.rules.base import Corner, Ruleset
from extract.rules.riding import Hold, riding_balance

#: Kinds after which somebody else, or nobody, may be in control.
_TURNS = frozenset({"takedown", "reversal", "escape", "period_start", "period_end", "restart"})


@dataclass(frozen=True, slots=True)
class Ride:
    """The balance at a moment: ``t`` in seconds of recording, period, bout clock in seconds left, ``balance`` red's
    seconds of control less blue's and how far it may be off, ``control`` who is on top from then on."""

    t: float
    period: int
    clock: float
    balance: float
    uncertainty: float
    control: Corner | None


@dataclass(frozen=True, slots=True)
class _Turn:
    """A moment at which the control may have changed, with what the clock showed and how far that may be off."""

    t: float
    period: int
    clock: float
    unsure: float
    control: Corner | None


def riding_time(log: BoutLog, rules: Ruleset) -> tuple[Ride, ...]:
    """The balance at each change of control and at the end, in order; empty where the style has no riding time, and where
    nobody knows how long a control lasted.

    It starts anew with overtime. Awards that a review took away never changed the control.
    """
    known = rules.riding_time_seconds is not None and log.order is None
    return tuple(_rides(log, rules)) if known else ()


def balance_at(rides: Sequence[Ride], log: BoutLog, t: float) -> tuple[float, float] | None:
    """Red's seconds of control less blue's at ``t``, and how far that may be off; None before the first ride."""
    at = bisect_right(rides, t, key=lambda ride: ride.t)
    last = rides[at - 1] if at else None
    clock = log.frame.clock_at(t)
    if last is None or clock is None:
        return None
    if last.control is None:
        return last.balance, last.uncertainty
    ran = max(last.clock - clock[0], 0.0)
    return last.balance + (ran if last.control == "red" else -ran), hypot(last.uncertainty, clock[1])


def _rides(log: BoutLog, rules: Ruleset) -> Iterator[Ride]:
    holds: list[Hold] = []
    spread = 0.0
    reckoning = 0
    before: _Turn | None = None
    for turn in _turns(log, rules):
        this = rules.riding_round(turn.period)
        if this is not None and this != reckoning:
            holds, spread, reckoning = [], 0.0, this
        if before is not None and before.control is not None and this is not None:
            holds.append(Hold(before.control, max(before.clock - turn.clock, 0.0)))
            spread = hypot(spread, before.unsure, turn.unsure)
        before = turn
        yield Ride(
            turn.t, turn.period, turn.clock, round(riding_balance(holds), 1), round(spread, 1), turn.control
        )


def _turns(log: BoutLog, rules: Ruleset) -> Iterator[_Turn]:
    """The turns of control in order, and the end of the wrestling."""
    standing = [event for event in log.events if event.entry.overturned is None]
    played, done = rules.played(()), 0
    for k, event in enumerate(standing):
        kind = event.entry.move.kind
        if kind not in _TURNS or event.clock is None:
            continue
        clock, unsure = event.clock, event.clock_uncertainty or 0.0
        if kind == "period_start":
            clock, unsure = float(rules.seconds_of(event.period) or event.clock), 0.0
        elif kind == "period_end":
            clock, unsure = 0.0, 0.0
        played = rules.played([e.entry.move for e in standing[done : k + 1]], played)
        done = k + 1
        control = rules.replay((), played).control
        yield _Turn(event.t, event.period, clock, unsure, control)
    if not standing or not log.frame.periods:
        return
    last, period = standing[-1], log.frame.periods[-1]
    if log.ran_out and last.entry.move.kind != "period_end":
        yield _Turn(max(last.t, period.end), period.number, 0.0, 0.0, None)
    elif not log.ran_out and last.clock is not None:
        yield _Turn(last.t, last.period, last.clock, last.clock_uncertainty or 0.0, None)
