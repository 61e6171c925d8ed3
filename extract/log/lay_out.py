"""Lays the bout's periods over the recording.

Periods and rests have fixed lengths and the clock only stops or runs, so whistles, horns and times left said on air
pin the one to the other. Boundaries are chosen together: the set of marks with the highest sum of weights that the
lengths allow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from extract.log.frame import Frame, Period, Reading
from extract.log.parameters import Parameters
from extract.mentions.model import ClockMention, MarkMention
from extract.rules.base import Ruleset

#: A break that the rules give no length takes about so long, seconds.
_PAUSE_S = 12.0
#: A stop takes about so long, seconds.
_STOP_S = 7.0
#: Stoppages nobody tells of draw a period out by so much at most, seconds.
_LATE_S = 150.0


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
        readings.extend(_fit(inside, period, parameters, extra))
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
    weight = parameters.table("mark.weight")
    late = parameters.get("clock", "start_late_s")
    first_late = parameters.get("clock", "first_period_s")
    lengths = _lengths(marks, rules)

    def value(mark: MarkMention | None, number: int) -> float:
        if mark is None:
            return float(weight["missing"])
        base = float(weight[mark.grade])
        if mark.period is None:
            return base
        return base + float(weight["number"] if mark.period == number else weight["wrong_number"])

    starts = [m for m in marks if m.what == "period_start"]
    ends = [m for m in marks if m.what != "period_start"]

    read_off = [(c, _slack(c, parameters, extra), parameters.get("clock.weight", c.grade)) for _, c in clocks]

    def told_of(clock: ClockMention) -> int | None:
        """The period that a time left is said to be of."""
        return clock.period if clock.period is not None and clock.period <= len(lengths) else None

    def clock_value(number: int, start: float, end: float, *, whole: bool) -> float:
        total, length = 0.0, lengths[number - 1]
        for c, slack, counts in read_off:
            if not start - 3 <= c.t <= end + 3:
                continue
            ran = length - c.seconds
            fits = 0 <= ran <= c.t - start + late + slack and (not whole or c.seconds <= end - c.t + slack)
            fits = fits and told_of(c) in (None, number)
            total += float(weight["reading_fits" if fits else "reading_clashes"]) * counts
        return total

    @cache
    def best(number: int, earliest: float) -> tuple[float, tuple[Period, ...]]:
        """The best layout from period ``number`` on, which may not start before ``earliest``."""
        length = lengths[number - 1]
        latest = earliest + (first_late if number == 1 else rules.rest_seconds + 75.0)
        options = [(m.t, value(m, number)) for m in starts if earliest <= m.t <= latest]
        unmarked = (
            earliest + rules.rest_seconds if number > 1 else max(earliest, introduced or earliest) + 3.0
        )
        options.append((min(unmarked, seconds), value(None, number)))
        # Where nobody marks the start, times left that are said to be of the period tell it.
        reckoned = {c.t - (length - c.seconds) for _, c in clocks if told_of(c) == number}
        options += [(t, value(None, number)) for t in sorted(reckoned) if earliest <= t <= latest]
        known_start = given.get(("period_start", number))
        if known_start is not None:
            options = [(known_start, 0.0)] if earliest <= known_start <= seconds else []
        known_end = given.get(("period_end", number))
        top: tuple[float, tuple[Period, ...]] = (-1e9, ())
        for start, gain in options:
            natural = start + length
            # So much later it may be because of stops that were told.
            told = _STOP_S * sum(start < t < natural for t in stopped)
            stops = [
                (
                    m.t,
                    value(m, number)
                    + (weight["end_of_bout"] if m.what == "bout_end" and number < len(lengths) else 0.0),
                )
                for m in ends
                if m.t >= natural - weight["early_s"] - extra
            ]
            # Where nobody marks the end, it is where the clock ran out, as far as it was read.
            read = {c.t + c.seconds for _, c in clocks if start < c.t and c.seconds < length / 2}
            # It may be long past that, where the next start was marked and stoppages are not told.
            pause = max(rules.rest_seconds, _PAUSE_S)
            begun = {m.t - pause for m in starts if m.t - pause <= natural + _LATE_S}
            stops += [(t, value(None, number)) for t in {natural, *read, *begun} if t >= natural - 1]
            if known_end is not None:
                stops = [(known_end, 0.0)] if known_end > start else []
            for stop, worth in stops:
                if stop > seconds + 5:
                    continue
                here = gain + worth + clock_value(number, start, stop, whole=True)
                here += float(weight["late_s"]) * (max(stop - natural - told, 0.0) + start - earliest)
                period = Period(number, start, stop, length)
                if number < len(lengths):
                    rest, tail = best(number + 1, stop + max(rules.rest_seconds - 15.0, 0.5))
                else:
                    rest, tail = _tail(stop), ()
                if known_end is not None and not tail and number < len(lengths):
                    # Nothing comes after it: the bout ended with it.
                    rest = float(weight["early"]) + _tail(stop)
                if here + rest > top[0]:
                    top = (here + rest, (period, *tail))
            if known_end is not None:
                continue
            # The bout may end before the clock does: by superiority, a fall, an injury.
            for m in ends:
                if start + 5 < m.t < natural + 120 + told and m.what == "bout_end":
                    here = (
                        gain
                        + value(m, number)
                        + float(weight["early"])
                        + clock_value(number, start, m.t, whole=False)
                        + _tail(m.t)
                    )
                    if here > top[0]:
                        top = (here, (Period(number, start, m.t, length),))
            if start < seconds <= natural + 30:
                here = (
                    gain
                    + value(None, number)
                    + float(weight["early"])
                    + clock_value(number, start, seconds, whole=False)
                )
                if here > top[0]:
                    top = (here, (Period(number, start, seconds, length),))
        return top

    def _tail(end: float) -> float:
        return float(weight["tail_s"]) * max(seconds - end - float(weight["tail_free_s"]), 0.0)

    return list(best(1, begins)[1])


def _lengths(marks: Sequence[MarkMention], rules: Ruleset) -> tuple[int, ...]:
    """Lengths of the periods of regulation, and of as many beyond as somebody announced (sudden victory)."""
    regulation = len(rules.period_seconds)
    named = [m.period or 0 for m in marks if m.what == "period_start" and m.stance == "asserted"]
    beyond = max([p - regulation for p in named if p > regulation], default=0)
    return rules.period_seconds + rules.extra_period_seconds[:beyond]


def _fit(
    clocks: Sequence[tuple[int, ClockMention]], period: Period, parameters: Parameters, extra: float
) -> list[Reading]:
    """Which readings of a period agree with each other: the heaviest chain in which the clock never runs back and
    never runs faster than time."""
    ordered = sorted(clocks, key=lambda c: c[1].t)
    late = parameters.get("clock", "start_late_s")
    n = len(ordered)
    best = [0.0] * n
    back: list[int | None] = [None] * n
    for j, (_, c) in enumerate(ordered):
        slack = _slack(c, parameters, extra)
        weight = parameters.get("clock.weight", c.grade)
        ran = period.seconds - c.seconds
        if not (-1 <= ran <= c.t - period.start + late + slack):
            best[j] = -1e9
            continue
        best[j] = weight
        for i in range(j):
            _, p = ordered[i]
            if best[i] < 0:
                continue
            fell = p.seconds - c.seconds
            room = slack + _slack(p, parameters, extra)
            gap = c.t - p.t
            if -min(room, 4.0) <= fell <= gap + room and best[i] + weight > best[j]:
                best[j], back[j] = best[i] + weight, i
    keep: set[int] = set()
    at: int | None = max(range(n), key=best.__getitem__) if n else None
    if at is not None and best[at] < 0:
        at = None
    while at is not None:
        keep.add(at)
        at = back[at]
    return [Reading(i, c.t, c.seconds, period.number, j in keep) for j, (i, c) in enumerate(ordered)]
