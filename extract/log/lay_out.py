"""Lays the bout's periods over the recording.

Periods and rests have fixed lengths and the clock only stops or runs, so whistles, horns and times left said on air
pin the one to the other. Boundaries are chosen together: the set of marks with the highest sum of weights that the
lengths allow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from extract.log.agreeing import Said, agreeing
from extract.log.boundaries import Found, best_periods
from extract.log.frame import Frame, Period, Reading
from extract.log.parameters import Parameters
from extract.log.sweep import TimeLeft
from extract.mentions.model import ClockMention, MarkMention
from extract.rules.base import Ruleset


def lay_out(
    marks: Sequence[MarkMention],
    clocks: Sequence[tuple[int, ClockMention]],
    rules: Ruleset,
    seconds: float,
    parameters: Parameters,
    *,
    interpolated: bool,
    begins: float = 0.0,
    introduced: float | None = None,
    stopped: Sequence[float] = (),
    given: Mapping[tuple[str, int], float] | None = None,
) -> Frame:
    """The most telling periods and the clock that goes with them.

    ``clocks`` are ``(position, mention)`` of times on the bout clock; the talk goes on from ``begins`` to ``seconds``;
    a first period whose start nobody marks begins where the bout is ``introduced``;
    ``interpolated`` is true where times inside long cues are only estimated. ``stopped`` are the moments at which
    something was called for which the clock is stopped for a while. ``given`` are boundaries that are known, by kind
    (period_start, period_end) and number of the period, seconds.
    """
    extra = parameters.get("clock", "block_s") if interpolated else 0.0
    periods = _choose(
        marks, clocks, rules, seconds, parameters, extra, stopped, given or {}, begins, introduced
    )
    if given and not _has(periods, given):
        # They cannot all be so: the lay-out is as good as it is without them.
        periods = _choose(marks, clocks, rules, seconds, parameters, extra, stopped, {}, begins, introduced)
    periods = periods or [Period(1, begins, seconds, rules.period_seconds[0])]
    readings: list[Reading] = []
    for n, period in enumerate(periods):
        until = periods[n + 1].start if n + 1 < len(periods) else seconds + 1
        inside = [
            (i, c)
            for i, c in clocks
            if period.start - 5 <= c.t < until - (3 if n + 1 < len(periods) else -60)
        ]
        times = [
            Said(i, c.t, c.seconds, _slack(c, parameters, extra), parameters.get("clock.weight", c.grade))
            for i, c in inside
        ]
        readings.extend(agreeing(times, period, parameters.get("clock", "start_late_s")))
    return Frame(periods, readings)


def _has(periods: Sequence[Period], given: Mapping[tuple[str, int], float]) -> bool:
    """Whether the periods begin and end where it is known that they do."""
    starts = {("period_start", period.number): period.start for period in periods}
    ends = {("period_end", period.number): period.end for period in periods}
    return (starts | ends).items() >= given.items()


def _slack(mention: ClockMention, parameters: Parameters, extra: float) -> float:
    return extra + parameters.get("clock", "fit_s" if mention.bound == "exact" else "loose_s")


def _choose(
    marks: Sequence[MarkMention],
    clocks: Sequence[tuple[int, ClockMention]],
    rules: Ruleset,
    seconds: float,
    parameters: Parameters,
    extra: float,
    stopped: Sequence[float],
    given: Mapping[tuple[str, int], float],
    begins: float,
    introduced: float | None,
) -> list[Period]:
    lengths = _lengths(marks, rules)

    def time_left(c: ClockMention) -> TimeLeft:
        # The period that a time left is said to be of, where the bout has so many.
        period = c.period if c.period is not None and c.period <= len(lengths) else None
        counts = parameters.get("clock.weight", c.grade)
        return TimeLeft(c.t, c.seconds, _slack(c, parameters, extra), counts, period)

    times = [time_left(c) for _, c in clocks]
    introduced = begins if introduced is None else max(begins, introduced)
    # The first period may have begun before the first word, if a time left that is said to be of it says so.
    ran = [c.t - (lengths[0] - c.seconds) for c in times if c.period == 1]
    begins = min([begins, *(max(t, 0.0) for t in ran if begins - lengths[0] <= t)])
    starts = [m for m in marks if m.what == "period_start"]
    ends = [m for m in marks if m.what != "period_start"]
    return best_periods(
        Found(
            starts, ends, times, lengths, rules, begins, seconds, parameters, extra, sorted(stopped),
            given, introduced,
        )
    )  # fmt: skip


def _lengths(marks: Sequence[MarkMention], rules: Ruleset) -> tuple[int, ...]:
    """Lengths of the periods of regulation, and of as many beyond as somebody announced (sudden victory)."""
    regulation = len(rules.period_seconds)
    named = [m.period or 0 for m in marks if m.what == "period_start" and m.stance == "asserted"]
    beyond = max([p - regulation for p in named if p > regulation], default=0)
    return rules.period_seconds + rules.extra_period_seconds[:beyond]
