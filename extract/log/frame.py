"""Lays the bout's periods and its clock over the recording.

Periods and rests have fixed lengths and the clock only stops or runs, so whistles, horns and times left said on air
pin the one to the other. Boundaries are chosen together: the set of marks with the highest sum of weights that the
lengths allow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from extract.log.parameters import Parameters
from extract.mentions.model import ClockMention, MarkMention
from extract.rules.base import Ruleset

#: A bout that ends so long before its clock has run out, in seconds, was ended by something.
_EARLY_S = 20.0
#: A break that the rules give no length takes about so long, seconds.
_PAUSE_S = 12.0
#: A stop takes about so long, seconds.
_STOP_S = 7.0
#: Stoppages nobody tells of draw a period out by so much at most, seconds.
_LATE_S = 150.0


@dataclass(frozen=True, slots=True)
class Period:
    """One period: its number, start and end in seconds of recording, and the clock it starts with."""

    number: int
    start: float
    end: float
    seconds: int


@dataclass(frozen=True, slots=True)
class Reading:
    """A time left said on air: which mention (its position), when, what, and whether the clock agrees with it."""

    index: int
    t: float
    seconds: int
    period: int
    fits: bool


class Frame:
    """Periods in order and the clock in each."""

    def __init__(
        self,
        periods: Sequence[Period],
        readings: Sequence[Reading],
        stops: Sequence[tuple[float, float]] = (),
        pauses: Sequence[float] = (),
        *,
        ran_out: bool = False,
    ) -> None:
        self._stops = tuple(stops)
        self._pauses = tuple(pauses)
        self.periods = tuple(periods)
        self.readings = tuple(readings)
        self._anchors: dict[int, list[tuple[float, float]]] = {}
        for period in self.periods:
            points = [(period.start, float(period.seconds))]
            points += [(r.t, float(r.seconds)) for r in self.readings if r.fits and r.period == period.number]
            whole = period.end - period.start >= period.seconds and period.end > points[-1][0]
            if whole and (period is not self.periods[-1] or ran_out):
                points.append((period.end, 0.0))
            self._anchors[period.number] = points

    def period_at(self, t: float) -> Period | None:
        """The last period that has begun at ``t``."""
        found = None
        for period in self.periods:
            if period.start <= t:
                found = period
        return found

    def ends_early(self, lengths: Sequence[int]) -> bool:
        """Whether the bout ends well before its clock has run out."""
        if not self.periods:
            return False
        last = self.periods[-1]
        return last.number < len(lengths) or last.end < last.start + last.seconds - _EARLY_S

    def clock_at(self, t: float) -> tuple[float, float] | None:
        """Seconds left on the bout clock at ``t`` and how far that may be off; None before the bout.

        Between two known readings the clock ran for the difference of their values and stood for the rest. It is
        taken to have stood after what stops it (``stopped_in``), each time as long; where nothing is known to have, the
        value lies between "ran at once" and "stood at once".
        """
        period = self.period_at(t)
        if period is None:
            return None
        if t >= period.end and period is self.periods[-1]:
            t = period.end
        points = self._anchors[period.number]
        before = max((p for p in points if p[0] <= t), default=points[0], key=lambda p: p[0])
        after = min((p for p in points if p[0] > t), default=None, key=lambda p: p[0])
        low = before[1] - self._running(before[0], t)
        if after is None:
            return max(round(low, 1), 0.0), round(min(2.0 + 0.05 * (t - before[0]), 30.0), 1)
        high = min(before[1], after[1] + self._running(t, after[0]))
        low = max(low, after[1])
        if low > high:
            low = high = (low + high) / 2
        stood = self._running(before[0], after[0]) - (before[1] - after[1])
        pauses = [p for p in self._pauses if before[0] <= p < after[0]]
        if pauses and stood > 0:
            each = stood / len(pauses)
            value = low + sum(min(each, t - p) for p in pauses if p < t)
            unsure = min((high - low) / 2, each / 2 if len(pauses) > 1 else 0.0)
            return max(round(min(value, high), 1), 0.0), round(unsure + 1.0, 1)
        return max(round((low + high) / 2, 1), 0.0), round((high - low) / 2 + 1.0, 1)

    def stopped_in(
        self, stops: Sequence[tuple[float, float]], pauses: Sequence[float], *, ran_out: bool
    ) -> Frame:
        """The same frame, knowing that the clock stood in these stretches (reviews), that it was stopped at these moments
        for some time (step-outs, penalties), and whether the last period ran to its end."""
        return Frame(self.periods, self.readings, stops, pauses, ran_out=ran_out)

    def _running(self, a: float, b: float) -> float:
        """Seconds between ``a`` and ``b`` in which the clock is not known to have stood."""
        stood = sum(max(0.0, min(b, end) - max(a, start)) for start, end in self._stops)
        return max(b - a - stood, 0.0)


def lay_out(
    marks: Sequence[MarkMention],
    clocks: Sequence[tuple[int, ClockMention]],
    rules: Ruleset,
    seconds: float,
    parameters: Parameters,
    *,
    interpolated: bool,
    stopped: Sequence[float] = (),
) -> Frame:
    """The most telling periods and the clock that goes with them.

    ``clocks`` are ``(position, mention)`` of times on the bout clock, ``seconds`` the length of the talk;
    ``interpolated`` is true where times inside long cues are only estimated. ``stopped`` are the moments at which
    something was called for which the clock is stopped for a while.
    """
    extra = parameters.get("clock", "block_s") if interpolated else 0.0
    periods = _choose(marks, clocks, rules, seconds, parameters, extra, stopped)
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
) -> list[Period]:
    weight = parameters.table("mark.weight")
    late = parameters.get("clock", "start_late_s")
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

    def clock_value(start: float, end: float, length: int, *, whole: bool) -> float:
        total = 0.0
        for _, c in clocks:
            if not start - 3 <= c.t <= end + 3:
                continue
            slack = _slack(c, parameters, extra)
            ran = length - c.seconds
            fits = 0 <= ran <= c.t - start + late + slack and (not whole or c.seconds <= end - c.t + slack)
            total += float(weight["reading_fits" if fits else "reading_clashes"]) * parameters.get(
                "clock.weight", c.grade
            )
        return total

    @cache
    def best(number: int, earliest: float) -> tuple[float, tuple[Period, ...]]:
        """The best layout from period ``number`` on, which may not start before ``earliest``."""
        length = lengths[number - 1]
        latest = earliest + (150.0 if number == 1 else rules.rest_seconds + 75.0)
        options = [(m.t, value(m, number)) for m in starts if earliest <= m.t <= latest]
        options.append(
            (min(earliest + (3.0 if number == 1 else rules.rest_seconds), seconds), value(None, number))
        )
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
            for stop, worth in stops:
                if stop > seconds + 5:
                    continue
                here = gain + worth + clock_value(start, stop, length, whole=True)
                here += float(weight["late_s"]) * (max(stop - natural - told, 0.0) + start - earliest)
                period = Period(number, start, stop, length)
                if number < len(lengths):
                    rest, tail = best(number + 1, stop + max(rules.rest_seconds - 15.0, 0.5))
                else:
                    rest, tail = _tail(stop), ()
                if here + rest > top[0]:
                    top = (here + rest, (period, *tail))
            # The bout may end before the clock does: by superiority, a fall, an injury.
            for m in ends:
                if start + 5 < m.t < natural + 120 + told and m.what == "bout_end":
                    here = (
                        gain
                        + value(m, number)
                        + float(weight["early"])
                        + clock_value(start, m.t, length, whole=False)
                        + _tail(m.t)
                    )
                    if here > top[0]:
                        top = (here, (Period(number, start, m.t, length),))
            if start < seconds <= natural + 30:
                here = (
                    gain
                    + value(None, number)
                    + float(weight["early"])
                    + clock_value(start, seconds, length, whole=False)
                )
                if here > top[0]:
                    top = (here, (Period(number, start, seconds, length),))
        return top

    def _tail(end: float) -> float:
        return float(weight["tail_s"]) * max(seconds - end - float(weight["tail_free_s"]), 0.0)

    return list(best(1, 0.0)[1]) or [Period(1, 0.0, seconds, lengths[0])]


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
