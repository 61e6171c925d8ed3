"""What a stated score may be against the board, and what that costs."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.hypothesis import Entry, Hypothesis, Said, Score
from extract.log.model import Model
from extract.log.parameters import log
from extract.log.reviews import outcomes_unheard
from extract.mentions.model import CriteriaMention, MarginMention, ScoreMention
from extract.rules.base import Corner

#: How many earlier boards a speaker may still have in mind.
_MEMORY = 4


def readings(mention: ScoreMention, model: Model) -> list[tuple[Score, float]]:
    """The values ``(red, blue)`` that a score mention may state, with the log probability of each."""
    a, b = mention.pair
    if a == b:
        return [((a, a), 0.0)]
    costs = dict(model.corner_costs(mention.first, mention.tie))
    return [((a, b), costs["red"]), ((b, a), costs["blue"])]


def explain_score(h: Hypothesis, index: int, mention: ScoreMention, model: Model) -> Iterator[Hypothesis]:
    """Every reading that goes on from ``h`` over a score mention."""
    p = model.score_genuine(mention)
    spread = model.parameters.table("score.spread")
    low = max(mention.pair) <= 15
    yield h.cheaper(log(1 - p) - log_number(spread["noise_small" if low else "noise_large"]))
    sure = log(p)
    for said, cost in readings(mention, model):
        yield from _taken(h, index, mention, said, sure + cost, model)


def log_number(n: float) -> float:
    """Log of a count of equally likely values."""
    return -log(1.0 / n)


def _taken(
    h: Hypothesis, index: int, mention: ScoreMention, said: Score, cost: float, model: Model
) -> Iterator[Hypothesis]:
    board = h.score
    verdict = model.verdict
    spread = model.parameters.table("score.spread")
    if said == board:
        out = h.with_said(Said(index, said, board, "agrees"), cost + verdict["agrees"])
        out.quiet_since, out.unsaid = mention.t, 0
        yield out
    else:
        known = mention.first is not None
        options: list[tuple[float, str]] = []
        # Nobody named, no swap: the order of two bare numbers says nothing.
        if known and said == board[::-1]:
            options.append((verdict["swapped"], "swapped"))
        earlier = [s for _, s in h.boards[-_MEMORY - 1 : -1]][::-1]
        for back, old in enumerate(dict.fromkeys(earlier)):
            decay = log(float(spread["stale_decay"]) ** back)
            if said == old:
                options.append((verdict["stale"] + decay, "stale"))
        ahead = (said[0] - board[0], said[1] - board[1])
        if min(ahead) == 0 and 0 < max(ahead) <= 5 or (h.pending and said in _after_review(h)):
            options.append((verdict["ahead"] - log_number(float(spread["ahead"])), "ahead"))
        distance = abs(ahead[0]) + abs(ahead[1])
        options.append((verdict["wrong"] - log_number(float(spread["wrong"])) - 0.15 * max(distance - 2, 0), "wrong"))
        best = max(options)
        yield h.with_said(Said(index, said, board, best[1]), cost + best[0])  # type: ignore[arg-type]
        yield from _bridged(h, index, mention, said, cost, model)
        for changed in outcomes_unheard(h, mention.t, model):
            if changed.score == said:
                out = changed.with_said(Said(index, said, said, "agrees"), cost + verdict["agrees"])
                out.quiet_since, out.unsaid = mention.t, 0
                yield out


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


def _bridged(
    h: Hypothesis, index: int, mention: ScoreMention, said: Score, cost: float, model: Model
) -> Iterator[Hypothesis]:
    """Readings in which events that nobody called have brought the board to what was said."""
    red, blue = said[0] - h.score[0], said[1] - h.score[1]
    if h.state.over is not None:
        return
    last = h.entries[-1].t if h.entries else 0.0
    low = max(h.quiet_since, 0.0)
    for price, moves in model.uncalled.sequences(h.state, red, blue):
        at: Hypothesis | None = h
        for move in moves:
            if at is None:
                break
            at = at.push(model.rules, Entry(move, mention.t, min(low, max(last, low)), "inferred"), 0.0)
        if at is None:
            continue
        out = at.with_said(Said(index, said, said, "agrees"), cost + price + model.verdict["agrees"])
        out.quiet_since, out.unsaid = mention.t, 0
        yield out


def explain_margin(h: Hypothesis, index: int, mention: MarginMention, model: Model) -> Iterator[Hypothesis]:
    """A lead in one number speaks for the readings that it fits."""
    p = model.parameters.get("margin", "genuine") * (1.0 if mention.stance == "asserted" else 0.2)
    agrees = model.parameters.get("margin", "agrees")
    red, blue = h.score
    leader: Corner | None = "red" if red > blue else "blue" if blue > red else None
    fits = abs(red - blue) == mention.margin
    if fits and mention.leader is not None and leader is not None:
        fits = leader == mention.leader or mention.tie != "attached"
    # A margin that does not fit is spread over the others; one that does need not be shared.
    yield h.cheaper(log(p * (agrees if fits else (1 - agrees) / 6) + (1 - p) / 6))


def explain_criteria(h: Hypothesis, mention: CriteriaMention, model: Model) -> Iterator[Hypothesis]:
    """Who is ahead on criteria speaks for the readings in which the score is level."""
    if mention.stance in ("hypothetical", "asked", "hoped") or mention.leader is None:
        yield h
        return
    p = model.parameters.get("criteria", mention.grade)
    agrees = model.parameters.get("criteria", "agrees")
    outcome = model.rules.outcome(h.state)
    level = h.score[0] == h.score[1]
    fits = level and outcome is not None and outcome.winner == mention.leader
    yield h.cheaper(log(p * (agrees if fits else (1 - agrees) / 3) + (1 - p) / 3))
