"""Which times left, said in one period, agree with each other."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from extract.log.frame import WHOLE_S, Period, TimeCheck


class TimeSaid(NamedTuple):
    """A time left: which mention (its position), when it was said, how far it may be off, how much it counts."""

    mention: int
    t: float
    seconds: int
    slack: float
    counts: float


#: What a chain of times counts, and the position of its last time with a minus: of equal ones the earliest is taken.
_Chain = tuple[float, int]
_NO_CHAIN: _Chain = (0.0, 1)


def agreeing(
    times: Sequence[TimeSaid], period: Period, start_late_s: float, back_s: float
) -> list[TimeCheck]:
    """The times of a period in order, with which of them agree: the heaviest chain in which the clock never runs back and
    never runs faster than time. It may have begun to run ``start_late_s`` before the period did, and may seem to
    have run back by ``back_s``, both in seconds."""
    ordered = sorted(times, key=lambda time: time.t)
    chains: dict[float, _Chains] = defaultdict(lambda: _Chains(period.seconds + 1))
    back: list[int | None] = [None] * len(ordered)
    best, last = 0.0, None
    for k, time in enumerate(ordered):
        ran = period.seconds - time.seconds
        if not -WHOLE_S <= ran <= time.t - period.start + start_late_s + time.slack:
            continue
        before = _NO_CHAIN
        for slack, known in chains.items():
            room = time.slack + slack
            found = known.heaviest(time.seconds - min(room, back_s), time.t + time.seconds + room)
            before = max(before, found)
        counts = before[0] + time.counts
        if before[0] > 0:
            back[k] = -before[1]
        if last is None or counts > best:
            best, last = counts, k
        chains[time.slack].add(time.seconds, time.t + time.seconds, (counts, -k))
    keep: set[int] = set()
    while last is not None:
        keep.add(last)
        last = back[last]
    return [TimeCheck(s.mention, s.t, s.seconds, period.number, k in keep) for k, s in enumerate(ordered)]


class _Chains:
    """Chains by what the clock showed at their end, and by when it would have run out from there.

    The first is a Fenwick tree (Fenwick, 1994) from the most seconds down; each of its nodes keeps those chains alone that
    are heavier than all that would have run out before them.
    """

    def __init__(self, most: int) -> None:
        """``most`` is what the clock shows at most."""
        self._most = most
        self._nodes: list[tuple[list[float], list[_Chain]]] = [([], []) for _ in range(most + 2)]

    def add(self, seconds: int, runs_out: float, chain: _Chain) -> None:
        """Adds a chain."""
        node = self._most - seconds + 1
        while node < len(self._nodes):
            places, kept = self._nodes[node]
            node += node & -node
            at = bisect_right(places, runs_out)
            if at and kept[at - 1] >= chain:
                continue
            end = at
            while end < len(kept) and kept[end] <= chain:
                end += 1
            begin = bisect_left(places, runs_out, 0, at)
            places[begin:end], kept[begin:end] = [runs_out], [chain]

    def heaviest(self, least: float, latest: float) -> _Chain:
        """The heaviest chain after which the clock showed at least ``least`` and would have run out by ``latest``."""
        node, top = min(self._most - math.ceil(least) + 1, len(self._nodes) - 1), _NO_CHAIN
        while node > 0:
            places, kept = self._nodes[node]
            node -= node & -node
            at = bisect_right(places, latest)
            if at and kept[at - 1] > top:
                top = kept[at - 1]
        return top
