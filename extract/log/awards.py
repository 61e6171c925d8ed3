"""What a call may be: a new award, an award told again, or nothing."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.hypothesis import Entry, Hypothesis
from extract.log.model import Model
from extract.log.parameters import log
from extract.log.trails import as_ahead, relabelled, said_since
from extract.mentions.model import CallMention, PositionMention, WaveOffMention
from extract.rules.base import BOUNDS, PENALTIES, WARNINGS, Corner, IllegalMove, Move, other
from extract.rules.kinds import KINDS

#: How many events back a call may tell of again.
_BACK = 5


def explain_call(h: Hypothesis, index: int, mention: CallMention, model: Model) -> Iterator[Hypothesis]:
    """Every reading that goes on from ``h`` over a call."""
    p = model.call_genuine(mention)
    yield h.cheaper(log(1 - p))
    told_again = 0.0
    for at in range(len(h.entries) - 1, max(len(h.entries) - 1 - _BACK, -1), -1):
        entry = h.entries[at]
        if entry.move.kind in BOUNDS:
            continue
        share = model.repeat_share(mention.t - entry.t, more=mention.more)
        fit = _fits(mention, entry, model)
        if not share or fit is None:
            continue
        told_again = max(told_again, share)
        trust = max(p, model.parameters.get("call.repeat", "trust"))
        told = h.retold(at, index, log(trust * share) + fit, named=bool(mention.kinds))
        move = _sharper(mention, entry, model)
        yield told.renamed(model.rules, at, move) if move is not None else told
    cost_late = 0.0
    if h.state.over is not None:
        if h.state.over.by != "superiority":
            return
        # What finishes the action that reached the lead still counts.
        cost_late = log(model.parameters.get("break", "award"))
    for move, cost in _moves(h, mention, model):
        yield from _new(h, index, mention, move, log(p * (1 - told_again)) + cost + cost_late, model)


def _fits(mention: CallMention, entry: Entry, model: Model) -> float | None:
    """Log probability of these words about an event that is in the log already, or None where they cannot be."""
    move = entry.move
    wrong = log(model.parameters.get("call.points", "contradicts"))
    cost = 0.0
    if mention.points is not None and mention.points != move.points:
        if not move.points:
            return None
        cost += wrong
    known = entry.named or not any(move.points in model.rules.points_of(k) for k in mention.kinds)
    if mention.kinds and move.kind not in mention.kinds and known:
        # An event known by its points alone, or by the score alone, may yet get its kind.
        cost += wrong if _named(mention) else log(model.parameters.get("call.points", "hold_differs"))
    if not mention.kinds and move.kind in WARNINGS:
        return None
    credited = move.corner if move.corner is not None else (other(move.against) if move.against else None)
    if credited is not None:
        cost += model.corner_costs(mention.corner, mention.tie)[credited]
    return cost


def _named(mention: CallMention) -> bool:
    """Whether the kind itself was named, not only a hold that it may come from."""
    return mention.grade == "points and kind" or mention.points is None


def _sharper(mention: CallMention, entry: Entry, model: Model) -> Move | None:
    """The event's move with the kind that the words name, where it had none of its own."""
    if not mention.kinds or entry.named or entry.move.kind in mention.kinds:
        return None
    for kind in mention.kinds:
        if entry.move.points and entry.move.points in model.rules.points_of(kind):
            corner = entry.move.corner
            return Move(kind, corner, entry.move.points, _penalised(kind, corner))
    return None


def _penalised(kind: str, corner: Corner | None) -> Corner | None:
    """Who is penalised where ``corner`` is credited with an award of this kind."""
    return other(corner) if corner is not None and kind in PENALTIES else None


def _on_top(h: Hypothesis, t: float, model: Model) -> Corner | None:
    """Who has just taken the other down or turned the other, in a style that has no position, and is still on top."""
    if model.rules.rest_seconds == 0:
        return None
    last = next((e for e in reversed(h.entries) if e.move.points), None)
    if (
        last is None
        or last.move.kind not in ("takedown", "exposure")
        or t - last.t > model.parameters.get("time", "on_top_s")
    ):
        return None
    return last.move.corner


