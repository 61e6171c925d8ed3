"""What one period is worth with each start that it may have, over all ends that it may have.

The starts are gone through from the last to the first. A time left on the clock that fits a start and an end fits all
earlier starts and all later ends too: it raises what all ends from some place on are worth, once for all starts to come.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import NamedTuple

from extract.log.heights import Heights


@dataclass(frozen=True, slots=True)
class TimeLeft:
    """A time left that was said at ``t``: how far it may be off, how much it counts, and the number of the ``period`` that
    it is said to be of, if any."""

    t: float
    seconds: int
    slack: float
    counts: float
    period: int | None = None


class Stop(NamedTuple):
    """A moment at which a period may end, and what that is worth with all that comes after; ``since`` is the moment before
    which the period must have begun."""

    t: float
    worth: float
    since: float = math.inf


@dataclass(frozen=True, slots=True)
class Ends:
    """Ends of one sort: ``reach`` gives the first and the last moment of those that a start may have; ``whole`` says that
    the clock has run out by then."""

    stops: Sequence[Stop]
    reach: Callable[[float], tuple[float, float]]
    whole: bool = True


class PeriodEnd(NamedTuple):
    """One way a period may go from a start: its worth, its end, and whether the clock has run out by then."""

    worth: float
    end: float
    whole: bool


class TimesLeft:
    """The times left that were said, held against the periods of one number."""

    def __init__(
        self,
        times: Sequence[TimeLeft],
        number: int,
        length: int,
        start_late_s: float,
        fits: float,
        clashes: float,
        beside_s: float,
    ) -> None:
        """``fits`` and ``clashes`` are what a time is worth for a period that it fits, and for one that it does not;
        ``start_late_s`` is how much earlier than its start a period may have begun; so far as ``beside_s`` before and
        after it a time said may still be of it."""
        self._beside_s = beside_s
        self.times = sorted(times, key=lambda time: time.t)
        self._said = [time.t for time in self.times]
        self._number, self._length, self._late = number, length, start_late_s
        self.gains = [fits * time.counts - clashes * time.counts for time in self.times]
        self._clashing = [0.0, *accumulate(clashes * time.counts for time in self.times)]

    def before(self, start: float) -> float:
        """What all times before a period's start would be worth if none fitted."""
        return self._clashing[bisect_left(self._said, start - self._beside_s)]

    def until(self, end: float) -> float:
        """What all times up to a period's end are worth if none fits."""
        return self._clashing[bisect_right(self._said, end + self._beside_s)]

    def entering(self, starts: Sequence[float]) -> dict[int, list[int]]:
        """By the position of the last start that a time fits, the positions of such times."""
        out: dict[int, list[int]] = defaultdict(list)
        for k, time in enumerate(self.times):
            ran = self._length - time.seconds
            if ran < 0 or time.period not in (None, self._number):
                continue

            def too_late(start: float, time: TimeLeft = time, ran: int = ran) -> bool:
                return not (
                    start - self._beside_s <= time.t and ran <= time.t - start + self._late + time.slack
                )

            at = bisect_left(starts, True, key=too_late)
            if at:
                out[at - 1].append(k)
        return out

    def first_end(self, k: int, ends: Sequence[float], *, whole: bool) -> int:
        """The position of the first end that a time fits."""
        time = self.times[k]

        def late_enough(end: float) -> bool:
            return time.t <= end + self._beside_s and (not whole or time.seconds <= end - time.t + time.slack)

        return bisect_left(ends, True, key=late_enough)


