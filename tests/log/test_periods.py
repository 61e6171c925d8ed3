"""Periods over the recording: against trying all boundaries, and with as much talk as nobody says."""

from __future__ import annotations

import random
from functools import cache

import pytest

from extract.log import default_parameters
from extract.log.agreement import TimeSaid, agreeing
from extract.log.boundaries import Grounds, best_periods
from extract.log.frame import Period
from extract.log.heights import Heights
from extract.log.sweep import TimeLeft
from extract.mentions.model import MarkMention
from extract.rules import get_ruleset

PARAMETERS = default_parameters()
WEIGHT = PARAMETERS.table("mark.weight")
LATE = float(WEIGHT["late_s"])


def drawn(seed: int) -> Grounds:
    """Marks and times left at any moments: hardly ever two layouts of them are worth the same."""
    pick = random.Random(seed)
    rules = get_ruleset(pick.choice(["freestyle", "collegiate", "foil"]))
    seconds = pick.uniform(80, 1200)

    def moment() -> float:
        return pick.uniform(0, seconds)

    marks = [
        MarkMention(
            0,
            1,
            moment(),
            "asserted",
            pick.choice(["plain", "loose"]),
            pick.choice(["period_start", "period_end", "bout_end"]),
            pick.choice([None, None, 1, 2, 3]),
        )
        for _ in range(pick.randint(0, 9))
    ]
    times = [
        TimeLeft(moment(), pick.randint(0, 200), pick.choice([4.0, 10.0]), pick.uniform(0.3, 1.0))
        for _ in range(pick.randint(0, 15))
    ]
    kinds = ("period_start", "period_end")
    known = pick.randint(1, 2) if pick.random() < 0.3 else 0
    return Grounds(
        [m for m in marks if m.what == "period_start"],
        [m for m in marks if m.what != "period_start"],
        times,
        rules.period_seconds,
        rules,
        pick.choice([0.0, moment() / 4]),
        seconds,
        PARAMETERS,
        pick.choice([0.0, 8.0]),
        sorted(moment() for _ in range(pick.randint(0, 6))),
        {(pick.choice(kinds), pick.randint(1, 2)): moment() for _ in range(known)},
    )


def tried(found: Grounds) -> float:
    """The worth of the best layout, from all that there are."""
    rest_s = found.rules.rest_seconds
    start_late = PARAMETERS.get("clock", "start_late_s")

    def value(mark: MarkMention | None, number: int) -> float:
        if mark is None:
            return float(WEIGHT["missing"])
        base = float(WEIGHT[mark.grade])
        if mark.period is None:
            return base
        return base + float(WEIGHT["number" if mark.period == number else "wrong_number"])

    def clock(start: float, end: float, length: int, *, whole: bool) -> float:
        total = 0.0
        for time in found.times:
            if start - 3 <= time.t <= end + 3:
                ran = length - time.seconds
                fits = 0 <= ran <= time.t - start + start_late + time.slack
                fits = fits and (not whole or time.seconds <= end - time.t + time.slack)
                total += float(WEIGHT["reading_fits" if fits else "reading_clashes"]) * time.counts
        return total

    def tail(end: float) -> float:
        return float(WEIGHT["tail_s"]) * max(found.seconds - end - float(WEIGHT["tail_free_s"]), 0.0)

    @cache
    def best(number: int, earliest: float) -> float:
        length, last = found.lengths[number - 1], number == len(found.lengths)
        latest = earliest + (150.0 if number == 1 else rest_s + 75.0)
        options = [(m.t, value(m, number)) for m in found.starts if earliest <= m.t <= latest]
        options.append((min(earliest + (3.0 if number == 1 else rest_s), found.seconds), value(None, number)))
        known = found.given.get(("period_start", number))
        if known is not None:
            options = [(known, 0.0)] if earliest <= known <= found.seconds else []
        known_end = found.given.get(("period_end", number))
        out = [-1e9]
        for start, gain in options:
            natural = start + length
            due = natural + 7.0 * sum(start < t < natural for t in found.stopped)
            more = 0.0 if last else float(WEIGHT["end_of_bout"])
            stops = [
                (m.t, value(m, number) + (more if m.what == "bout_end" else 0.0))
                for m in found.ends
                if m.t >= natural - WEIGHT["early_s"] - found.extra
            ]
            read = [c.t + c.seconds for c in found.times if start < c.t and c.seconds < length / 2]
            begun = [m.t - max(rest_s, 12.0) for m in found.starts]
            begun = [t for t in begun if t <= natural + 150.0]
            stops += [(t, value(None, number)) for t in (natural, *read, *begun) if t >= natural - 1]
            if known_end is not None:
                stops = [(known_end, 0.0)] if known_end > start else []
            for stop, worth in stops:
                if stop > found.seconds + 5:
                    continue
                here = gain + worth + clock(start, stop, length, whole=True)
                here += LATE * (max(stop - due, 0.0) + start - earliest)
                rest = tail(stop) if last else best(number + 1, stop + max(rest_s - 15.0, 0.5))
                if known_end is not None and rest <= -1e9:
                    rest = float(WEIGHT["early"]) + tail(stop)
                out.append(here + rest)
            if known_end is not None:
                continue
            early = float(WEIGHT["early"])
            for m in found.ends:
                if m.what == "bout_end" and start + 5 < m.t < due + 120:
                    out.append(
                        gain + value(m, number) + early + clock(start, m.t, length, whole=False) + tail(m.t)
                    )
            if start < found.seconds <= natural + 30:
                out.append(
                    gain + value(None, number) + early + clock(start, found.seconds, length, whole=False)
                )
        return max(out)

    return best(1, found.begins)