def _moves(h: Hypothesis, mention: CallMention, model: Model) -> Iterator[tuple[Move, float]]:
    """The moves that a call may announce, with the log probability of each."""
    rules = model.rules
    orders = model.parameters.table("call.points")
    top = _on_top(h, mention.t, model)
    for corner, corner_cost in model.corner_costs(mention.corner, mention.tie).items():
        on_top = corner == top
        if mention.kinds:
            for kind in mention.kinds:
                values = rules.points_of(kind)
                if kind in WARNINGS:
                    yield Move(kind, None, 0, other(corner)), corner_cost
                    continue
                if values and 0 not in values and mention.points is None:
                    # A kind that brings points may decide a level bout without one.
                    decides = Move(kind, corner)
                    if decides in rules.legal_events(h.state):
                        yield decides, corner_cost
                order = orders.get(kind, orders["order"])
                for n, points in enumerate(values):
                    if mention.points is None:
                        share = log(order[min(n, len(order) - 1)]) if len(values) > 1 else 0.0
                    elif points == mention.points:
                        share = 0.0
                    else:
                        continue
                    yield Move(kind, corner, points, _penalised(kind, corner)), corner_cost + share
                if mention.points is not None and mention.points not in values:
                    price = log(
                        model.parameters.get(
                            "call.points", "contradicts" if _named(mention) else "hold_differs"
                        )
                    )
                    yield from _by_points(corner, mention.points, corner_cost + price, model, on_top=on_top)
        elif mention.points is not None:
            yield from _by_points(corner, mention.points, corner_cost, model, on_top=on_top)


def _by_points(
    corner: Corner, points: int, cost: float, model: Model, *, on_top: bool
) -> Iterator[tuple[Move, float]]:
    """Points given without a kind: each kind that brings as many, as often as it does. One who is on top already
    seldom takes the other down."""
    options = []
    unusual = model.parameters.get("call.points", "unusual")
    for kind in model.rules.scoring_kinds:
        if KINDS[kind].by_name or points not in model.rules.points_of(kind):
            continue
        share = model.uncalled.share(kind)
        usual = model.rules.points_of(kind)[0] == points
        again = model.parameters.get("call.points", "again_down") if on_top and kind == "takedown" else 1.0
        options.append((share * again * (1.0 if usual else unusual), kind))
    total = sum(s for s, _ in options)
    for share, kind in sorted(options, reverse=True)[:3]:
        yield Move(kind, corner, points, _penalised(kind, corner)), cost + log(share / total)


def _new(
    h: Hypothesis, index: int, mention: CallMention, move: Move, cost: float, model: Model
) -> Iterator[Hypothesis]:
    """The call as an event of its own; where the rules forbid it, after the uncalled event that makes it legal."""
    t = mention.t - model.parameters.get("time", "call_lag_s")
    early = model.parameters.get("time", "call_late_s")
    entry = Entry(
        move,
        max(t, model.begins),
        max(t - early, model.begins),
        "called",
        (index,),
        named=bool(mention.kinds),
    )
    if move.points and model.in_break(mention.t):
        cost += log(model.parameters.get("break", "award"))
    pushed = h.push(model.rules, entry, cost)
    if pushed is not None:
        yield pushed
        yield from _late(h, pushed, entry, mention, model)
        return
    for price, steps in model.uncalled.bridges(h.state, move):
        at: Hypothesis | None = h
        for step in steps:
            last = at.entries[-1].t if at is not None and at.entries else 0.0
            at = at.push(model.rules, Entry(step, max(t - 1.0, last), last, "inferred"), 0.0) if at else None
        if at is not None:
            after = at.push(model.rules, entry, cost + price)
            if after is not None:
                yield after