class _EndRow:
    """Ends of one sort in order of time, and what each is worth with the start that the sweep has come to."""

    def __init__(self, ends: Ends, clock: TimesLeft, late: float) -> None:
        self.whole, self.reach, self._clock = ends.whole, ends.reach, clock
        self._stops = sorted(ends.stops, key=lambda stop: stop.t)
        self.t = [stop.t for stop in self._stops]
        self._worth = [stop.worth + clock.until(stop.t) for stop in self._stops]
        open_ended = [
            w if s.since == math.inf else -math.inf for w, s in zip(self._worth, self._stops, strict=True)
        ]
        self._near = Heights(open_ended)
        # Long after its clock should have run out, an end is worth the less the later it is.
        self._late = late
        self._far = Heights([w + late * t for w, t in zip(open_ended, self.t, strict=True)])

    def waiting(self, starts: Sequence[float]) -> Iterator[tuple[int, int]]:
        """The position of the last start that may have an end, with that of the end, where not all starts may have it."""
        for k, stop in enumerate(self._stops):
            if stop.since < math.inf and (at := bisect_left(starts, stop.since)):
                yield at - 1, k

    def open(self, k: int) -> None:
        """Lets an end be taken from now on."""
        self._near.put(k, self._worth[k])
        self._far.put(k, self._worth[k] + self._late * self.t[k])

    def fit(self, time: int) -> None:
        """Takes it that a time fits the starts from now on."""
        at, gain = self._clock.first_end(time, self.t, whole=self.whole), self._clock.gains[time]
        self._near.raise_from(at, gain)
        self._far.raise_from(at, gain)

    def most(self, start: float, due: float) -> float:
        """The most that an end of this sort is worth with a start; what comes after ``due`` comes late."""
        low, split, high = self._bounds(start, due)
        near = self._near.most(low, split)
        return near if split >= high else max(near, self._far.most(split, high) - self._late * due)

    def choices(self, start: float, due: float, times: Iterable[int]) -> Iterator[PeriodEnd]:
        """All ends of this sort that a start may have, which these times fit."""
        low, split, high = self._bounds(start, due)
        rises = [0.0] * (high + 1)
        for time in times:
            rises[min(self._clock.first_end(time, self.t, whole=self.whole), high)] += self._clock.gains[time]
        raised = list(accumulate(rises))
        for k in range(low, high):
            if start < self._stops[k].since:
                late = self._late * (self.t[k] - due) if k >= split else 0.0
                yield PeriodEnd(self._worth[k] + raised[k] + late, self.t[k], self.whole)

    def _bounds(self, start: float, due: float) -> tuple[int, int, int]:
        first, last = self.reach(start)
        low, high = bisect_left(self.t, first), bisect_right(self.t, last)
        split = bisect_right(self.t, due) if self.whole else high
        return low, min(max(split, low), high), high


class Sweep:
    """The starts of one period gone through. ``due`` gives for a start when the clock has run out at the latest; each
    second after it weighs ``late``."""

    def __init__(
        self,
        starts: Sequence[float],
        ends: Sequence[Ends],
        clock: TimesLeft,
        due: Callable[[float], float],
        late: float,
    ) -> None:
        """``starts`` are in order."""
        self._starts, self._clock, self._due = starts, clock, due
        self._rows = [_EndRow(sort, clock, late) for sort in ends if sort.stops]

    def worths(self) -> dict[float, tuple[float, float]]:
        """By start, the most that the period is worth if its clock runs out, and if it is over before."""
        out = {}
        for start in self._run():
            due, before = self._due(start), self._clock.before(start)
            most = {True: -math.inf, False: -math.inf}
            for row in self._rows:
                most[row.whole] = max(most[row.whole], row.most(start, due) - before)
            out[start] = most[True], most[False]
        return out

    def choices(self) -> list[PeriodEnd]:
        """All ways that the period may go from its last start."""
        start = self._starts[-1]
        due, before = self._due(start), self._clock.before(start)
        times = self._clock.entering([start])[0]
        found = (choice for row in self._rows for choice in row.choices(start, due, times))
        return [choice._replace(worth=choice.worth - before) for choice in found]

    def _run(self) -> Iterator[float]:
        """The starts, the last first, each as soon as the rows are as they are for it."""
        entering = self._clock.entering(self._starts)
        opening: dict[int, list[tuple[_EndRow, int]]] = defaultdict(list)
        for row in self._rows:
            for at, k in row.waiting(self._starts):
                opening[at].append((row, k))
        for at in range(len(self._starts) - 1, -1, -1):
            for row, k in opening.get(at, ()):
                row.open(k)
            for time in entering.get(at, ()):
                for row in self._rows:
                    row.fit(time)
            yield self._starts[at]
