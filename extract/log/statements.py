"""What a stated score may be against the board, and what that costs."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.cutoff import Cutoff
from extract.log.hypothesis import MEMORY, Hypothesis, Said, Score, Verdict
from extract.log.model import Model
from extract.log.other_numbers import NO_REPAIR, OtherNumbers
from extract.log.parameters import log_p
from extract.log.reviews import outcomes_unheard
from extract.log.uncalled_between import UncalledBetween
from extract.mentions.model import ScoreMention


def readings(mention: ScoreMention, model: Model) -> list[tuple[Score, float]]:
    """The values ``(red, blue)`` that a score mention may state, with the log probability of each."""
    a, b = mention.pair
    if a == b:
        return [((a, a), 0.0)]
    if mention.decided:
        return [(mention.values()[0], 0.0)]
    costs = model.corner_costs(mention.first, mention.tie, "score.tie")
    return [((a, b), costs["red"]), ((b, a), costs["blue"])]


class ScoreSteps:
    """Every reading that goes on from one over a score mention and that passes the cutoff."""

    def __init__(self, index: int, mention: ScoreMention, model: Model) -> None:
        p = model.score_genuine(mention)
        again = model.parameters.table("score.again")
        sure = log_p(p)
        self._index, self._mention, self._model = index, mention, model
        self._none = None if mention.decided else log_p(1 - p)
        self._values = [(said, sure + cost) for said, cost in readings(mention, model)]
        self._other = OtherNumbers(mention, model)
        self._between = UncalledBetween(index, mention, model)
        self._agrees = model.verdict["agrees"]
        self._within_s = again["within_s"]
        self._same, self._slip_again = log_p(again["same"]), log_p(again["slip"])
        # The end result is said with more care.
        self._final = log_p(again["final"]) if mention.final else 0.0
        self._stale_decay = log_p(float(model.parameters.get("score.spread", "stale_decay")))
        self._opening = log_p(float(again["opening"]))
        self._care = log_p(float(again["ended"])) if mention.t >= model.end else 0.0
        self._slips: dict[tuple[tuple[Score, ...], Score, bool], tuple[float, Verdict]] = {}

    def __call__(self, h: Hypothesis, cutoff: Cutoff) -> Iterator[Hypothesis]:
        """Those that go on from ``h``."""
        boards = tuple([score for _, score in h.boards[-MEMORY - 1 :]])
        if self._none is not None:
            cost = self._none + self._other.no_score(boards)
            if cutoff.passes(h.logp + cost):
                yield h.cheaper(cost)
        for said, cost in self._values:
            yield from self._taken(h, boards, said, cost, cutoff)

    def _taken(
        self, h: Hypothesis, boards: tuple[Score, ...], said: Score, cost: float, cutoff: Cutoff
    ) -> Iterator[Hypothesis]:
        index, t, board = self._index, self._mention.t, boards[-1]
        last = h.said.item if h.said is not None else None
        if last is not None and last.said == said and last.board == board and t - last.t <= self._within_s:
            # The same value over again is no second slip, and no second proof.
            price = cost + (self._same if last.verdict == "agrees" else self._slip_again)
            if cutoff.passes(h.logp + price):
                yield h.with_said(Said(index, t, said, board, last.verdict), price)
            if said != board:
                yield from self._between(h, said, cost, cutoff, NO_REPAIR)
            return
        repair = self._other.taken_back(h, said)
        mended, kept = repair
        cost_now = cost + (kept if last is not None and last.verdict == "agrees" else mended)
        if said == board:
            price = cost_now + self._agrees
            if cutoff.passes(h.logp + price):
                yield h.with_proof(Said(index, t, said, board, "agrees"), price, h.said)
            return
        slip, verdict = self._slip(h, boards, said)
        price = cost_now + (slip + self._final)
        if cutoff.passes(h.logp + price):
            yield h.with_said(Said(index, t, said, board, verdict), price)
        yield from self._between(h, said, cost, cutoff, repair)
        if h.pending is not None:
            agreed, price = Said(index, t, said, said, "agrees"), cost_now + self._agrees
            for changed in outcomes_unheard(h, t, said, price, self._model, cutoff):
                yield changed.with_proof(agreed, 0.0, changed.said)

    def _slip(self, h: Hypothesis, boards: tuple[Score, ...], said: Score) -> tuple[float, Verdict]:
        """The likeliest kind of slip that makes ``said`` of the board, with its log probability."""
        key = (boards, said, bool(h.reviews) and h.pending is not None and said in _after_review(h))
        known = self._slips.get(key)
        if known is None:
            known = self._slips[key] = self._likeliest_slip(*key)
        return known

    def _likeliest_slip(
        self, boards: tuple[Score, ...], said: Score, reviewed: bool
    ) -> tuple[float, Verdict]:
        """``reviewed`` says that the open challenge may lead to ``said``."""
        board, model = boards[-1], self._model
        verdict = model.verdict
        options: list[tuple[float, Verdict]] = []
        # Nobody named, no swap: the order of two bare numbers says nothing.
        if self._mention.first is not None and said == board[::-1]:
            options.append((verdict["swapped"], "swapped"))
        for back, old in enumerate(dict.fromkeys(boards[-2::-1])):
            if said == old:
                options.append((verdict["stale"] + back * self._stale_decay, "stale"))
        ahead = (said[0] - board[0], said[1] - board[1])
        off = abs(ahead[0]) + abs(ahead[1])
        if (min(ahead) == 0 and max(ahead) in model.awards) or reviewed:
            options.append((verdict["ahead"] + model.ahead(off), "ahead"))
        options.append((verdict["wrong"] + model.wrong(*ahead), "wrong"))
        cost, likeliest = max(options)
        # While nothing has been scored, and when all is over, hardly anybody is mistaken about the score: other numbers
        # are another bout's, or those of an earlier moment.
        return cost + self._care + (self._opening if set(boards) == {(0, 0)} else 0.0), likeliest


def _after_review(h: Hypothesis) -> set[Score]:
    """Boards that the open challenge may lead to."""
    pending = h.pending
    assert pending is not None
    red, blue = h.score
    out = {(red, blue + 1) if pending.by == "red" else (red + 1, blue)}
    for entry in h.entries[-4:]:
        if entry.overturned is None and entry.move.points and entry.move.corner not in (None, pending.by):
            points = entry.move.points
            out.add((red - points, blue) if entry.move.corner == "red" else (red, blue - points))
    return out
