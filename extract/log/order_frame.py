"""The periods and the bout clock of an account without times: what is known of them is in the order of its entries."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from extract.log.agreement import TimeSaid, agreeing
from extract.log.frame import Frame, Period, TimeCheck
from extract.log.parameters import Parameters
from extract.mentions.model import ClockMention, MarkMention
from extract.rules.base import Ruleset
from extract.transcript.cue import Order

#: A time left is read in whole seconds, so that it is off by as much at the least.
_ROUGH_S = 1.0


class OrderFrame(Frame):
    """Periods by the entries that they begin with. Between two entries nobody knows how much time went by."""

    def __init__(
        self,
        periods: Sequence[Period],
        readings: Sequence[TimeCheck],
        order: Order,
        seconds: float,
        unsure_most_s: float,
        *,
        ran_out: bool = False,
    ) -> None:
        """``seconds`` is where the account ends. The bout clock counts as known if it is off by no more than
        ``unsure_most_s``."""
        super().__init__(periods, readings, ran_out=ran_out)
        self._order, self._seconds, self._unsure_most_s = order, seconds, unsure_most_s

    @property
    def end(self) -> float:
        """When the last entry of the last period begins: a result may be told in the entry that ends the bout."""
        last = self.periods[-1].end if self.periods else self._seconds
        return self._order.entry(last) * self._order.step_s

    def ends_early(self, lengths: Sequence[int], early_s: float) -> bool:
        """Never: how long the bout went on does not follow from an order."""
        return False

    def clock_at(self, t: float) -> tuple[float, float] | None:
        """Seconds left at ``t`` and how far that may be off: as it was told in the same entry, or in the middle of what
        was told before and after it in the period if the two are near each other; else None."""
        period = self.period_at(t)
        if period is None:
            return None
        at = self._order.entry(t)
        told = [
            (self._order.entry(r.t), float(r.seconds))
            for r in self.readings
            if r.fits and r.period == period.number
        ]
        here = [seconds for entry, seconds in told if entry == at]
        if here:
            return here[0], _ROUGH_S
        before = [seconds for entry, seconds in told if entry < at]
        after = [seconds for entry, seconds in told if entry > at]
        if not before or not after:
            return None
        high, low = before[-1], after[0]
        unsure = (high - low) / 2 + _ROUGH_S
        return ((high + low) / 2, round(unsure, 1)) if unsure <= self._unsure_most_s else None

    def stopped_in(
        self, stops: Sequence[tuple[float, float]], pauses: Sequence[float], *, ran_out: bool
    ) -> Frame:
        """The same frame: no stretch of an order is known to be one in which the clock stood."""
        return OrderFrame(
            self.periods, self.readings, self._order, self._seconds, self._unsure_most_s, ran_out=ran_out
        )


def order_periods(
    marks: Sequence[MarkMention],
    clocks: Sequence[tuple[int, ClockMention]],
    begins: float,
    seconds: float,
    last_call: float | None,
    order: Order,
    rules: Ruleset,
    parameters: Parameters,
) -> Frame:
    """The periods that headings and other marks with a number tell of, starts that come after an end, and times left that
    go up again without either. ``marks`` and ``clocks`` are those of the talk, which goes on from ``begins`` to
    ``seconds``. If no end is told, the bout ends with the entry of the ``last_call``: what comes after it is of the
    result."""
    regulation = len(rules.period_seconds)
    named = [m.period or 0 for m in marks if m.what == "period_start" and m.stance == "asserted"]
    beyond = max([number - regulation for number in named if number > regulation], default=0)
    lengths = rules.period_seconds + rules.extra_period_seconds[:beyond]
    starts, ends = _bounds(marks, clocks, begins, lengths, parameters)
    if last_call is not None and last_call >= starts[-1]:
        ends.setdefault(len(starts), last_call)
    bounds = [*starts, math.inf]
    found = [
        Period(n, a, min(ends.get(n, b), b, seconds), lengths[n - 1])
        for n, (a, b) in enumerate(pairwise(bounds), 1)
    ]
    times = [TimeSaid(i, c.t, c.seconds, seconds, parameters.get("clock.weight", c.grade)) for i, c in clocks]
    readings = [
        check
        for period, until in zip(found, bounds[1:], strict=True)
        for check in agreeing(
            # The length of a period is all that bounds its clock, and that it never runs back.
            [time._replace(slack=float(period.seconds)) for time in times if period.start <= time.t < until],
            period,
            float(period.seconds),
            0.0,
        )
    ]
    return OrderFrame(found, readings, order, seconds, parameters.get("clock", "order_unsure_s"))


def _bounds(
    marks: Sequence[MarkMention],
    clocks: Sequence[tuple[int, ClockMention]],
    begins: float,
    lengths: Sequence[int],
    parameters: Parameters,
) -> tuple[list[float], dict[int, float]]:
    """When each period begins, and when those end whose end is told."""
    starts, ends = [begins], dict[int, float]()
    told: list[tuple[float, int, MarkMention | ClockMention]] = [
        (m.t, 0, m) for m in marks if m.stance == "asserted"
    ]
    told += [(c.t, 1, c) for _, c in clocks if c.stance == "asserted" and c.bound == "exact"]
    least: float = math.inf
    rise_s = parameters.get("clock", "order_rise_s")
    for t, _, one in sorted(told, key=lambda each: each[:2]):
        number = len(starts)
        if isinstance(one, ClockMention):
            anew = one.seconds > least + rise_s and number < len(lengths) and one.period in (None, number + 1)
            if anew:
                starts.append(t)
            least = one.seconds if anew or one.seconds < least else least
        elif one.what == "period_start":
            if one.period == number + 1 or (one.period is None and number in ends and number < len(lengths)):
                starts.append(t)
                least = math.inf
            elif one.period == 1 and number == 1 and t > begins and not ends:
                starts[0] = t
        elif one.period in (None, number) and (one.what == "bout_end" or one.grade != "loose" or one.period):
            ends[number] = t
    return starts, ends
