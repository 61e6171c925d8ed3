"""The evidence of each cue as numbers, ready for the search over parts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from extract.log.parameters import Parameters
from extract.session.names import Named
from extract.session.signs import SIGNS, CueSigns
from extract.transcript import Cue

PHASES = ("intro", "run", "result")


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks at each cue. ``phase`` are the log odds of each phase of a bout against studio talk; ``cut`` those that
    a part begins at the cue, by the silence before it; ``whistle`` whether a bout may be under way from it on by its
    words; ``inside`` what of it does not fit into one bout with what came before (``Progress`` keeps the account)."""

    phase: dict[str, list[float]]
    cut: list[float]
    whistle: list[bool]
    forfeit: list[bool]
    starts: list[float]
    ends: list[float]
    names: Sequence[tuple[int, ...]]
    kinds: int
    signs: Sequence[CueSigns]


def weigh(cues: Sequence[Cue], signs: Sequence[CueSigns], named: Named, parameters: Parameters) -> Evidence:
    """The evidence of all cues."""
    temper, most = parameters.get("sign", "temper"), int(parameters.get("sign", "most"))
    studio = parameters.table("rate.studio")
    phase: dict[str, list[float]] = {}
    for name in PHASES:
        rates = parameters.table(f"rate.{name}")
        odds = {sign: math.log(rates[sign] / studio[sign]) for sign in SIGNS}
        word = (sum(rates[s] for s in SIGNS) - sum(studio[s] for s in SIGNS)) / 1000
        phase[name] = [
            temper * (sum(min(n, most) * odds[sign] for sign, n in cue.counts.items()) - cue.words * word)
            for cue in signs
        ]
    ends = _ends(cues)
    whistles = ("first", "start", "level")
    return Evidence(
        phase,
        _silences(cues, ends, parameters),
        [any(sign in cue.counts for sign in whistles) for cue in signs],
        ["forfeit" in cue.counts for cue in signs],
        [cue.start for cue in cues],
        ends,
        named.cues,
        named.kinds,
        signs,
    )


def _ends(cues: Sequence[Cue]) -> list[float]:
    """When each cue is over, and no later than the next begins."""
    nexts = [cue.start for cue in cues[1:]]
    return [min(cue.end, after) for cue, after in zip(cues, [*nexts, math.inf], strict=True)]


def _silences(cues: Sequence[Cue], ends: Sequence[float], parameters: Parameters) -> list[float]:
    gaps = [0.0, *(cue.start - end for cue, end in zip(cues[1:], ends, strict=False))]
    usual = sorted(gaps)[int(0.8 * len(gaps))] if gaps else 0.0
    table = parameters.table("silence")
    steps = list(zip(table["seconds"], table["weight"], strict=True))
    return [max((float(w) for s, w in steps if gap - usual >= s), default=0.0) for gap in gaps]
