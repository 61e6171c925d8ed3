"""What a lead said in one number, or a word on criteria, says of the board."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.hypothesis import Hypothesis, ReadingEvent, Score
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.mentions.model import CriteriaMention, MarginMention


def explain_margin(h: Hypothesis, mention: MarginMention, model: Model) -> Iterator[Hypothesis]:
    """A lead in one number speaks for the readings that it fits, or for an award that makes it so."""
    table = model.parameters.table("margin")
    p = table["genuine"] * (1.0 if mention.stance == "asserted" else table["unasserted"])
    sure = mention.tie == "attached"

    def fits(score: Score) -> bool:
        lead = score[0] - score[1]
        if abs(lead) != mention.margin:
            return False
        leader = "red" if lead > 0 else "blue" if lead < 0 else None
        return mention.leader is None or leader is None or leader == mention.leader or not sure

    good, bad = _weights(p, table)
    yield h.cheaper(good if fits(h.score) else bad)
    if not fits(h.score) and p > 0.5 and mention.leader is not None:
        for moved, price in _one_more(h, mention.t, model):
            if fits(moved.score):
                yield moved.cheaper(price + good)


def explain_criteria(h: Hypothesis, mention: CriteriaMention, model: Model) -> Iterator[Hypothesis]:
    """Who is ahead on criteria speaks for the readings in which the score is level, or for an award that levels
    it."""
    if mention.stance in ("hypothetical", "asked", "hoped") or mention.leader is None:
        yield h
        return
    table = model.parameters.table("criteria")
    good, bad = _weights(table[mention.grade], table)

    def fits(reading: Hypothesis) -> bool:
        outcome = model.rules.outcome(reading.state)
        level = reading.score[0] == reading.score[1]
        return level and outcome is not None and outcome.winner == mention.leader

    yield h.cheaper(good if fits(h) else bad)
    if not fits(h) and mention.grade == "named":
        for moved, price in _one_more(h, mention.t, model):
            if fits(moved):
                yield moved.cheaper(price + good)


def _weights(p: float, table: dict[str, float]) -> tuple[float, float]:
    """Log weights of a remark, meant so with probability ``p``, for a reading that it fits and for one that it does
    not: the misfit is spread over the other things it might have said, the fit need not be shared."""
    agrees, others = table["agrees"], table["others"]
    noise = (1 - p) / others
    return log_p(p * agrees + noise), log_p(p * (1 - agrees) / others + noise)


def _one_more(h: Hypothesis, t: float, model: Model) -> Iterator[tuple[Hypothesis, float]]:
    """The readings with one more award that nobody called, with their log costs."""
    if h.state.over is not None:
        return
    last = h.entries[-1].t if h.entries else 0.0
    low = max(h.quiet_since, last)
    for points in (1, 2, 3, 4):
        for red, blue in ((points, 0), (0, points)):
            for share, moves in model.uncalled.sequences(h.state, red, blue).ways:
                if len(moves) == 1:
                    moved = h.push(model.rules, ReadingEvent(moves[0], t, min(low, t), "inferred"), 0.0)
                    if moved is not None:
                        yield (
                            moved,
                            share + model.pace(h.quiet_since, t, flurry=last >= h.quiet_since).cost(1),
                        )
                    break
