"""The bout's periods over the recording.

Periods and rests have fixed lengths and the clock only stops or runs, so whistles, horns and times left said on air
pin the one to the other. Boundaries are chosen together: the set of marks with the highest sum of weights that the
lengths allow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from extract.log.agreement import TimeSaid, agreeing
from extract.log.boundaries import Grounds, best_periods
from extract.log.frame import Frame, Period, TimeCheck
from extract.log.parameters import Parameters
from extract.log.sweep import TimeLeft
from extract.mentions.model import ClockMention, MarkMention
from extract.rules.base import Ruleset


@dataclass(frozen=True, slots=True)
class TimeSigns:
    """What a talk tells of the bout's periods. Times are seconds of recording.

    ``marks`` are words of a start or an end; ``clocks`` are ``(position, mention)`` of times on the bout clock. The talk
    goes on from ``begins`` to ``seconds``. A first period whose start nobody marks begins where the bout is
    ``introduced``. ``interpolated`` is true where times inside long cues are only estimated. ``stopped`` are the moments,
    in order, at which something was called for which the clock is stopped for a while. ``given`` are boundaries that are
    known, by kind (period_start, period_end) and number of the period. The talk may go on for ``goes_on`` seconds more.
    """

    marks: Sequence[MarkMention]
    clocks: Sequence[tuple[int, ClockMention]]
    seconds: float
    begins: float = 0.0
    introduced: float | None = None
    interpolated: bool = False
    stopped: Sequence[float] = ()
    given: Mapping[tuple[str, int], float] = field(default_factory=dict)
    goes_on: float = 0.0


def periods(signs: TimeSigns, rules: Ruleset, parameters: Parameters) -> Frame:
    """The most telling periods and the clock that goes with them."""
    extra = parameters.get("clock", "block_s") if signs.interpolated else 0.0
    times = [
        TimeSaid(i, c.t, c.seconds, _slack(c, parameters, extra), parameters.get("clock.weight", c.grade))
        for i, c in signs.clocks
    ]
    grounds = _grounds(signs, times, rules, parameters, extra)
    found = best_periods(grounds)
    if signs.given and not _has(found, signs.given):
        # They cannot all be so: the periods are as good as they are without them.
        found = best_periods(grounds.without_given())
    found = found or [Period(1, signs.begins, signs.seconds, rules.period_seconds[0])]
    readings = list(_readings(found, times, signs.seconds, parameters))
    return Frame(found, readings, result_early_s=parameters.get("result", "early_s"))


def _readings(
    found: Sequence[Period], times: Sequence[TimeSaid], seconds: float, parameters: Parameters
) -> Iterator[TimeCheck]:
    """The times left that were said, each as one of the period that it was said in or just beside."""
    get = parameters.get
    before, last_before = get("periods", "read_before_s"), get("periods", "read_next_s")
    latest = [b.start - last_before for _, b in pairwise(found)]
    latest.append(seconds + 1 + get("periods", "read_after_s"))
    for period, until in zip(found, latest, strict=True):
        inside = [time for time in times if period.start - before <= time.t < until]
        yield from agreeing(inside, period, get("clock", "start_late_s"), get("clock", "back_s"))


def _has(found: Sequence[Period], given: Mapping[tuple[str, int], float]) -> bool:
    """Whether the periods begin and end where it is known that they do."""
    starts = {("period_start", period.number): period.start for period in found}
    ends = {("period_end", period.number): period.end for period in found}
    return (starts | ends).items() >= given.items()


def _slack(mention: ClockMention, parameters: Parameters, extra: float) -> float:
    return extra + parameters.get("clock", "fit_s" if mention.bound == "exact" else "loose_s")


def _grounds(
    signs: TimeSigns, said: Sequence[TimeSaid], rules: Ruleset, parameters: Parameters, extra: float
) -> Grounds:
    """What the choice of the boundaries depends on, from what the talk tells."""
    lengths = _lengths(signs.marks, rules)
    times = [
        # The period that a time left is said to be of counts where the bout has so many.
        TimeLeft(time.t, time.seconds, time.slack, time.counts, _number(mention, len(lengths)))
        for time, (_, mention) in zip(said, signs.clocks, strict=True)
    ]
    introduced = signs.begins if signs.introduced is None else max(signs.begins, signs.introduced)
    # The first period may have begun before the first word, if a time left that is said to be of it says so.
    ran = [time.t - (lengths[0] - time.seconds) for time in times if time.period == 1]
    begins = min([signs.begins, *(max(t, 0.0) for t in ran if signs.begins - lengths[0] <= t)])
    return Grounds(
        starts=[m for m in signs.marks if m.what == "period_start"],
        ends=[m for m in signs.marks if m.what != "period_start"],
        times=times,
        lengths=lengths,
        rules=rules,
        begins=begins,
        seconds=signs.seconds,
        parameters=parameters,
        extra=extra,
        stopped=sorted(signs.stopped),
        given=signs.given,
        introduced=introduced,
        goes_on=signs.goes_on,
    )


def _number(mention: ClockMention, periods_named: int) -> int | None:
    """The number of the period that a time left is said to be of, among so many."""
    return mention.period if mention.period is not None and mention.period <= periods_named else None


def _lengths(marks: Sequence[MarkMention], rules: Ruleset) -> tuple[int, ...]:
    """Lengths of the periods of regulation, and of as many beyond as somebody announced (sudden victory)."""
    regulation = len(rules.period_seconds)
    named = [m.period or 0 for m in marks if m.what == "period_start" and m.stance == "asserted"]
    beyond = max([p - regulation for p in named if p > regulation], default=0)
    return rules.period_seconds + rules.extra_period_seconds[:beyond]
