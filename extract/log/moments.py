"""When something was given, as the words of the talk show it, though nobody called it.

People shout, name a foot or a back, say that somebody is behind: such words tell where in the talk an award of some kind
lies, and of what kind it is, even where no phrase calls it. Each passage of the talk has a weight for each kind, a logistic
function of its words (``moment`` in the parameters), which is fitted on labelled bouts.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from copy import copy
from functools import lru_cache
from itertools import accumulate
from typing import NamedTuple

from extract.log.parameters import Parameters, default_parameters, logistic
from extract.mentions.model import BESIDE_SIGN, SAID_SIGN, Mention, PassageMention
from extract.rules.base import Corner
from extract.rules.kinds import KINDS


class _Weights(NamedTuple):
    """What each word weighs for each of some kinds, said in a passage or beside it; ``bias`` is what each kind begins
    with."""

    kinds: tuple[str, ...]
    bias: tuple[float, ...]
    said: Mapping[str, tuple[float, ...]]
    beside: Mapping[str, tuple[float, ...]]


@lru_cache(maxsize=16)
def _weights(parameters: Parameters) -> _Weights:
    tables = {
        kind: table["sign"]
        for kind, table in parameters.table("moment").items()
        if isinstance(table, Mapping)
    }
    kinds = tuple(tables)
    words: dict[str, dict[str, tuple[float, ...]]] = {SAID_SIGN: {}, BESIDE_SIGN: {}}
    for sign in dict.fromkeys(sign for table in tables.values() for sign in table):
        for prefix, found in words.items():
            if sign.startswith(prefix):
                found[sign.removeprefix(prefix)] = tuple(float(tables[kind].get(sign, 0.0)) for kind in kinds)
    bias = tuple(float(tables[kind]["bias"]) for kind in kinds)
    return _Weights(kinds, bias, words[SAID_SIGN], words[BESIDE_SIGN])


def side_signs(passages: Sequence[PassageMention], at: int) -> dict[str, float]:
    """The signs of who gets something that is told in passage ``at``: for each how often it stands beside red less how
    often beside blue, in that passage and the two beside it."""
    out: dict[str, float] = {}
    for passage in passages[max(at - 1, 0) : at + 2]:
        for corner, signs in passage.refs:
            for sign in signs:
                out[sign] = out.get(sign, 0.0) + (1.0 if corner == "red" else -1.0)
    return {sign: value for sign, value in out.items() if value}


class Moments:
    """The passages of one talk, and how much each speaks for an award of each kind, and to whom, at its time."""

    def __init__(self, mentions: Sequence[Mention], parameters: Parameters) -> None:
        weights = _weights(parameters)
        table = parameters.table("moment")
        self._recent_s, self._lag_s = float(table["recent_s"]), float(table["lag_s"])
        self._most, self._trust = float(table["most"]), float(table["trust"])
        self._place = {kind: k for k, kind in enumerate(weights.kinds)}
        passages = [m for m in mentions if isinstance(m, PassageMention)]
        self._times = [m.t for m in passages]
        self._weights = [_sum(m, weights) for m in passages]
        sides = _side_weights(parameters, weights.kinds)
        self._sides = [
            _side(side_signs(passages, k), sides, len(weights.kinds)) for k in range(len(passages))
        ]
        self._chances = [[logistic(w[k]) for w in self._weights] for k in range(len(weights.kinds))]
        self._sums: dict[tuple[int, Corner | None], list[float]] = {}
        self._found: dict[tuple[str, Corner | None, float, float], float] = {}

    def turned(self) -> Moments:
        """The same with the corners exchanged."""
        out = copy(self)
        out._sides = [tuple(-x for x in side) for side in self._sides]
        out._sums, out._found = {}, {}
        return out

    def ratio(self, kind: str, corner: Corner | None, low: float, high: float) -> float:
        """How many times as probable an award of a kind, to a corner, is between two moments, by the words said then, as it
        is in as much talk of this bout anywhere. 1 where there is nothing to tell by."""
        as_kind = KINDS[kind].told_as
        at = self._place.get(as_kind)
        if at is None:
            return 1.0
        key = as_kind, corner, low, high
        found = self._found.get(key)
        if found is None:
            a, b = bisect_left(self._times, low - self._lag_s), bisect_left(self._times, high)
            sums = self._summed(at, corner)
            multiple = (sums[b] - sums[a]) / (b - a) if b > a else 1.0
            multiple = min(max(multiple, 1 / self._most), self._most)
            found = self._found[key] = multiple**self._trust
        return found

    def red(self, kind: str | None, t: float) -> float:
        """The log odds that it is red who gets an award told at ``t``, of a kind if that is known, by the words beside the
        names; 0 where nothing tells."""
        k = bisect_right(self._times, t) - 1
        if k < 0:
            return 0.0
        at = self._place.get(KINDS[kind].told_as) if kind is not None else None
        return self._sides[k][-1 if at is None else at]

    def _summed(self, at: int, corner: Corner | None) -> list[float]:
        """The chances of a kind to a corner summed from the beginning on, as multiples of what the whole talk has."""
        found = self._sums.get((at, corner))
        if found is None:
            chances = self._chances[at]
            mean = math.fsum(chances) / len(chances) if chances else 1.0
            shares = [1.0] * len(chances)
            if corner is not None:
                sign = 1.0 if corner == "red" else -1.0
                shares = [2 * logistic(sign * side[at]) for side in self._sides]
            scaled = (chance * share / mean for chance, share in zip(chances, shares, strict=True))
            found = self._sums[at, corner] = [0.0, *accumulate(scaled)]
        return found

    def times(self, kinds: Sequence[str], low: float, high: float, step: float) -> list[float] | None:
        """The most likely times of events of some kinds, in this order and ``step`` seconds apart, from ``low`` to
        ``high``, when a score shows them; None where there is no passage to tell."""
        a, b = bisect_left(self._times, low), bisect_right(self._times, high)
        if b - a < 1:
            return None
        # best[k]: the most that the events so far weigh where the last of them is at passage a + k.
        rows = [[self._of(kind, k, high) for k in range(a, b)] for kind in kinds]
        best, backs = rows[0], []
        for row in rows[1:]:
            nearest, at, previous, back = -math.inf, -1, [], []
            ready = 0
            for k in range(b - a):
                while ready < k and self._times[a + ready] + step <= self._times[a + k]:
                    if best[ready] > nearest:
                        nearest, at = best[ready], ready
                    ready += 1
                previous.append(nearest + row[k])
                back.append(at)
            best = previous
            backs.append(back)
        end = max(range(b - a), key=best.__getitem__)
        if best[end] == -math.inf:
            return None
        places = [end]
        for back in reversed(backs):
            places.append(back[places[-1]])
        return [max(self._times[a + k] - self._lag_s, low) for k in reversed(places)]

    def _of(self, kind: str, k: int, shown: float) -> float:
        """What passage ``k`` weighs for an event of a kind that a score shows at ``shown``: scores are told soon."""
        at = self._place.get(KINDS[kind].told_as)
        weight = self._weights[k][at] if at is not None else 0.0
        return weight - (shown - self._times[k]) / self._recent_s


def _sum(passage: PassageMention, weights: _Weights) -> tuple[float, ...]:
    found = [weights.bias]
    found += [weights.said[word] for word in passage.said if word in weights.said]
    found += [weights.beside[word] for word in passage.beside if word in weights.beside]
    # In no particular order: summed so that it does not matter.
    return tuple(map(math.fsum, zip(*found, strict=True)))


@lru_cache(maxsize=16)
def _side_weights(parameters: Parameters, kinds: tuple[str, ...]) -> Mapping[str, tuple[float, ...]]:
    """What each sign of who gets something weighs for each kind, and at last for any."""
    table = parameters.table("side")
    trust = float(table["trust"])
    common: Mapping[str, float] = table["sign"]
    own: list[Mapping[str, float]] = [table[kind]["sign"] if kind in table else {} for kind in kinds]
    return {
        sign: tuple(trust * (common.get(sign, 0.0) + one.get(sign, 0.0)) for one in (*own, {}))
        for sign in dict.fromkeys(sign for one in (common, *own) for sign in one)
    }


def _side(
    signs: Mapping[str, float], weights: Mapping[str, tuple[float, ...]], kinds: int
) -> tuple[float, ...]:
    """The log odds of red for each kind, and at last for any."""
    found = [(value, weights[sign]) for sign, value in signs.items() if sign in weights]
    return tuple(math.fsum(value * weight[k] for value, weight in found) for k in range(kinds + 1))


#: Of no talk.
NO_MOMENTS = Moments((), default_parameters())
