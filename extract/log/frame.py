"""The bout's periods over the recording, and the bout clock at each moment."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

#: The clock is read in whole seconds.
WHOLE_S = 1
#: A clock reading is off by so much at the least, seconds.
_ROUGH_S = 1.0
#: Where no later reading is known the clock is off by so much at the least and at the most, seconds, and in between by a
#: share of the time since the last one.
_DRIFT_LEAST_S, _DRIFT_MOST_S, _DRIFT = 2.0, 30.0, 0.05


@dataclass(frozen=True, slots=True)
class Period:
    """One period: its number, start and end in seconds of recording, and the clock it starts with."""

    number: int
    start: float
    end: float
    seconds: int


@dataclass(frozen=True, slots=True)
class TimeCheck:
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
        readings: Sequence[TimeCheck],
        stops: Sequence[tuple[float, float]] = (),
        pauses: Sequence[float] = (),
        *,
        ran_out: bool = False,
        result_early_s: float = 0.0,
        ends: float | None = None,
    ) -> None:
        """``readings`` are the times said; the clock stood in ``stops``, and was stopped for some time at ``pauses``;
        ``ran_out`` says whether the last period ran to its end. A result may be told so long before the end as
        ``result_early_s``. ``ends`` is when the bout ends, if that is not with the last of ``periods``."""
        self._result_early_s, self._ends = result_early_s, ends
        self._stops = tuple(stops)
        self._pauses = sorted(pauses)
        # Where no stop is over before an earlier one, those of a stretch stand together.
        self._ordered = all(a[0] <= b[0] and a[1] <= b[1] for a, b in pairwise(self._stops))
        self.periods = tuple(periods)
        self.readings = tuple(readings)
        self._anchors: dict[int, list[tuple[float, float]]] = {}
        fitting: dict[int, list[tuple[float, float]]] = defaultdict(list)
        for r in self.readings:
            if r.fits:
                fitting[r.period].append((r.t, float(r.seconds)))
        for period in self.periods:
            points = [(period.start, float(period.seconds)), *fitting[period.number]]
            whole = period.end - period.start >= period.seconds and period.end > points[-1][0]
            if whole and (period is not self.periods[-1] or ran_out):
                points.append((period.end, 0.0))
            points.sort(key=_moment)
            self._anchors[period.number] = points

    @property
    def end(self) -> float:
        """When the last period ends, seconds of recording; 0 where there is none."""
        if self._ends is not None:
            return self._ends
        return self.periods[-1].end if self.periods else 0.0

    def at_end(self, t: float) -> bool:
        """Whether what is said at ``t`` is said at the end of the bout or after it, so that it tells the result."""
        return t >= self.end - self._result_early_s

    def period_at(self, t: float) -> Period | None:
        """The last period that has begun at ``t``."""
        found = None
        for period in self.periods:
            if period.start <= t:
                found = period
        return found

    def ends_early(self, lengths: Sequence[int], early_s: float) -> bool:
        """Whether the bout ends more than ``early_s`` seconds before its clock has run out: something ended it."""
        if not self.periods:
            return False
        last = self.periods[-1]
        return last.number < len(lengths) or last.end < last.start + last.seconds - early_s

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
        at = bisect_right(points, t, key=_moment)
        # Of points at one moment the first holds.
        before = points[bisect_left(points, points[at - 1][0], key=_moment)] if at else points[0]
        after = points[at] if at < len(points) else None
        low = before[1] - self._running(before[0], t)
        if after is None:
            return max(round(low, 1), 0.0), round(
                min(_DRIFT_LEAST_S + _DRIFT * (t - before[0]), _DRIFT_MOST_S), 1
            )
        high = min(before[1], after[1] + self._running(t, after[0]))
        low = max(low, after[1])
        if low > high:
            low = high = (low + high) / 2
        stood = self._running(before[0], after[0]) - (before[1] - after[1])
        low_pause, high_pause = bisect_left(self._pauses, before[0]), bisect_left(self._pauses, after[0])
        pauses = self._pauses[low_pause:high_pause]
        if pauses and stood > 0:
            each = stood / len(pauses)
            value = low + sum(min(each, t - p) for p in pauses if p < t)
            unsure = min((high - low) / 2, each / 2 if len(pauses) > 1 else 0.0)
            return max(round(min(value, high), 1), 0.0), round(unsure + _ROUGH_S, 1)
        return max(round((low + high) / 2, 1), 0.0), round((high - low) / 2 + _ROUGH_S, 1)

    def stopped_in(
        self, stops: Sequence[tuple[float, float]], pauses: Sequence[float], *, ran_out: bool
    ) -> Frame:
        """The same frame, knowing that the clock stood in these stretches (reviews), that it was stopped at these moments
        for some time (step-outs, penalties), and whether the last period ran to its end."""
        return Frame(
            self.periods,
            self.readings,
            stops,
            pauses,
            ran_out=ran_out,
            result_early_s=self._result_early_s,
            ends=self._ends,
        )

    def so_far(self, now: float) -> Frame:
        """The periods that have begun by ``now``, of a bout that goes on."""
        begun = [period for period in self.periods if period.start <= now] or self.periods[:1]
        early = self._result_early_s
        return Frame(begun, self.readings, result_early_s=early, ends=self.end)

    def _running(self, a: float, b: float) -> float:
        """Seconds between ``a`` and ``b`` in which the clock is not known to have stood."""
        stops = self._stops
        if self._ordered:
            stops = stops[bisect_left(stops, a, key=_end) : bisect_right(stops, b, key=_moment)]
        stood = sum(max(0.0, min(b, end) - max(a, start)) for start, end in stops)
        return max(b - a - stood, 0.0)


def _moment(point: tuple[float, float]) -> float:
    return point[0]


def _end(stop: tuple[float, float]) -> float:
    return stop[1]
