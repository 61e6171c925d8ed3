"""What words on who is on top do to a reading."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.hypothesis import Hypothesis, ReadingEvent
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.mentions.model import PositionMention
from extract.rules.base import IllegalMove, Move
from extract.rules.kinds import KINDS


def _chosen_again(h: Hypothesis, index: int, mention: PositionMention, model: Model) -> Iterator[Hypothesis]:
    """A choice told in mid-period: told of the past, or made after a penalty or an injury."""
    last = h.entries[-1] if h.entries else None
    stopped = last is not None and KINDS[last.move.kind].stops
    near = last is not None and mention.t - last.t <= 2 * model.parameters.get("position", "reach_s")
    restart = Move("restart", mention.top)
    if not (stopped and near and restart in model.rules.legal_events(h.state)):
        yield h
        return
    yield h.cheaper(log_p(1 - model.parameters.get("position", "chosen")))
    entry = ReadingEvent(restart, mention.t, mention.t, "called", (index,), named=True)
    again = h.push(model.rules, entry, log_p(model.parameters.get("position", "chosen")))
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
            yield h.cheaper(log_p(right if h.state.control == mention.top else 1 - right)) if weighs else h
        else:
            yield from _chosen_again(h, index, mention, model)
        return
    if h.state.control == mention.top:
        yield h.cheaper(log_p(right))
        return
    yield h.cheaper(log_p(1 - right))
    entries = (*h.entries[:-1], at_start._replace(move=Move("period_start", mention.top)))
    try:
        state = h.replayed(model.rules, entries, len(entries) - 1)
    except IllegalMove:
        return
    yield h.started_otherwise(state, entries, log_p(right))
