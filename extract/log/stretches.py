"""Whether the talk is about this bout or away from it: the hidden state that stretches of talk have.

Who tells of another bout, of a replay, or of what might be goes on doing so for a while. So each reading carries how
probable it is that the talk is away (``Hypothesis.away``): a hidden Markov chain of two states in time, filtered along the
reading (the forward algorithm; Rabiner 1989). Away, no mention is of this bout. At the bout, each is with the probability
that its own words give it. A mention that a reading takes for what it looks like brings the talk back.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from extract.log.parameters import Parameters, log_p
from extract.mentions.model import CallMention, Mention, ScoreMention

#: Never more sure than this that the talk is away.
_MOST = 1 - 1e-6


class Stretch(NamedTuple):
    """How probable it is that a talk that was away is so still after some time, and that one that was not is by then."""

    stays: float
    leaves: float

    @classmethod
    def over(cls, seconds: float, leaves_per_s: float, returns_per_s: float) -> Stretch:
        """After ``seconds``, where the talk leaves the bout and comes back at these rates."""
        both = leaves_per_s + returns_per_s
        usual, kept = leaves_per_s / both, math.exp(-both * max(seconds, 0.0))
        return cls(usual + (1 - usual) * kept, usual * (1 - kept))

    def away(self, before: float) -> float:
        """How probable it is now that the talk is away, where it was so as probably as ``before``."""
        return min(before * self.stays + (1 - before) * self.leaves, _MOST)


def passed_over(genuine: float, away: float) -> tuple[float, float]:
    """The log probability that a mention that is about this bout with probability ``genuine``, if the talk is, is not;
    and how probable it then is that the talk is away.

    >>> cost, away = passed_over(0.5, 0.5)
    >>> round(cost, 3), round(away, 3)
    (-0.288, 0.667)
    """
    nothing = (1 - away) * (1 - genuine) + away
    return log_p(nothing), min(away / max(nothing, away), _MOST)


def stretches_of(mentions: Sequence[Mention], parameters: Parameters, begins: float) -> dict[int, Stretch]:
    """What becomes of a stretch of talk by each call and each score, since the one before, by their positions. The talk
    begins at ``begins``, as probably away as it is at the outset."""
    table = parameters.table("stretch")
    leaves, returns = float(table["leaves_per_s"]), float(table["returns_per_s"])
    out: dict[int, Stretch] = {}
    last = begins - float(table["before_s"])
    for index, mention in enumerate(mentions):
        if isinstance(mention, (CallMention, ScoreMention)):
            out[index] = Stretch.over(max(mention.t - last, float(table["least_s"])), leaves, returns)
            last = mention.t
    return out


#: Where the talk is always about the bout.
AT_THE_BOUT = Stretch(0.0, 0.0)
