"""What words that take an award back do to a reading."""

from __future__ import annotations

from collections.abc import Iterator

from extract.log.hypothesis import Hypothesis
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.log.said_history import as_ahead
from extract.mentions.model import WaveOffMention


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
    said = h.said.item if h.said is not None else None
    vague = mention.grade.startswith("nothing")
    if vague and last is not None and said is not None and said.t > last.t and said.verdict == "agrees":
        # The score has been said with the award in it: that nothing was given is rather about something since.
        p *= model.parameters.get("wave_off", "confirmed")
    yield h.cheaper(log_p(1 - p))
    if last is None:
        return
    if last.move.points and last.overturned is None and mention.t - last.t <= reach and last.review is None:
        out = h.rebuilt(model.rules, h.entries[:-1], len(h.entries) - 1, mention.t, log_p(p), strict=True)
        if out is not None:
            yield out.relabelled(as_ahead(out.said, last.low, h.score, out.score))