def only(found: Grounds, periods: list[Period]) -> Grounds:
    """The same with the boundaries of these periods alone to choose from."""
    starts, ends = {p.start for p in periods}, {p.end for p in periods}
    return Grounds(
        [m for m in found.starts if m.t in starts or m.t - max(found.rules.rest_seconds, 12.0) in ends],
        [m for m in found.ends if m.t in ends],
        *(getattr(found, name) for name in list(Grounds.__dataclass_fields__)[2:]),
    )


@pytest.mark.parametrize("seed", range(150))
def test_no_layout_is_worth_more(seed: int) -> None:
    found = drawn(seed)
    periods = best_periods(found)
    most = tried(found)
    if most <= -1e9:
        assert not periods
        return
    # What was not chosen can go without loss.
    assert tried(only(found, periods)) == pytest.approx(most, abs=1e-6)


@pytest.mark.parametrize("seed", range(100))
def test_the_heaviest_chain_of_times(seed: int) -> None:
    pick = random.Random(seed)
    period = Period(1, 5.0, 200.0, 180)
    times = [
        TimeSaid(
            k, pick.uniform(3, 200), pick.randint(0, 182), pick.choice([4.0, 10.0]), pick.uniform(0.1, 1.0)
        )
        for k in range(pick.randint(0, 25))
    ]
    ordered = sorted(times, key=lambda s: s.t)
    heaviest: list[float] = []
    for k, s in enumerate(ordered):
        if not -1 <= period.seconds - s.seconds <= s.t - period.start + 4.0 + s.slack:
            heaviest.append(0.0)
            continue
        before = 0.0
        for i, other in enumerate(ordered[:k]):
            room = s.slack + other.slack
            if -min(room, 4.0) <= other.seconds - s.seconds <= s.t - other.t + room:
                before = max(before, heaviest[i])
        heaviest.append(before + s.counts)
    found = agreeing(times, period, 4.0, 4.0)
    assert [r.index for r in found] == [s.mention for s in ordered]
    kept = sum(s.counts for s, r in zip(ordered, found, strict=True) if r.fits)
    assert kept == pytest.approx(max(heaviest, default=0.0))


@pytest.mark.parametrize("seed", range(30))
def test_the_highest_of_a_stretch(seed: int) -> None:
    pick = random.Random(seed)
    values = [pick.uniform(-5, 5) for _ in range(pick.randint(1, 20))]
    row, raised = Heights(values), [0.0] * len(values)
    for _ in range(30):
        at, by = pick.randrange(len(values)), pick.uniform(-2, 2)
        if pick.random() < 0.3:
            row.put(at, by)
            values[at] = by
        else:
            row.raise_from(at, by)
            raised = [r + by * (k >= at) for k, r in enumerate(raised)]
        low, high = sorted(pick.choices(range(len(values) + 1), k=2))
        now = [v + r for v, r in zip(values, raised, strict=True)]
        assert row.most(low, high) == pytest.approx(max(now[low:high], default=float("-inf")))


def test_thousands_of_times_left_are_laid_out() -> None:
    rules = get_ruleset("freestyle")
    times = [TimeLeft(3.0 * k, 80, 4.0, 1.0) for k in range(3000)]
    found = Grounds([], [], times, rules.period_seconds, rules, 0.0, 9000.0, PARAMETERS, 0.0, [], {})
    assert best_periods(found)[0].number == 1
