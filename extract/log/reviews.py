"""What words of a challenge do to a reading: a challenge opens, is won, is lost, or nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.log.floor import Floor
from extract.log.hypothesis import Entry, Hypothesis, ReviewRun, Score
from extract.log.model import Model
from extract.log.parameters import log
from extract.mentions.model import ReviewMention
from extract.rules.base import BOUNDS, MOST_POINTS, Move, Ruleset, other


def explain_review(
    h: Hypothesis, index: int, mention: ReviewMention, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    """Every reading that goes on from ``h`` over words of a challenge and that the floor holds."""
    p = model.review_genuine(mention)
    table = model.parameters.table("review")
    pending = h.pending
    if mention.what == "ask":
        yield from _asked(h, index, mention, p, model, floor)
        return
    if pending is None:
        last = h.reviews[-1] if h.reviews else None
        if (
            last is not None
            and last.t_outcome is not None
            and mention.t - last.t_outcome < table["told_again_s"]
        ):
            # Said over again of a challenge that is decided.
            same = last.outcome == mention.what
            yield from _at(h, log(table["told_again"] if same else 1 - p), floor)
            return
        yield from _at(h, log(1 - p), floor)
        if mention.grade == "named":
            unheard = log(p * model.parameters.get("review.unheard", "ask"))
            for corner, cost in model.corner_costs(mention.corner, mention.tie).items():
                opened = h.with_review(
                    ReviewRun(corner, max(mention.t - table["takes_s"], 0.0), None), unheard + cost
                )
                yield from decided(opened, index, mention.what, mention.t, 0.0, model, floor)
        return
    yield from _at(h, log(1 - p), floor)
    if mention.t - pending.t >= table["at_least_s"]:
        yield from decided(h, index, mention.what, mention.t, log(p), model, floor)


def _at(h: Hypothesis, cost: float, floor: Floor) -> Iterator[Hypothesis]:
    """The same reading at a cost."""
    if floor.holds(h.logp + cost):
        yield h.cheaper(cost)


def _asked(
    h: Hypothesis, index: int, mention: ReviewMention, p: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    pending, table = h.pending, model.parameters.table("review")
    if pending is not None and mention.t - pending.t > table["lasts_s"]:
        # The one before was none, or nobody told how it came out.
        yield from _at(h, log(1 - p), floor)
        yield from _open(h, index, mention, log(p), model, floor)
        return
    if pending is not None:
        agrees = model.corner_costs(mention.corner, mention.tie)[pending.by]
        yield from _at(h, log(1 - table["anew"]) + 0.5 * agrees, floor)
        return
    last = h.reviews[-1].t_outcome if h.reviews else None
    if last is not None and mention.t - last < table["anew_s"]:
        yield from _at(h, log(1 - table["anew"]), floor)
        yield from _open(h, index, mention, log(p * table["anew"]), model, floor)
        return
    yield from _at(h, log(1 - p), floor)
    yield from _open(h, index, mention, log(p), model, floor)


def _open(
    h: Hypothesis, index: int, mention: ReviewMention, cost: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    recent = next((e.move for e in reversed(h.entries) if e.move.points), None)
    own = model.parameters.get("review.ask", "own_score")
    for corner, price in model.corner_costs(mention.corner, mention.tie).items():
        # One who has just scored seldom asks.
        likely = 0.0 if recent is None else log(own if recent.corner == corner else 1 - own)
        total = cost + price + likely
        if floor.holds(h.logp + total):
            yield h.with_review(ReviewRun(corner, mention.t, index), total)


def decided(
    h: Hypothesis, told: int | None, what: str, t: float, cost: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    """Readings in which the last challenge, which is open, is decided, with what that does to the board; those that the
    floor holds."""
    if not h.reviews or h.reviews[-1].outcome != "unknown":
        return
    pending = h.reviews[-1]
    table = model.parameters.table("review")
    if t - pending.t > table["lasts_s"]:
        cost += log(table["overdue"])
    closed = h.with_review(pending._replace(outcome=what, t_outcome=t, told=told), cost, closing=True)
    review = len(closed.reviews) - 1
    if what == "withdrawn":
        yield from _at(closed, 0.0, floor)
    elif what == "lost":
        yield from _lost(closed, pending, review, told, t, model, floor)
    else:
        yield from _won(closed, pending, review, t, model, floor)


def _lost(
    h: Hypothesis, pending: ReviewRun, review: int, told: int | None, t: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    points = model.rules.lost_challenge_points
    given = model.parameters.get("review.lost", "point") if points else 0.0
    yield from _at(h, log(1 - given), floor)
    if not points:
        return
    mentions = (told,) if told is not None else ()
    move = Move("challenge_point", other(pending.by), points)
    basis = "called" if told is not None else "inferred"
    entry = Entry(move, t, t, basis, mentions, h.state.period, review, named=True)  # type: ignore[arg-type]
    yield from _put(h, entry, log(given), model, floor)


def _put(h: Hypothesis, entry: Entry, cost: float, model: Model, floor: Floor) -> Iterator[Hypothesis]:
    """The reading with one more event."""
    if floor.holds(h.logp + cost):
        pushed = h.push(model.rules, entry, cost)
        if pushed is not None:
            yield pushed


def _won(
    h: Hypothesis, pending: ReviewRun, review: int, t: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    table = model.won
    yield from _at(h, table["nothing"], floor)
    reach = model.parameters.get("review", "reach_s")
    awards = [
        k for k, e in enumerate(h.entries)
        if e.overturned is None and e.move.points and pending.t - reach <= e.t <= t
    ]  # fmt: skip
    own = [k for k in awards if h.entries[k].move.corner == pending.by]
    against = [
        k for k in awards
        if h.entries[k].move.corner == other(pending.by) and h.entries[k].move.kind not in BOUNDS
        and h.entries[k].review is None
    ]  # fmt: skip
    gifts = [
        (Entry(move, t, pending.t, "inferred", (), h.state.period, review), share)
        for move, share in model.gifts[pending.by]
    ]
    for back, at in enumerate(reversed(against[-2:])):
        cost = table["removes" if back == 0 else "removes_earlier"]
        if floor.holds(h.logp + cost):
            removed = taken_off(h, model.rules, at, review, t, cost)
            if removed is not None:
                yield removed
        if back == 0:
            yield from _turned(h, at, gifts, review, t, model, floor)
            yield from _revalued(h, model, at, review, t, table["lowers"], floor, lower=True)
    if own:
        yield from _revalued(h, model, own[-1], review, t, table["raises"], floor, lower=False)
    for entry, share in gifts:
        yield from _put(h, entry, table["gives"] + share, model, floor)


def _turned(
    h: Hypothesis,
    at: int,
    gifts: Sequence[tuple[Entry, float]],
    review: int,
    t: float,
    model: Model,
    floor: Floor,
) -> Iterator[Hypothesis]:
    """An award turned round: off the board, and one for the challenger on."""
    held = [(gift, share) for gift, share in gifts if floor.holds(h.logp + (model.won["turns"] + share))]
    removed = taken_off(h, model.rules, at, review, t, model.won["turns"]) if held else None
    if removed is None:
        return
    for gift, share in held:
        turned = removed.push(model.rules, gift, share)
        if turned is not None:
            yield turned


def taken_off(
    h: Hypothesis, rules: Ruleset, at: int, review: int, t: float, cost: float
) -> Hypothesis | None:
    """The reading with event ``at`` taken off the board at ``t`` by a review; None where that cannot be."""
    entry = h.entries[at]._replace(overturned=review, off=t)
    return h.rebuilt(rules, (*h.entries[:at], entry, *h.entries[at + 1 :]), t, cost)


def _revalued(
    h: Hypothesis, model: Model, at: int, review: int, t: float, cost: float, floor: Floor, *, lower: bool
) -> Iterator[Hypothesis]:
    """An award changed to another number of points: the old one off the board, the new one on."""
    rules = model.rules
    old = h.entries[at].move
    options = [(move.kind, p) for move, _ in model.gifts["red"] for p in rules.points_of(move.kind)]
    values = sorted({p for _, p in options if (p < old.points) == lower and p != old.points})
    if not values or not floor.holds_any(h.logp + cost + log(1 / len(values)), len(values)):
        return
    removed = taken_off(h, rules, at, review, t, cost)
    if removed is None:
        return
    for points in values:
        kind = next(k for k, p in options if p == points)
        entry = Entry(Move(kind, old.corner, points), t, t, "inferred", (), h.state.period, review)
        pushed = removed.push(rules, entry, log(1 / len(values)))
        if pushed is not None:
            yield pushed


def outcomes_unheard(h: Hypothesis, t: float, said: Score, model: Model) -> Iterator[Hypothesis]:
    """Readings in which the open challenge has been decided though nobody said how, and the board shows ``said``."""
    pending = h.pending
    soonest = model.parameters.get("review", "unsaid_after_s")
    if pending is None or t - pending.t < soonest or not _may_lead_to(h, pending, said):
        return
    for what in ("won", "lost"):
        price = log(model.parameters.get("review.unheard", what))
        yield from (
            out for out in decided(h, None, what, t - 2.0, price, model, Floor()) if out.score == said
        )


def _may_lead_to(h: Hypothesis, pending: ReviewRun, said: Score) -> bool:
    """Whether any outcome of the open challenge can lead from the board to ``said``: the challenger's points stay
    or grow, the other's change by an award or a point."""
    own, theirs = (0, 1) if pending.by == "red" else (1, 0)
    return abs(said[own] - h.score[own]) <= MOST_POINTS and abs(said[theirs] - h.score[theirs]) <= MOST_POINTS
