"""What a stated score may be against the board, and what that costs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from extract.log.hypothesis import MEMORY, Entry, Floor, Hypothesis, Said, Score, Trail, Verdict
from extract.log.loose_talk import Repair, no_score, taken_back
from extract.log.model import Model
from extract.log.parameters import log
from extract.log.reviews import outcomes_unheard
from extract.log.trails import held_against, relabelled, said_since
from extract.mentions.model import ScoreMention
from extract.rules.base import Move


def readings(mention: ScoreMention, model: Model) -> list[tuple[Score, float]]:
    """The values ``(red, blue)`` that a score mention may state, with the log probability of each."""
    a, b = mention.pair
    if a == b:
        return [((a, a), 0.0)]
    if mention.decided:
        return [(mention.values()[0], 0.0)]
    costs = model.corner_costs(mention.first, mention.tie, "score.tie")
    return [((a, b), costs["red"]), ((b, a), costs["blue"])]


def explain_score(
    h: Hypothesis, index: int, mention: ScoreMention, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    """Every reading that goes on from ``h`` over a score mention and that ``floor`` holds."""
    p = model.score_genuine(mention)
    if not mention.decided:
        yield h.cheaper(log(1 - p) + no_score(h, mention, model))
    sure = log(p)
    for said, cost in readings(mention, model):
        yield from _taken(h, index, mention, said, sure + cost, model, floor)


def _taken(
    h: Hypothesis, index: int, mention: ScoreMention, said: Score, cost: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    board = h.score
    again = model.parameters.table("score.again")
    last = h.said.item if h.said is not None else None
    if (
        last is not None
        and last.said == said
        and last.board == board
        and mention.t - last.t <= again["within_s"]
    ):
        # The same value over again is no second slip, and no second proof.
        share = again["same" if last.verdict == "agrees" else "slip"]
        yield h.with_said(Said(index, mention.t, said, board, last.verdict), cost + log(share))
        yield from _shown(h, index, mention, said, cost, model, floor, (0.0, 0.0))
        return
    mended, kept = taken_back(h, mention, said, model)
    cost_now = cost + (kept if last is not None and last.verdict == "agrees" else mended)
    if said == board:
        yield h.with_proof(Said(index, mention.t, said, board, "agrees"), cost_now + model.verdict["agrees"])
        return
    price, verdict = _slip(h, mention, said, model)
    if mention.final:
        # The end result is said with more care.
        price += log(again["final"])
    yield h.with_said(Said(index, mention.t, said, board, verdict), cost_now + price)
    yield from _shown(h, index, mention, said, cost, model, floor, (mended, kept))
    for changed in outcomes_unheard(h, mention.t, said, model):
        agreed = Said(index, mention.t, said, said, "agrees")
        yield changed.with_proof(agreed, cost_now + model.verdict["agrees"])


def _shown(
    h: Hypothesis,
    index: int,
    mention: ScoreMention,
    said: Score,
    cost: float,
    model: Model,
    floor: Floor,
    repair: Repair,
) -> Iterator[Hypothesis]:
    """Readings in which uncalled events have made the board what was said."""
    if said == h.score:
        return
    for target, verdict in _targets(h, mention, said):
        yield from _bridged(h, index, mention, said, target, verdict, cost, model, floor, repair)
    yield from _shown_late(h, index, mention, said, cost, model, floor)


def _shown_late(
    h: Hypothesis, index: int, mention: ScoreMention, said: Score, cost: float, model: Model, floor: Floor
) -> Iterator[Hypothesis]:
    """Readings in which the stated score is an old one, from before the last call, and shows what nobody had called
    before that call."""
    last = h.entries[-1] if h.entries else None
    since = h.said.item.t if h.said is not None else model.begins
    if (
        last is None
        or last.basis != "called"
        or not last.move.points
        or last.review is not None
        or last.t < since
    ):
        return
    points = (last.move.points, 0) if last.move.corner == "red" else (0, last.move.points)
    red, blue = said[0] - h.score[0] + points[0], said[1] - h.score[1] + points[1]
    sure = h.logp + cost + model.verdict["stale"]
    if min(red, blue) < 0 or not (red or blue) or last.overturned is not None or sure < floor.least:
        return
    base = h.rebuilt(model.rules, h.entries[:-1], last.t, 0.0)
    if base is None:
        return
    earlier = base.entries[-1].t if base.entries else 0.0
    start = max(since, earlier)
    for share, moves in model.uncalled.sequences(base.state, red, blue):
        price = share + model.uncalled.count_cost(len(moves), last.t - since, flurry=earlier >= since)
        if not floor.holds(sure + price):
            continue
        at = _with_uncalled(base, moves, last.t, min(start, last.t), last, model)
        if at is not None:
            shown = Said(index, mention.t, said, at.score, "stale")
            yield at.with_proof(shown, cost + price + model.verdict["stale"])


def _slip(h: Hypothesis, mention: ScoreMention, said: Score, model: Model) -> tuple[float, Verdict]:
    """The likeliest kind of slip that makes ``said`` of the board, with its log probability."""
    board, verdict = h.score, model.verdict
    spread = model.parameters.table("score.spread")
    options: list[tuple[float, Verdict]] = []
    # Nobody named, no swap: the order of two bare numbers says nothing.
    if mention.first is not None and said == board[::-1]:
        options.append((verdict["swapped"], "swapped"))
    earlier = [s for _, s in h.boards[-MEMORY - 1 : -1]][::-1]
    for back, old in enumerate(dict.fromkeys(earlier)):
        if said == old:
            options.append((verdict["stale"] + back * log(float(spread["stale_decay"])), "stale"))
    ahead = (said[0] - board[0], said[1] - board[1])
    if (min(ahead) == 0 and max(ahead) in model.awards) or (h.pending and said in _after_review(h)):
        options.append((verdict["ahead"] + model.ahead(abs(ahead[0]) + abs(ahead[1])), "ahead"))
    options.append((verdict["wrong"] + model.wrong(abs(ahead[0]) + abs(ahead[1])), "wrong"))
    return max(options)


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


def _targets(h: Hypothesis, mention: ScoreMention, said: Score) -> Iterator[tuple[Score, Verdict]]:
    """Boards that a stated score may show: itself; where somebody was named, the same the other way round; and where it
    is far from the board, one a point off, as a wrong score is nearly right too."""
    yield said, "agrees"
    if mention.first is not None and said[0] != said[1]:
        yield said[::-1], "swapped"
    if abs(said[0] - h.score[0]) + abs(said[1] - h.score[1]) > 2:
        for off in ((-1, 0), (0, -1), (1, 0), (0, 1)):
            near = (said[0] + off[0], said[1] + off[1])
            if min(near) >= 0:
                yield near, "wrong"


def _bridged(
    h: Hypothesis, index: int, mention: ScoreMention, said: Score, target: Score, verdict: Verdict, cost: float,
    model: Model, floor: Floor, repair: Repair,
) -> Iterator[Hypothesis]:  # fmt: skip
    """Readings in which events that nobody called have brought the board to ``target``, which the stated score
    shows. They may also have come before the last scores said, which then were old ones."""
    red, blue = target[0] - h.score[0], target[1] - h.score[1]
    if min(red, blue) < 0:
        return
    over = _end_entry(h)
    if h.state.over is not None and over is None:
        return
    base = h if over is None else h.rebuilt(model.rules, h.entries[:-1], mention.t, 0.0)
    if base is None:
        return
    last_event = base.entries[-1].t if base.entries else 0.0
    for end, start, trail_now, extra in _stretches(h, mention, target, last_event, model, repair):
        low = min(max(start, last_event), end)
        for share, moves in model.uncalled.sequences(base.state, red, blue):
            count = model.uncalled.count_cost(len(moves), end - max(start, 0.0), flurry=start <= last_event)
            price = cost + share + count + extra + _nominal(verdict, model)
            if not floor.holds(h.logp + price):
                continue
            at = _with_uncalled(base, moves, end, low, over, model)
            if at is not None:
                shown = Said(index, mention.t, said, target, verdict)
                yield at.relabelled(trail_now).with_proof(shown, price)


def _with_uncalled(
    base: Hypothesis, moves: Iterable[Move], t: float, low: float, after: Entry | None, model: Model
) -> Hypothesis | None:
    """The reading with events that nobody called, at ``t`` or since ``low``, and then with the entry ``after`` that
    was taken off for them; None where the rules forbid it."""
    entries = [Entry(move, t, low, "inferred") for move in moves]
    at: Hypothesis | None = base
    for entry in entries if after is None else [*entries, after]:
        at = at.push(model.rules, entry, 0.0) if at is not None else None
    return at


def _end_entry(h: Hypothesis) -> Entry | None:
    """The fall or the riding time that ended the bout, if nothing came after: points that the score shows must have
    come before it."""
    if h.entries and h.entries[-1].move.kind in ("fall", "riding_time"):
        return h.entries[-1]
    return None


def _stretches(
    h: Hypothesis, mention: ScoreMention, target: Score, last_event: float, model: Model, repair: Repair
) -> Iterator[tuple[float, float, Trail | None, float]]:
    """The stretches in which uncalled events that lead to ``target`` may have come: since the last score said, or
    before it, or before the one before. Each with the trail as it then reads (a score said after the events may have
    been right, or an old one) and the log price of reading it so."""
    mended, kept = repair
    groups = said_since(h, last_event, model.parameters.get("score.again", "within_s"))
    before = [group[0].item.t for group in groups]
    older = groups[-1][0].rest if groups else h.said
    before.append(max(older.item.t if older is not None else 0.0, last_event))
    yield mention.t, before[0], h.said, kept if h.said is None or h.said.item.verdict == "agrees" else mended
    price, trail = 0.0, h.said
    for k, (node, count) in enumerate(groups):
        item = node.item
        verdict = held_against(item, target, h.score)
        price += _nominal(verdict, model) - _nominal(item.verdict, model)
        trail = relabelled(h.said, count, target, h.score)
        # Only the newest score said before can be the one that is taken back.
        newest = verdict if k == 0 else held_against(h.said.item, target, h.score)  # type: ignore[union-attr]
        yield item.t, before[k + 1], trail, price + (kept if newest == "agrees" else mended)


def _nominal(verdict: Verdict, model: Model) -> float:
    """What a verdict costs, its values spread as usual."""
    usual = {"wrong": model.wrong, "ahead": model.ahead}.get(verdict)
    return model.verdict.get(verdict, 0.0) + (usual(1) if usual is not None else 0.0)
