"""What a search has come to after each of its steps, so that the search over a talk that has gone on begins where what was
heard is new.

What a step leads to hangs on the steps before it, and on the breaks between the periods. It hangs a little on the talk as a
whole too (see ``Moments``); that is left out: a bout that goes on is read anew when it is over.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from extract.log.facts import Facts
    from extract.log.hypothesis import Hypothesis
    from extract.log.search import Step
    from extract.rules.base import Ruleset

#: A boundary of a period that moved by less, seconds, bears on nothing before it.
_MOVED_S = 3.0


class Stage(NamedTuple):
    """A step, the readings that were kept after it, and their share of the probability so far."""

    step: Step
    beam: list[Hypothesis]
    kept: float


@dataclass(slots=True)
class Trail:
    """The stages of one search, of one width."""

    stages: list[Stage] = field(default_factory=list)
    breaks: Sequence[tuple[float, float]] = ()
    rules: Ruleset | None = None
    facts: Facts | None = None

    def resume(
        self, steps: Sequence[Step], breaks: Sequence[tuple[float, float]], rules: Ruleset, facts: Facts
    ) -> Stage | None:
        """The last stage that is the same in a search over ``steps``; what came after it is forgotten. None where there is
        none."""
        same = 0
        if rules is self.rules and facts == self.facts:
            for stage, step in zip(self.stages, steps, strict=False):
                if not _alike(stage.step, step):
                    break
                same += 1
            moved = _first_moved(self.breaks, breaks)
            same = min(same, bisect_left(self.stages, moved, key=lambda stage: stage.step.t))
        del self.stages[same:]
        self.breaks, self.rules, self.facts = breaks, rules, facts
        return self.stages[-1] if self.stages else None


def _alike(a: Step, b: Step) -> bool:
    """Whether two steps are the same one."""
    return a.what == b.what and a.position == b.position and abs(a.t - b.t) < _MOVED_S


def _first_moved(old: Sequence[tuple[float, float]], new: Sequence[tuple[float, float]]) -> float:
    """The first moment that is in a break by one row of breaks and not by the other."""
    edges = [edge for pair in old for edge in pair]
    others = [edge for pair in new for edge in pair]
    for a, b in zip(edges, others, strict=False):
        if a != b and not abs(a - b) < _MOVED_S:
            return min(a, b)
    few = min(len(edges), len(others))
    return min([*edges[few:], *others[few:], float("inf")])