def _late(
    h: Hypothesis, pushed: Hypothesis, entry: Entry, mention: CallMention, model: Model
) -> Iterator[Hypothesis]:
    """The call as one that comes late, of an award from before the score said last, which then was an old one."""
    told = h.said.item if h.said is not None else None
    late = model.parameters.table("call.late")
    if (
        not entry.move.points
        or told is None
        or told.verdict != "agrees"
        or told.board != h.score
        or mention.t - told.t > late["within_s"]
    ):
        return
    last = h.entries[-1].t if h.entries else 0.0
    groups = said_since(h, last, model.parameters.get("score.again", "within_s"))
    if not groups:
        return
    oldest, count = groups[0]
    t = max(oldest.item.t - model.parameters.get("time", "call_lag_s"), last)
    out = pushed.cheaper(log(late["share"]))
    out.entries = (*pushed.entries[:-1], pushed.entries[-1]._replace(t=t, low=min(last, t)))
    out.boards = (*pushed.boards[:-1], (t, pushed.score))
    yield out.relabelled(relabelled(h.said, count, pushed.score, h.score))


def explain_wave_off(
    h: Hypothesis, index: int, mention: WaveOffMention, model: Model
) -> Iterator[Hypothesis]:
    """Words that take an award back: the last call may never have been given."""
    p = model.parameters.get("wave_off.grade", mention.grade)
    if mention.stance != "asserted":
        yield h
        return
    reach = model.parameters.get("wave_off", "reach_s")
    last = h.entries[-1] if h.entries else None
    told = h.said.item if h.said is not None else None
    vague = mention.grade.startswith("nothing")
    if vague and last is not None and told is not None and told.t > last.t and told.verdict == "agrees":
        # The score has been said with the award in it: that nothing was given is rather about something since.
        p *= model.parameters.get("wave_off", "confirmed")
    yield h.cheaper(log(1 - p))
    if last is None:
        return
    if last.move.points and last.overturned is None and mention.t - last.t <= reach and last.review is None:
        out = h.rebuilt(model.rules, h.entries[:-1], mention.t, log(p), strict=True)
        if out is not None:
            yield out.relabelled(as_ahead(out.said, last.low, h.score, out.score))


def _chosen_again(h: Hypothesis, index: int, mention: PositionMention, model: Model) -> Iterator[Hypothesis]:
    """A choice told in mid-period: told of the past, or made after a penalty or an injury."""
    last = h.entries[-1] if h.entries else None
    told = last is not None and KINDS[last.move.kind].stops
    near = last is not None and mention.t - last.t <= 2 * model.parameters.get("position", "reach_s")
    restart = Move("restart", mention.top)
    if not (told and near and restart in model.rules.legal_events(h.state)):
        yield h
        return
    yield h.cheaper(log(1 - model.parameters.get("position", "chosen")))
    entry = Entry(restart, mention.t, mention.t, "called", (index,), named=True)
    again = h.push(model.rules, entry, log(model.parameters.get("position", "chosen")))
    if again is not None:
        yield again


def explain_position(
    h: Hypothesis, index: int, mention: PositionMention, model: Model
) -> Iterator[Hypothesis]:
    """Who is on top, as said. Around the whistle the words may tell how the period began; later they weigh for the
    readings in which it is so."""
    right = model.parameters.get("position", mention.grade)
    at_start = h.entries[-1] if h.entries and h.entries[-1].move.kind == "period_start" else None
    if at_start is None or at_start.t < mention.t - model.parameters.get("position", "reach_s"):
        if mention.grade == "told":
            weighs = h.state.running
            yield h.cheaper(log(right if h.state.control == mention.top else 1 - right)) if weighs else h
        else:
            yield from _chosen_again(h, index, mention, model)
        return
    if h.state.control == mention.top:
        yield h.cheaper(log(right))
        return
    yield h.cheaper(log(1 - right))
    try:
        state = model.rules.replay(
            [*(e.move for e in h.entries[:-1] if e.overturned is None), Move("period_start", mention.top)]
        )
    except IllegalMove:
        return
    out = h.cheaper(log(right))
    out.state = state
    out.entries = (*h.entries[:-1], at_start._replace(move=Move("period_start", mention.top)))
    yield out
