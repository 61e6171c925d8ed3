"""Numbers that are no score of the bout, and words that take a score back."""

from __future__ import annotations

from extract.log.hypothesis import MEMORY, Hypothesis, Score
from extract.log.model import Model
from extract.log.parameters import log
from extract.mentions.model import ScoreMention

#: What it costs that the score said before was a slip, and what that it was right, by the words in between.
Repair = tuple[float, float]


def no_score(h: Hypothesis, mention: ScoreMention, model: Model) -> float:
    """Log probability of these two numbers where they are not said as the score of this bout. Who tells of the past
    often tells of an earlier board, who supposes something often adds one award to the board; else they may be
    anything."""
    spread = model.parameters.table("score.spread")
    shares = model.parameters.table("score.loose")[mention.stance]
    values = set(mention.values())
    p = (1 - shares["earlier"] - shares["next"]) / spread[
        "noise_small" if max(mention.pair) <= spread["small"] else "noise_large"
    ]
    earlier = {score for _, score in h.boards[-MEMORY - 1 : -1]}
    if values & earlier:
        p += shares["earlier"] / len(earlier)
    red, blue = h.score
    gains = {(a - red, b - blue) for a, b in values}
    if any(min(gain) == 0 and max(gain) in model.awards for gain in gains):
        p += shares["next"] / (2 * len(model.awards))
    return log(p)


def taken_back(h: Hypothesis, mention: ScoreMention, said: Score, model: Model) -> Repair:
    """Log weights that a score tells for the one said before having been a slip, and for its having been right:
    twice the probability of each by the signs of repair, so that without any sign nothing changes. They say nothing
    where it is the same score, where an award was called in between, or where the other is long past."""
    last = h.said.item if h.said is not None else None
    again = model.parameters.table("score.again")
    if last is None or last.said == said or mention.t - last.t > again["repair_s"]:
        return 0.0, 0.0
    if h.entries and h.entries[-1].basis == "called" and h.entries[-1].t > last.t:
        return 0.0, 0.0
    soon = ("soon",) if mention.t - last.t <= again["soon_s"] else ()
    p = model.parameters.chance("score.repair.sign", (*mention.repair, *soon))
    return log(2 * p), log(2 * (1 - p))
