"""When something was given, as the words of the talk show it, though nobody called it.

People shout, name a foot or a back, say that somebody is behind: such words tell where in the talk an award of some kind
lies, and of what kind it is, even where no phrase calls it. Each passage of the talk has a weight for each kind, a logistic
function of its words (``moment`` in the parameters), which is fitted on labelled bouts.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import accumulate

from extract.log.parameters import Parameters, logistic
from extract.log.word_weights import word_weights
from extract.mentions.model import Passage
from extract.rules.kinds import KINDS


class Moments:
    """The passages of one talk, and how much each speaks for an award of each kind at its time."""

    def __init__(self, passages: Sequence[Passage], parameters: Parameters) -> None:
        weights = word_weights(parameters, "moment")
        table = parameters.table("moment")
        self._recent_s, self._lag_s = float(table["recent_s"]), float(table["lag_s"])
        self._least, self._most = float(table["least"]), float(table["most"])
        self._trust = float(table["trust"])
        self._place = {kind: k for k, kind in enumerate(weights.kinds)}
        self._times = [m.t for m in passages]
        self._weights = [weights.sums(m) for m in passages]
        # Chances of each kind summed from the beginning on, as multiples of what the whole talk has of it.
        self._sums = [_multiples([logistic(w[k]) for w in self._weights]) for k in range(len(weights.kinds))]
        self._found: dict[tuple[str, float, float], float] = {}

    def ratio(self, kind: str, low: float, high: float) -> float:
        """How many times as probable an award of a kind is between two moments, by the words said then, as it is in as
        much talk of this bout anywhere. 1 where there is nothing to tell by."""
        as_kind = KINDS[kind].told_as
        at = self._place.get(as_kind)
        if at is None:
            return 1.0
        key = as_kind, low, high
        found = self._found.get(key)
        if found is None:
            a, b = bisect_left(self._times, low - self._lag_s), bisect_left(self._times, high)
            multiple = (self._sums[at][b] - self._sums[at][a]) / (b - a) if b > a else 1.0
            multiple = min(max(multiple, self._least), self._most)
            found = self._found[key] = multiple**self._trust
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


def _multiples(chances: Sequence[float]) -> list[float]:
    """The sums of the first chances, from none to all, in multiples of their mean."""
    total = math.fsum(chances)
    mean = total / len(chances) if total else 1.0
    return [0.0, *accumulate(chance / mean for chance in chances)]
