"""Where the periods begin and end: the boundaries with the highest sum of weights that the lengths allow.

What a period is worth depends on its start and its end alone, and on the rest of the bout after it. So each period in turn,
from the last to the first, is gone through with all starts and ends that it may have.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from extract.log.frame import WHOLE_S, Period
from extract.log.heights import Heights
from extract.log.parameters import Parameters
from extract.log.sweep import Ends, PeriodEnd, Stop, Sweep, TimeLeft, TimesLeft
from extract.mentions.model import MarkMention
from extract.rules.base import Ruleset

#: Worths that differ by less are the same, but for rounding.
_SAME = 1e-9
#: The worth of no layout at all.
_NONE = -1e9


@dataclass(frozen=True, slots=True)
class Grounds:
    """All that the choice of the boundaries depends on. ``starts`` and ``ends`` are the marks of either, ``lengths`` those
    of the periods, ``extra`` by how much more times may be off where they are only estimated; for the rest see
    ``TimeSigns``."""

    starts: Sequence[MarkMention]
    ends: Sequence[MarkMention]
    times: Sequence[TimeLeft]
    lengths: Sequence[int]
    rules: Ruleset
    begins: float
    seconds: float
    parameters: Parameters
    extra: float
    stopped: Sequence[float]
    given: Mapping[tuple[str, int], float]
    introduced: float | None = None
    goes_on: float = 0.0

    @property
    def until(self) -> float:
        """When the talk is over at the latest, seconds of recording."""
        return self.seconds + self.goes_on

    def without_given(self) -> Grounds:
        """The same without the boundaries that are known."""
        return replace(self, given={})


def best_periods(found: Grounds) -> list[Period]:
    """The most telling periods; none where the given boundaries allow no layout."""
    periods = [_PeriodWorth(found, number) for number in range(1, len(found.lengths) + 1)]
    moments = [[found.begins]]
    for period in periods[:-1]:
        moments.append(period.earliest_after(moments[-1]))
    # What the periods from each on are worth, by the earliest moment for the start.
    tails: list[dict[float, float]] = [{}]
    for period, earliest in zip(reversed(periods), reversed(moments), strict=True):
        tails.append(period.worth_from(earliest, tails[-1]))
    tails.reverse()
    out: list[Period] = []
    at = found.begins
    for period, after in zip(periods, tails[1:], strict=True):
        chosen = period.chosen(at, after)
        if chosen is None:
            break
        start, choice = chosen
        out.append(Period(period.number, start, choice.end, period.length))
        if not choice.whole:
            break
        at = period.next_earliest(choice.end)
    return out


class _PeriodWorth:
    """What one period is worth by its start and its end."""

    def __init__(self, found: Grounds, number: int) -> None:
        self._found, self.number = found, number
        self.length = length = found.lengths[number - 1]
        self._last = number == len(found.lengths)
        self._weight = weight = found.parameters.table("mark.weight")
        self._limits = limits = found.parameters.table("periods")
        self._none = float(weight["missing"])
        self._late = float(weight["late_s"])
        self._rest_s = found.rules.rest_seconds
        #: So long after the earliest moment it may begin.
        self._open_s = (
            found.parameters.get("clock", "first_period_s")
            if number == 1
            else self._rest_s + limits["open_s"]
        )
        self._known_start = found.given.get(("period_start", number))
        self._known_end = found.given.get(("period_end", number))
        marked = [(m.t, self._value(m)) for m in found.starts]
        # Where nobody marks the start, times left that are said to be of the period tell it.
        by_clock = {
            max(time.t - (length - time.seconds), 0.0) for time in found.times if time.period == number
        }
        marked += [(t, self._none) for t in sorted(by_clock)]
        self._marks = sorted(marked, key=lambda mark: mark[0])
        self._mark_times = [t for t, _ in self._marks]
        #: By start, what the period is worth with all that comes after it: whole, and over early.
        self._worths: dict[float, tuple[float, float]] = {}
        self._clock = TimesLeft(
            found.times,
            number,
            length,
            found.parameters.get("clock", "start_late_s"),
            float(weight["reading_fits"]),
            float(weight["reading_clashes"]),
            limits["beside_s"],
        )

    def _value(self, mark: MarkMention) -> float:
        """What a mark is worth as a boundary of this period."""
        base = float(self._weight[mark.grade])
        if mark.period is None:
            return base
        return base + float(self._weight["number" if mark.period == self.number else "wrong_number"])

    def next_earliest(self, end: float) -> float:
        """When the next period may begin at the earliest."""
        early, least = float(self._limits["rest_early_s"]), float(self._limits["rest_least_s"])
        return end + max(self._rest_s - early, least)

    # Starts.

    def _marked(self, earliest: float) -> tuple[int, int]:
        """The range of the marks at which it may begin."""
        low = bisect_left(self._mark_times, earliest)
        return low, bisect_right(self._mark_times, earliest + self._open_s)

    def _unmarked(self, earliest: float) -> list[tuple[float, float]]:
        """When it begins where nobody marks it, and what that is worth; the known start, where there is one."""
        if self._known_start is not None:
            within = earliest <= self._known_start <= self._found.seconds
            return [(self._known_start, 0.0)] if within else []
        introduced = self._found.introduced
        usual = earliest + self._rest_s
        if self.number == 1:
            usual = earliest if introduced is None else max(earliest, introduced)
            usual += self._limits["first_after_s"]
        start = min(usual, self._found.until)
        return [(start, self._unmarked_at(start))]

    def _unmarked_at(self, t: float) -> float:
        """What a boundary is worth that nobody marks. What comes after the last word of a bout that goes on cannot have
        been marked yet."""
        return 0.0 if self._found.goes_on and t > self._found.seconds else self._none

    def _starts(self, moments: Sequence[float]) -> list[float]:
        """All starts that there may be where the earliest is one of ``moments``, which are in order."""
        out = {start for moment in moments for start, _ in self._unmarked(moment)}
        for t in self._mark_times if self._known_start is None else ():
            at = bisect_right(moments, t)
            if at and t <= moments[at - 1] + self._open_s:
                out.add(t)
        return sorted(out)

    # Ends.

    def earliest_after(self, moments: Sequence[float]) -> list[float]:
        """When the next period may begin at the earliest, for all ends that this one may have."""
        ends = {
            stop.t for sort in self._ends(self._starts(moments), None) if sort.whole for stop in sort.stops
        }
        return sorted(map(self.next_earliest, ends))

    def _ends(self, starts: Sequence[float], tails: Mapping[float, float] | None) -> list[Ends]:
        """All ends that there may be for these starts; without ``tails`` what they are worth does not count."""
        length, none, found, limits = self.length, self._none, self._found, self._limits
        least, most = starts[0] if starts else math.inf, found.until + limits["after_talk_s"]

        def stop(t: float, worth: float, since: float = math.inf) -> Stop:
            return Stop(t, worth if tails is None else worth + self._rest(t, tails), since)

        known = self._known_end
        if known is not None:
            stops = [stop(known, 0.0)] if known <= most else []
            return [Ends(stops, lambda start: (math.nextafter(start, math.inf), math.inf))]
        weight = self._weight
        early_s = float(weight["early_s"]) + found.extra
        more = 0.0 if self._last else float(weight["end_of_bout"])
        marked = [
            stop(m.t, self._value(m) + (more if m.what == "bout_end" else 0.0))
            for m in found.ends
            if least <= m.t <= most
        ]
        natural = [
            stop(start + length, self._unmarked_at(start + length))
            for start in starts
            if start + length <= most
        ]
        # Where nobody marks the end, it is where the clock ran out, as far as it was read.
        read = [
            stop(time.t + time.seconds, self._unmarked_at(time.t + time.seconds), time.t)
            for time in found.times
            if time.seconds < length * limits["read_share"] and least <= time.t + time.seconds <= most
        ]
        # It may be long past that, where the next start was marked and stoppages are not told.
        pause = max(self._rest_s, limits["break_s"])
        begun = [
            stop(t - pause, none) for t in sorted({m.t for m in found.starts}) if least <= t - pause <= most
        ]
        return [
            Ends(marked, lambda start: (max(start + length - early_s, start), math.inf)),
            Ends(natural, lambda start: (start + length, start + length)),
            Ends(read, lambda start: (start + length - WHOLE_S, math.inf)),
            Ends(begun, lambda start: (start + length - WHOLE_S, start + length + limits["late_s"])),
            *(self._early() if tails is not None else ()),
        ]

    def _early(self) -> list[Ends]:
        """Ends before the clock has run out: by superiority, a fall, an injury."""
        found, length, limits = self._found, self.length, self._limits
        shortest, overdue, silent = limits["shortest_s"], limits["overdue_s"], limits["silent_s"]
        early = float(self._weight["early"])
        marked = [
            Stop(m.t, self._value(m) + early + self._tail(m.t)) for m in found.ends if m.what == "bout_end"
        ]

        def over(start: float) -> tuple[float, float]:
            return (
                math.nextafter(start + shortest, math.inf),
                math.nextafter(self._due(start) + overdue, -math.inf),
            )

        def talked_out(start: float) -> tuple[float, float]:
            within = start < found.until <= start + length + silent
            return (found.until, found.until) if within else (math.inf, -math.inf)

        silence = [Stop(found.until, self._none + early)]
        return [Ends(marked, over, whole=False), Ends(silence, talked_out, whole=False)]

    def _due(self, start: float) -> float:
        """When it is over at the latest: so much later it may be because of stops that were told."""
        natural, stopped = start + self.length, self._found.stopped
        stops = max(bisect_left(stopped, natural) - bisect_right(stopped, start), 0)
        return natural + float(self._limits["stop_s"]) * stops

    def _tail(self, end: float) -> float:
        """What the talk after the bout weighs."""
        free = float(self._weight["tail_free_s"])
        return float(self._weight["tail_s"]) * max(self._found.seconds - end - free, 0.0)

    def _rest(self, end: float, tails: Mapping[float, float]) -> float:
        """What comes after an end is worth."""
        if self._last:
            return self._tail(end)
        rest = tails[self.next_earliest(end)]
        if self._known_end is not None and rest <= _NONE:
            # Nothing comes after it: the bout ended with it.
            return float(self._weight["early"]) + self._tail(end)
        return rest

    # Both.

    def _sweep(self, starts: Sequence[float], tails: Mapping[float, float]) -> Sweep:
        return Sweep(starts, self._ends(starts, tails), self._clock, self._due, self._late)

    def worth_from(self, moments: Sequence[float], tails: Mapping[float, float]) -> dict[float, float]:
        """What the best layout from this period on is worth, by the earliest moment for its start; ``tails`` is the same
        of the next period."""
        nowhere = (-math.inf, -math.inf)
        worths = self._worths = self._sweep(self._starts(moments), tails).worths()
        of_marks = [worths.get(t, nowhere) for t in self._mark_times] if self._known_start is None else []
        whole = Heights(
            [
                gain + self._late * t + most
                for (t, gain), (most, _) in zip(self._marks, of_marks, strict=False)
            ]
        )
        early = Heights([gain + most for (_, gain), (_, most) in zip(self._marks, of_marks, strict=False)])
        out = {}
        for moment in moments:
            low, high = self._marked(moment) if of_marks else (0, 0)
            most = max(whole.most(low, high) - self._late * moment, early.most(low, high), _NONE)
            for start, gain in self._unmarked(moment):
                most = max(most, gain + self._since(worths[start], start - moment))
            out[moment] = most
        return out

    def _since(self, worth: tuple[float, float], later: float) -> float:
        """The worth of a start that comes so many seconds after the earliest."""
        return max(worth[0] + self._late * later, worth[1])

    def chosen(self, earliest: float, tails: Mapping[float, float]) -> tuple[float, PeriodEnd] | None:
        """The best start from a moment on, and how the period goes from there; None where it cannot be laid out."""
        low, high = self._marked(earliest) if self._known_start is None else (0, 0)
        options = [*self._marks[low:high], *self._unmarked(earliest)]
        ranked = [gain + self._since(self._worths[start], start - earliest) for start, gain in options]
        if max(ranked, default=_NONE) <= _NONE:
            return None
        # A second that lies between two periods weighs as much in the one as in the other, so that several layouts may be
        # worth the same: of those the first is taken.
        start = options[_first_best(ranked)][0]
        late = self._late * (start - earliest)
        choices = self._sweep([start], tails).choices()
        worths = [choice.worth + (late if choice.whole else 0.0) for choice in choices]
        return start, choices[_first_best(worths)]


def _first_best(worths: Sequence[float]) -> int:
    """The position of the first that is as good as the best, but for rounding."""
    least = max(worths) - _SAME
    return next(k for k, worth in enumerate(worths) if worth >= least)
