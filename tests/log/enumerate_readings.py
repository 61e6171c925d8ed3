"""Every reading of a few mentions, by the functions that the search itself calls, with nothing dropped or merged."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import cast

from extract.log.cutoff import Cutoff
from extract.log.facts import NO_FACTS
from extract.log.frame import Frame
from extract.log.hypothesis import Hypothesis
from extract.log.model import Model
from extract.log.search import Beam, _end_cost, _explain, _in_time, _steps, _tick, _ticks, _told_at_end
from extract.mentions.model import Mention

#: A reading with all that it holds but its probability.
Content = tuple[object, ...]
#: Keeps whatever there is.
ALL = Beam(1_000_000, math.inf)


def content(h: Hypothesis) -> Content:
    """What two readings must share to be one node of the lattice: all of it, as no future can then part them."""
    return h.state, h.entries, h.boards, h.reviews, h.said, h.quiet_since


@dataclass(slots=True)
class Lattice:
    """Steps between readings: ``edges`` are ``((layer, node), (layer + 1, node), log probability)``; ``ends`` are the
    last readings and ``costs`` what the end of the talk adds to each."""

    edges: list[tuple[tuple[int, Content], tuple[int, Content], float]] = field(default_factory=list)
    ends: list[Hypothesis] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)
    layers: int = 0

    def best(self) -> float:
        """The highest log probability of any reading."""
        return max(h.logp + cost for h, cost in zip(self.ends, self.costs, strict=True))


def enumerate_readings(mentions: Sequence[Mention], frame: Frame, model: Model, most: int) -> Lattice | None:
    """All readings of ``mentions``; None where there are more than ``most`` of them."""
    lattice = Lattice()
    now = [Hypothesis(0.0, model.rules.initial())]

    def go(step: list[list[Hypothesis]]) -> list[Hypothesis]:
        out: list[Hypothesis] = []
        for before, after in zip(now, step, strict=True):
            here = (lattice.layers, content(before))
            for h in after:
                lattice.edges.append((here, (lattice.layers + 1, content(h)), h.logp - before.logp))
                out.append(h)
        lattice.layers += 1
        return out

    for step in _in_time(tuple(mentions), _ticks(frame, NO_FACTS, model), NO_FACTS, model):
        if step.position is None:
            tick = cast("tuple[float, int]", (step.t, step.what))
            now = go([_tick([h], tick, model, NO_FACTS, ALL)[0] for h in now])
            continue
        steps = _steps(step.position, cast("Mention", step.what), model)
        now = go([_explain(steps, [h], NO_FACTS, Cutoff(), math.inf) for h in now])
        if len(now) > most:
            return None
    lattice.ends = now
    told = _told_at_end(tuple(mentions), frame, model)
    lattice.costs = [_end_cost(h, told, frame, model) for h in now]
    return lattice
