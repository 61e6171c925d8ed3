"""What words of a challenge do to a reading: a challenge opens, is won, is lost, or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from extract.log.cutoff import Cutoff
from extract.log.hypothesis import Hypothesis, ReadingEvent, ReviewRun, Score
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.mentions.model import Review, ReviewMention
from extract.rules.base import Corner, Move, Ruleset, other
from extract.rules.family import add

#: An event of the log is so much before one that stands before it at most, seconds: a call comes a while after its event.
_BACK_S = 60.0
_LOST: Review = "lost"


def explain_review(
    h: Hypothesis, index: int, mention: ReviewMention, p: float, model: Model, cutoff: Cutoff
) -> Iterator[Hypothesis]:
    """Every reading that goes on from ``h`` over words of a challenge, genuine with probability ``p``, and that the cutoff
    holds."""
    table = model.parameters.table("review")
    pending = h.pending
    if mention.what == "ask":
        yield from _asked(h, index, mention, p, model, cutoff)
        return
    if pending is None:
        if mention.grade == "open":
            # They are much else where nothing is looked at.
            yield from _at(h, log_p(table["open_else"]), cutoff)
            return
        last = h.reviews[-1] if h.reviews else None
        if (
            last is not None
            and last.t_outcome is not None
            and mention.t - last.t_outcome < table["told_again_s"]
        ):
            # Said over again of a challenge that is decided.
            same = last.outcome == mention.what
            yield from _at(h, log_p(table["told_again"] if same else 1 - p), cutoff)
            return
        yield from _at(h, log_p(1 - p), cutoff)
        if mention.grade == "named":
            unheard = log_p(p * model.parameters.get("review.unheard", "ask"))
            for corner, cost in model.corner_costs(mention.corner, mention.tie).items():
                opened = h.with_review(
                    ReviewRun(corner, max(mention.t - table["takes_s"], model.begins), None), unheard + cost
                )
                yield from decided(opened, index, mention.what, mention.t, 0.0, model, cutoff)
        return
    yield from _at(h, log_p(1 - p), cutoff)
    if mention.t - pending.t >= table["at_least_s"]:
        yield from decided(h, index, mention.what, mention.t, log_p(p), model, cutoff)


def _at(h: Hypothesis, cost: float, cutoff: Cutoff) -> Iterator[Hypothesis]:
    """The same reading at a cost."""
    if cutoff.passes(h.logp + cost):
        yield h.cheaper(cost)


def _asked(
    h: Hypothesis, index: int, mention: ReviewMention, p: float, model: Model, cutoff: Cutoff
) -> Iterator[Hypothesis]:
    pending, table = h.pending, model.parameters.table("review")
    if pending is not None and mention.t - pending.t > table["lasts_s"]:
        # The one before was none, or nobody told how it came out.
        yield from _at(h, log_p(1 - p), cutoff)
        yield from _open(h, index, mention, log_p(p), model, cutoff)
        return
    if pending is not None:
        agrees = model.corner_costs(mention.corner, mention.tie)[pending.by]
        yield from _at(h, log_p(1 - table["anew"]) + table["anew_corner"] * agrees, cutoff)
        return
    last = h.reviews[-1].t_outcome if h.reviews else None
    if last is not None and mention.t - last < table["anew_s"]:
        yield from _at(h, log_p(1 - table["anew"]), cutoff)
        yield from _open(h, index, mention, log_p(p * table["anew"]), model, cutoff)
        return
    yield from _at(h, log_p(1 - p), cutoff)
    yield from _open(h, index, mention, log_p(p), model, cutoff)


def _open(
    h: Hypothesis, index: int, mention: ReviewMention, cost: float, model: Model, cutoff: Cutoff
) -> Iterator[Hypothesis]:
    last = next((e for e in reversed(h.entries) if e.move.points), None)
    just_s = model.parameters.get("review", "just_s")
    recent = last.move if last is not None and mention.t - last.t <= just_s else None
    own = model.parameters.get("review.ask", "own_score")
    for corner, price in model.corner_costs(mention.corner, mention.tie).items():
        # One who has just scored seldom asks.
        likely = 0.0 if recent is None else log_p(own if recent.corner == corner else 1 - own)
        total = cost + price + likely
        if cutoff.passes(h.logp + total):
            yield h.with_review(ReviewRun(corner, mention.t, index), total)


def decided(
    h: Hypothesis,
    answer: int | None,
    what: str,
    t: float,
    cost: float,
    model: Model,
    cutoff: Cutoff,
    *,
    shows: Score | None = None,
) -> Iterator[Hypothesis]:
    """Readings in which the last challenge, which is open, is decided, with what that does to the board; those that the
    cutoff holds, and, where it is given, only those whose board ``shows`` this."""
    if not h.reviews or h.reviews[-1].outcome != "unknown":
        return
    pending = h.reviews[-1]
    table = model.parameters.table("review")
    if t - pending.t > table["lasts_s"]:
        cost += log_p(table["overdue"])
    closed = h.with_review(pending._replace(outcome=what, t_outcome=t, answer=answer), cost, closing=True)
    outcome = _ReviewOutcome(closed, pending, answer, t, model, cutoff, shows)
    if what == "withdrawn":
        yield from outcome.unchanged(0.0)
    elif what == "lost":
        yield from outcome.lost()
    else:
        yield from outcome.won()


@dataclass(frozen=True, slots=True)
class _ReviewOutcome:
    """What the outcome of a challenge makes of ``reading``, in which it is decided."""

    reading: Hypothesis
    pending: ReviewRun
    answer: int | None
    t: float
    model: Model
    cutoff: Cutoff
    shows: Score | None

    def _worth(self, cost: float, *, off: Move | None = None, on: Move | None = None) -> bool:
        """Whether a reading at this cost, with one award off the board and another on, is worth building."""
        if self.shows is not None:
            score = self.reading.score
            for move, sign in ((off, -1), (on, 1)):
                if move is not None and move.corner is not None:
                    score = add(score, move.corner, sign * move.points)
            if score != self.shows:
                return False
        return self.cutoff.passes(self.reading.logp + cost)

    def unchanged(self, cost: float) -> Iterator[Hypothesis]:
        """The board as it was."""
        if self._worth(cost):
            yield self.reading.cheaper(cost)

    def lost(self) -> Iterator[Hypothesis]:
        """A point for the other side, where the rules give one."""
        points = self.model.rules.lost_challenge_points
        given = self.model.parameters.get("review.lost", "point") if points else 0.0
        yield from self.unchanged(log_p(1 - given))
        if points:
            entry = self._entry(Move("challenge_point", other(self.pending.by), points), self.t)
            if self.answer is not None:
                entry = entry._replace(basis="called", mentions=(self.answer,))
            yield from self._given(entry._replace(named=True), log_p(given))

    def won(self) -> Iterator[Hypothesis]:
        """An award off the board, lowered, raised or turned round, one given, or nothing."""
        table, reading = self.model.won, self.reading
        yield from self.unchanged(table["nothing"])
        since = self.pending.t - self.model.parameters.get("review", "reach_s")
        entries, first = reading.entries, len(reading.entries)
        while first and entries[first - 1].t >= since - _BACK_S:
            first -= 1
        awards = [
            k for k in range(first, len(entries))
            if entries[k].overturned is None and entries[k].move.points and since <= entries[k].t <= self.t
        ]  # fmt: skip
        own = [k for k in awards if reading.entries[k].move.corner == self.pending.by]
        against = [
            k for k in awards
            if reading.entries[k].move.corner == other(self.pending.by) and reading.entries[k].review is None
        ]  # fmt: skip
        for back, at in enumerate(reversed(against[-2:])):
            cost = table["removes" if back == 0 else "removes_earlier"]
            if self._worth(cost, off=reading.entries[at].move):
                removed = self._taken_off(at, cost)
                if removed is not None:
                    yield removed
            if back == 0:
                yield from self._turned(at)
                yield from self._revalued(at, table["lowers"], lower=True)
        if own:
            yield from self._revalued(own[-1], table["raises"], lower=False)
        for move, share in self.model.gifts[self.pending.by]:
            yield from self._given(self._entry(move, self.pending.t), table["gives"] + share)

    def _entry(self, move: Move, low: float) -> ReadingEvent:
        """An award that the outcome brings."""
        review = len(self.reading.reviews) - 1
        return ReadingEvent(move, self.t, low, "inferred", (), self.reading.state.period, review)

    def _given(self, entry: ReadingEvent, cost: float) -> Iterator[Hypothesis]:
        if self._worth(cost, on=entry.move):
            pushed = self.reading.push(self.model.rules, entry, cost)
            if pushed is not None:
                yield pushed

    def _turned(self, at: int) -> Iterator[Hypothesis]:
        """An award turned round: off the board, and one for the challenger on."""
        cost, off = self.model.won["turns"], self.reading.entries[at].move
        gifts = [
            (move, share)
            for move, share in self.model.gifts[self.pending.by]
            if self._worth(cost + share, off=off, on=move)
        ]
        removed = self._taken_off(at, cost) if gifts else None
        if removed is None:
            return
        for move, share in gifts:
            turned = removed.push(self.model.rules, self._entry(move, self.pending.t), share)
            if turned is not None:
                yield turned

    def _revalued(self, at: int, cost: float, *, lower: bool) -> Iterator[Hypothesis]:
        """An award changed to another number of points: the old one off the board, the new one on."""
        old, points_of = self.reading.entries[at].move, self.model.rules.points_of
        options = [(m.kind, p) for m, _ in self.model.gifts[self.pending.by] for p in points_of(m.kind)]
        values = sorted({p for _, p in options if (p < old.points) == lower and p != old.points})
        each = log_p(1 / max(len(values), 1))
        moves = [Move(next(k for k, p in options if p == points), old.corner, points) for points in values]
        moves = [move for move in moves if self._worth(cost + each, off=old, on=move)]
        removed = self._taken_off(at, cost) if moves else None
        if removed is None:
            return
        for move in moves:
            pushed = removed.push(self.model.rules, self._entry(move, self.t), each)
            if pushed is not None:
                yield pushed

    def _taken_off(self, at: int, cost: float) -> Hypothesis | None:
        review = len(self.reading.reviews) - 1
        return taken_off(self.reading, self.model.rules, at, review, self.t, cost)


def taken_off(
    h: Hypothesis, rules: Ruleset, at: int, review: int, t: float, cost: float
) -> Hypothesis | None:
    """The reading with event ``at`` taken off the board at ``t`` by a review; None where that cannot be."""
    entry = h.entries[at]._replace(overturned=review, off=t)
    return h.rebuilt(rules, (*h.entries[:at], entry, *h.entries[at + 1 :]), at, t, cost)


def is_looked_at(h: Hypothesis, t: float, model: Model) -> bool:
    """Whether a challenge has been looked at for a while, so that nobody wrestles."""
    pending, table = h.pending, model.parameters.table("review")
    return pending is not None and table["unsaid_after_s"] <= t - pending.t <= table["lasts_s"]


def lost_as_called(
    h: Hypothesis,
    index: int,
    t: float,
    points: int | None,
    costs: Mapping[Corner, float],
    model: Model,
    cutoff: Cutoff,
) -> Iterator[Hypothesis]:
    """Readings in which a call of ``points`` at ``t`` tells that the open challenge is lost: it is the point that this
    gives. ``costs`` are those of the call being each corner's."""
    pending = h.pending
    if pending is None or points is None or points != model.rules.lost_challenge_points:
        return
    near_s = model.parameters.get("review", "apart_s")
    if any(abs(t - told) <= near_s for told in model.told_lost):
        # The words that tell it decide it.
        return
    cost = costs[other(pending.by)] + log_p(model.parameters.get("review.unheard", "called"))
    for lost in decided(h, None, _LOST, t, cost, model, cutoff):
        if len(lost.entries) > len(h.entries):
            yield lost.retold(len(lost.entries) - 1, index, 0.0)


def outcomes_unheard(
    h: Hypothesis, t: float, said: Score, cost: float, model: Model, cutoff: Cutoff
) -> Iterator[Hypothesis]:
    """Readings in which the open challenge has been decided though nobody said how, and the board shows ``said``, which
    costs ``cost``; those that pass the cutoff."""
    pending = h.pending
    if pending is None or t - pending.t < model.parameters.get("review", "unsaid_after_s"):
        return
    before = model.parameters.get("review", "unsaid_before_s")
    for what in ("won", "lost"):
        price = cost + log_p(model.parameters.get("review.unheard", what))
        yield from decided(h, None, what, t - before, price, model, cutoff, shows=said)
