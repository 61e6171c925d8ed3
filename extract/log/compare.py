"""How two readings of one bout differ in what a person cares about: awards, verdicts, challenges, the result."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from extract.log.hypothesis import Hypothesis, ReadingEvent, ReviewRun, Said
from extract.log.to_log import SAME_S, BoutLog, Reading
from extract.rules.base import UNLISTED

T = TypeVar("T")
#: A little more than that, as sums of times are rounded.
_BESIDE_S = SAME_S + 1.0
#: Positions in two lists; None where one of them has nothing to go with the other's.
Pairs = list[tuple[int | None, int | None]]


class VerdictChange(NamedTuple):
    """A score mention that one of two readings takes for a slip and the other does not. None: that reading takes it
    for no score of this bout."""

    mention: int
    ours: Said | None
    theirs: Said | None


@dataclass(frozen=True, slots=True)
class Differences:
    """What differs between two readings. ``events`` are positions in the entries of the first and of the second,
    ``reviews`` challenges of the first and of the second; None where one has no such thing. ``result`` says that
    winner, way of winning or final score differ."""

    events: tuple[tuple[int | None, int | None], ...]
    verdicts: tuple[VerdictChange, ...]
    reviews: tuple[tuple[ReviewRun | None, ReviewRun | None], ...]
    result: bool

    def __bool__(self) -> bool:
        return bool(self.events or self.verdicts or self.reviews or self.result)


@dataclass(frozen=True, slots=True)
class OtherLog:
    """A log that differs from the best one: the share of all readings that have it, the best of them, and what
    differs (the best log's side first)."""

    share: float
    reading: Reading
    differences: Differences


class RunnerUp(NamedTuple):
    """What the readings that lack an event have in its place: ``entry``, or None for nothing; their share, and how
    many they are."""

    share: float
    readings: int
    entry: ReadingEvent | None


def other_logs(log: BoutLog, most: int) -> tuple[OtherLog, ...]:
    """Up to ``most`` logs that differ from the best one, the greatest share first. Readings that do not differ from
    one another are one log; its share is the sum of theirs."""
    if most <= 0:
        return ()
    best, *rest = log.readings
    kept: list[OtherLog] = []
    for reading in rest:
        found = differences(best, reading)
        if not found:
            continue
        for n, other in enumerate(kept):
            if not differences(other.reading, reading):
                kept[n] = OtherLog(other.share + reading.share, other.reading, other.differences)
                break
        else:
            kept.append(OtherLog(reading.share, reading, found))
    return tuple(sorted(kept, key=lambda other: -other.share)[:most])


def runners_up(log: BoutLog) -> dict[int, RunnerUp]:
    """For events that not all readings have, by position in the log: what most of the others have there."""
    best, *rest = log.readings
    shares: dict[int, dict[tuple[object, ...] | None, RunnerUp]] = {}
    for reading in rest:
        for ours, theirs in _event_pairs(best, reading):
            if ours is None:
                continue
            entry = None if theirs is None else reading.hypothesis.entries[theirs]
            found = shares.setdefault(ours, {})
            key = None if entry is None else nature(entry)
            held = found.get(key, RunnerUp(0.0, 0, entry))
            found[key] = RunnerUp(held.share + reading.share, held.readings + 1, held.entry)
    return {at: max(found.values(), key=lambda r: r.share) for at, found in shares.items()}


def differences(ours: Reading, theirs: Reading) -> Differences:
    """What differs between two readings, in order of time."""
    a, b = ours.hypothesis, theirs.hypothesis
    reviews = paired(
        a.reviews,
        b.reviews,
        [r.t for r in a.reviews],
        [r.t for r in b.reviews],
        CHALLENGES,
    )
    return Differences(
        tuple(_event_pairs(ours, theirs)),
        tuple(_verdict_changes(a, b)),
        tuple((None if i is None else a.reviews[i], None if j is None else b.reviews[j]) for i, j in reviews),
        (ours.outcome, a.score) != (theirs.outcome, b.score),
    )


def nature(entry: ReadingEvent) -> tuple[object, ...]:
    """All of an event but its time."""
    return (*entry.move, entry.overturned is None)


def _same_side(a: ReadingEvent, b: ReadingEvent) -> bool:
    """Whether two events, of other kinds it may be, are for the same corner (or warn the same one)."""
    if not a.move.points or not b.move.points:
        return not a.move.points and not b.move.points and a.move.against == b.move.against
    return a.move.corner == b.move.corner


def _same_kind(a: ReadingEvent, b: ReadingEvent) -> bool:
    return a.move.kind == b.move.kind and a.move.points == b.move.points


#: What makes two events the same one, and two challenges: first wholly alike, then told otherwise, the likest first.
EVENTS: tuple[Callable[[ReadingEvent, ReadingEvent], bool], ...] = (
    lambda e, o: nature(e) == nature(o),
    _same_side,
    _same_kind,
)
CHALLENGES: tuple[Callable[[ReviewRun, ReviewRun], bool], ...] = (
    lambda r, o: r.by == o.by and r.outcome == o.outcome,
    lambda r, o: r.by == o.by,
    lambda r, o: True,
)


def _event_pairs(ours: Reading, theirs: Reading) -> Pairs:
    """The awards and warnings that differ: those of one alone, and pairs that are the same one told otherwise."""
    counted = [
        [(k, e) for k, e in enumerate(reading.hypothesis.entries) if e.move.kind not in UNLISTED]
        for reading in (ours, theirs)
    ]
    a, b = counted
    pairs = paired(
        [e for _, e in a],
        [e for _, e in b],
        [ours.times[k] for k, _ in a],
        [theirs.times[k] for k, _ in b],
        EVENTS,
    )
    return [(None if i is None else a[i][0], None if j is None else b[j][0]) for i, j in pairs]


def paired(
    a: Sequence[T],
    b: Sequence[T],
    a_times: Sequence[float],
    b_times: Sequence[float],
    likenesses: Sequence[Callable[[T, T], bool]],
) -> Pairs:
    """Pairs of positions in two lists, in order of time, without those that are alike by the first of
    ``likenesses``. What is left goes together by the next, the nearest in time first, then stands alone."""
    left, right = set(range(len(a))), set(range(len(b)))
    out: Pairs = []
    for step, alike in enumerate(likenesses):
        among = sorted(right, key=b_times.__getitem__)
        times = [b_times[j] for j in among]
        near = sorted(
            (abs(a_times[i] - b_times[j]), i, j)
            for i in left
            for j in among[
                bisect_left(times, a_times[i] - _BESIDE_S) : bisect_right(times, a_times[i] + _BESIDE_S)
            ]
            if abs(a_times[i] - b_times[j]) <= SAME_S and alike(a[i], b[j])
        )
        for _, i, j in near:
            if i in left and j in right:
                left.remove(i)
                right.remove(j)
                if step:
                    out.append((i, j))
    alone: Pairs = [*((i, None) for i in left), *((None, j) for j in right)]

    def when(pair: tuple[int | None, int | None]) -> tuple[float, bool]:
        i, j = pair
        if i is not None:
            return a_times[i], False
        assert j is not None
        return b_times[j], True

    return sorted(out + alone, key=when)


def _verdict_changes(a: Hypothesis, b: Hypothesis) -> list[VerdictChange]:
    ours, theirs = said_in(a), said_in(b)
    return [
        VerdictChange(mention, ours.get(mention), theirs.get(mention))
        for mention in sorted(ours.keys() | theirs.keys())
        if disagrees(ours.get(mention)) != disagrees(theirs.get(mention))
    ]


def said_in(h: Hypothesis) -> dict[int, Said]:
    """What a reading takes each score mention for, by the position of the mention."""
    out: dict[int, Said] = {}
    history = h.said
    while history is not None:
        out[history.item.mention] = history.item
        history = history.rest
    return out


def disagrees(said: Said | None) -> bool:
    """Whether a score mention is taken for a slip; not so where it is taken for none."""
    return said is not None and said.verdict != "agrees"
