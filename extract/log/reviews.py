"""What words of a challenge do to a reading: a challenge opens, is won, is lost, or nothing."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.hypothesis import Entry, Hypothesis, ReviewRun, Score
from extract.log.model import Model
from extract.log.parameters import log
from extract.mentions.model import ReviewMention
from extract.rules.base import BOUNDS, MOST_POINTS, Move, Ruleset, other
from extract.rules.kinds import KINDS


def explain_review(h: Hypothesis, index: int, mention: ReviewMention, model: Model) -> Iterator[Hypothesis]:
    """Every reading that goes on from ``h`` over words of a challenge."""
    p = model.review_genuine(mention)
    table = model.parameters.table("review")
    pending = h.pending
    if mention.what == "ask":
        yield from _asked(h, index, mention, p, model)
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
            yield h.cheaper(log(table["told_again"] if same else 1 - p))
            return
        yield h.cheaper(log(1 - p))
        if mention.grade == "named":
            unheard = log(p * model.parameters.get("review.unheard", "ask"))
            for corner, cost in model.corner_costs(mention.corner, mention.tie).items():
                opened = h.with_review(
                    ReviewRun(corner, max(mention.t - table["takes_s"], model.begins), None), unheard + cost
                )
                yield from decided(opened, index, mention.what, mention.t, 0.0, model)
        return
    yield h.cheaper(log(1 - p))
    if mention.t - pending.t >= table["at_least_s"]:
        yield from decided(h, index, mention.what, mention.t, log(p), model)


def _asked(h: Hypothesis, index: int, mention: ReviewMention, p: float, model: Model) -> Iterator[Hypothesis]:
    pending, table = h.pending, model.parameters.table("review")
    if pending is not None and mention.t - pending.t > table["lasts_s"]:
        # The one before was none, or nobody told how it came out.
        yield h.cheaper(log(1 - p))
        yield from _open(h, index, mention, log(p), model)
        return
    if pending is not None:
        agrees = model.corner_costs(mention.corner, mention.tie)[pending.by]
        yield h.cheaper(log(1 - table["anew"]) + 0.5 * agrees)
        return
    last = h.reviews[-1].t_outcome if h.reviews else None
    if last is not None and mention.t - last < table["anew_s"]:
        yield h.cheaper(log(1 - table["anew"]))
        yield from _open(h, index, mention, log(p * table["anew"]), model)
        return
    yield h.cheaper(log(1 - p))
    yield from _open(h, index, mention, log(p), model)


def _open(
    h: Hypothesis, index: int, mention: ReviewMention, cost: float, model: Model
) -> Iterator[Hypothesis]:
    recent = next((e.move for e in reversed(h.entries) if e.move.points), None)
    own = model.parameters.get("review.ask", "own_score")
    for corner, price in model.corner_costs(mention.corner, mention.tie).items():
        # One who has just scored seldom asks.
        likely = 0.0 if recent is None else log(own if recent.corner == corner else 1 - own)
        yield h.with_review(ReviewRun(corner, mention.t, index), cost + price + likely)


def decided(
    h: Hypothesis, told: int | None, what: str, t: float, cost: float, model: Model
) -> Iterator[Hypothesis]:
    """Readings in which the last challenge, which is open, is decided, with what that does to the board."""
    if not h.reviews or h.reviews[-1].outcome != "unknown":
        return
    pending = h.reviews[-1]
    table = model.parameters.table("review")
    if t - pending.t > table["lasts_s"]:
        cost += log(table["overdue"])
    closed = h.with_review(pending._replace(outcome=what, t_outcome=t, told=told), cost, closing=True)
    review = len(closed.reviews) - 1
    if what == "withdrawn":
        yield closed
    elif what == "lost":
        yield from _lost(closed, pending, review, told, t, model)
    else:
        yield from _won(closed, pending, review, t, model)


def _lost(
    h: Hypothesis, pending: ReviewRun, review: int, told: int | None, t: float, model: Model
) -> Iterator[Hypothesis]:
    points = model.rules.lost_challenge_points
    given = model.parameters.get("review.lost", "point") if points else 0.0
    yield h.cheaper(log(1 - given))
    if not points:
        return
    mentions = (told,) if told is not None else ()
    move = Move("challenge_point", other(pending.by), points)
    basis = "called" if told is not None else "inferred"
    pushed = h.push(model.rules, Entry(move, t, t, basis, mentions, review=review, named=True), log(given))  # type: ignore[arg-type]
    if pushed is not None:
        yield pushed


def _won(h: Hypothesis, pending: ReviewRun, review: int, t: float, model: Model) -> Iterator[Hypothesis]:
    table = {k: log(v) for k, v in model.parameters.table("review.won").items()}
    rules = model.rules
    yield h.cheaper(table["nothing"])
    reach = model.parameters.get("review", "reach_s")
    against = [
        k for k, e in enumerate(h.entries)
        if e.overturned is None and e.move.points and e.move.corner == other(pending.by)
        and e.move.kind not in BOUNDS and pending.t - reach <= e.t <= t and e.review is None
    ]  # fmt: skip
    own = [
        k for k, e in enumerate(h.entries)
        if e.overturned is None and e.move.points and e.move.corner == pending.by and pending.t - reach <= e.t <= t
    ]  # fmt: skip
    for back, at in enumerate(reversed(against[-2:])):
        removed = taken_off(h, rules, at, review, t, table["removes" if back == 0 else "removes_earlier"])
        if removed is None:
            continue
        yield removed
        if back == 0:
            for move, share in _gifts(pending, model):
                turned = removed.push(
                    rules,
                    Entry(move, t, pending.t, "inferred", review=review),
                    table["turns"] - table["removes"] + share,
                )
                if turned is not None:
                    yield turned
            yield from _revalued(h, model, at, review, t, table["lowers"], lower=True)
    if own:
        yield from _revalued(h, model, own[-1], review, t, table["raises"], lower=False)
    for move, share in _gifts(pending, model):
        given = h.push(rules, Entry(move, t, pending.t, "inferred", review=review), table["gives"] + share)
        if given is not None:
            yield given


def taken_off(
    h: Hypothesis, rules: Ruleset, at: int, review: int, t: float, cost: float
) -> Hypothesis | None:
    """The reading with event ``at`` taken off the board at ``t`` by a review; None where that cannot be."""
    entry = h.entries[at]._replace(overturned=review, off=t)
    return h.rebuilt(rules, (*h.entries[:at], entry, *h.entries[at + 1 :]), t, cost)


def _revalued(
    h: Hypothesis, model: Model, at: int, review: int, t: float, cost: float, *, lower: bool
) -> Iterator[Hypothesis]:
    """An award changed to another number of points: the old one off the board, the new one on."""
    rules = model.rules
    old = h.entries[at].move
    removed = taken_off(h, rules, at, review, t, cost)
    if removed is None:
        return
    options = [(k, p) for k in _given(model) for p in rules.points_of(k)]
    values = sorted({p for _, p in options if (p < old.points) == lower and p != old.points})
    for points in values:
        kind = next(k for k, p in options if p == points)
        pushed = removed.push(
            rules,
            Entry(Move(kind, old.corner, points), t, t, "inferred", review=review),
            log(1 / len(values)),
        )
        if pushed is not None:
            yield pushed


def _given(model: Model) -> dict[str, float]:
    """What a challenge may bring the challenger, share of each kind: those of the table that the rules have, else each
    of their actions alike."""
    table = model.parameters.table("review.gives")
    known = {kind: float(share) for kind, share in table.items() if model.rules.points_of(kind)}
    actions = [kind for kind in model.rules.scoring_kinds if KINDS[kind].does == "action"]
    return known or dict.fromkeys(actions, 1 / max(len(actions), 1))


def _gifts(pending: ReviewRun, model: Model) -> Iterator[tuple[Move, float]]:
    """Awards that a challenger may gain, with log shares."""
    for kind, share in _given(model).items():
        yield Move(kind, pending.by, model.rules.points_of(kind)[0]), log(share)


def outcomes_unheard(h: Hypothesis, t: float, said: Score, model: Model) -> Iterator[Hypothesis]:
    """Readings in which the open challenge has been decided though nobody said how, and the board shows ``said``."""
    pending = h.pending
    soonest = model.parameters.get("review", "unsaid_after_s")
    if pending is None or t - pending.t < soonest or not _may_lead_to(h, pending, said):
        return
    for what in ("won", "lost"):
        price = log(model.parameters.get("review.unheard", what))
        yield from (out for out in decided(h, None, what, t - 2.0, price, model) if out.score == said)


def _may_lead_to(h: Hypothesis, pending: ReviewRun, said: Score) -> bool:
    """Whether any outcome of the open challenge can lead from the board to ``said``: the challenger's points stay
    or grow, the other's change by an award or a point."""
    own, theirs = (0, 1) if pending.by == "red" else (1, 0)
    return abs(said[own] - h.score[own]) <= MOST_POINTS and abs(said[theirs] - h.score[theirs]) <= MOST_POINTS
