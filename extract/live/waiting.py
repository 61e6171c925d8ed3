"""When something that does not fit is worth a flag.

A stated score that does not fit may be a slip, or the points before it were not heard and the next sentence tells
of them. A logistic function of what is known at each moment says how likely the flag is to stand: how probable the
slip is, of which kind it is, for how many captions it has stood. Its weights are fitted on labelled bouts that were
replayed in time (``benchmarks/live.py --fit``).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from extract.live.parameters import live_parameters
from extract.log.parameters import logistic

#: No probability is nearer to 0 or 1.
_LEAST = 0.02
#: More captions make nothing surer.
_MOST_LOOKS = 8


class Seen(NamedTuple):
    """Something said that does not fit, as it stands at ``now``: the probability that it is wrong, the kind of what was
    said and of its slip, whether the score then is sure, and when it was said."""

    now: float
    wrong: float
    kind: str
    slip: str
    score_sure: float
    said_at: float


def features(seen: Seen, looks: int) -> dict[str, float]:
    """What counts for a flag on something that has not fitted for so many captions, each by the name of its weight."""
    p = min(max(seen.wrong, _LEAST), 1 - _LEAST)
    return {
        "always": 1.0,
        "odds": math.log(p / (1 - p)),
        "stood": math.log(min(looks, _MOST_LOOKS)),
        **({seen.slip: 1.0} if seen.slip else {}),
    }


class Waiting:
    """What is known so far of one thing said that may be worth a flag. It is worth one from ``at`` on (None: as
    shipped), the probability that the flag stands."""

    def __init__(self, at: float | None = None, weights: Mapping[str, float] | None = None) -> None:
        table = live_parameters().table("flag")
        self._at = float(table["at"]) if at is None else at
        self._weights = table if weights is None else weights
        self.history: list[Seen] = []

    def chance(self, seen: Seen) -> float:
        """The probability that a flag on it stands, with what was seen of it before."""
        named = features(seen, len(self.history) + 1).items()
        return logistic(sum(float(self._weights.get(name, 0.0)) * value for name, value in named))

    def is_worth(self, seen: Seen) -> bool:
        """Whether it is worth a flag now."""
        chance = self.chance(seen)
        self.history.append(seen)
        return chance >= self._at
