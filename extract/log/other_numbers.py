"""Numbers that are no score of the bout, and words that take a score back."""

from __future__ import annotations

from extract.log.hypothesis import Hypothesis, Score
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.mentions.model import ScoreMention

#: What it costs that the score said before was a slip, and what that it was right, by the words in between.
Repair = tuple[float, float]


#: Nothing is taken back.
NO_REPAIR: Repair = (0.0, 0.0)


class OtherNumbers:
    """What the words of one score mention say besides a score, for one reading after another."""

    def __init__(self, mention: ScoreMention, model: Model) -> None:
        spread = model.parameters.table("score.spread")
        shares = model.parameters.table("score.loose")[mention.stance]
        again = model.parameters.table("score.again")
        self._mention, self._awards = mention, model.awards
        self._values = mention.values()
        self._earlier: float
        self._earlier, self._next = shares["earlier"], shares["next"] / (2 * max(len(model.awards), 1))
        small = max(mention.pair) <= spread["small"]
        self._noise: float = (1 - shares["earlier"] - shares["next"]) / spread[
            "noise_small" if small else "noise_large"
        ]
        self._repair_s, self._soon_s = again["repair_s"], again["soon_s"]
        self._repair = _repair(model, mention.repair)
        self._repair_soon = _repair(model, (*mention.repair, "soon"))
        self._no_score: dict[tuple[Score, ...], float] = {}

    def no_score(self, shown: tuple[Score, ...]) -> float:
        """Log probability of these two numbers where they are not said as the score of this bout. Who tells of the past
        often tells of an earlier board, who supposes something often adds one award to the board; else they may be
        anything. ``shown`` are the last boards, the newest last."""
        known = self._no_score.get(shown)
        if known is None:
            known = self._no_score[shown] = log_p(self._chance(shown))
        return known

    def _chance(self, shown: tuple[Score, ...]) -> float:
        p = self._noise
        earlier = set(shown[:-1])
        if not earlier.isdisjoint(self._values):
            p += self._earlier / len(earlier)
        red, blue = shown[-1]
        gains = [(a - red, b - blue) for a, b in self._values]
        if any(min(gain) == 0 and max(gain) in self._awards for gain in gains):
            p += self._next
        return p

    def taken_back(self, h: Hypothesis, said: Score) -> Repair:
        """Log weights that a score tells for the one said before having been a slip, and for its having been right:
        twice the probability of each by the signs of repair, so that without any sign nothing changes. They say nothing
        where it is the same score, where an award was called in between, or where the other is long past."""
        last = h.said.item if h.said is not None else None
        if last is None or last.said == said:
            return NO_REPAIR
        since = self._mention.t - last.t
        if since > self._repair_s:
            return NO_REPAIR
        if h.entries and h.entries[-1].basis == "called" and h.entries[-1].t > last.t:
            return NO_REPAIR
        return self._repair_soon if since <= self._soon_s else self._repair


def _repair(model: Model, signs: tuple[str, ...]) -> Repair:
    p = model.parameters.chance("score.repair.sign", signs)
    return log_p(2 * p), log_p(2 * (1 - p))
