"""The evidence of each cue as numbers, ready for the search over parts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from extract.log.parameters import Parameters
from extract.recording.names import Named
from extract.recording.signs import SIGNS, CueSigns
from extract.transcript import Cue

PHASES = ("intro", "run", "result")


@dataclass(frozen=True, slots=True)
class CueEvidence:
    """What speaks at each cue. ``phase`` are the log odds of each phase of a bout against studio talk. ``silence`` is
    how much the silence before it speaks against the same bout going on. ``whistle`` says whether its words may start
    a bout, ``forfeit`` whether they may end one that is not fought. ``starts`` and ``ends`` are its times in seconds.
    ``names`` are the names in it, each with its expected share in studio talk there. ``signs`` are for
    ``Progress``."""

    phase: dict[str, list[float]]
    silence: list[float]
    whistle: list[bool]
    forfeit: list[bool]
    starts: list[float]
    ends: list[float]
    names: list[list[tuple[int, float]]]
    signs: Sequence[CueSigns]


def weigh(
    cues: Sequence[Cue], signs: Sequence[CueSigns], named: Named, parameters: Parameters
) -> CueEvidence:
    """The evidence of all cues."""
    temper, most = parameters.get("sign", "temper"), int(parameters.get("sign", "most"))
    bound = parameters.get("sign", "bound")
    studio = parameters.table("rate.studio")
    ends = _ends(cues)
    lasts = [end - cue.start for cue, end in zip(cues, ends, strict=True)]
    phase: dict[str, list[float]] = {}
    for name in PHASES:
        rates = parameters.table(f"rate.{name}")
        odds = {sign: math.log(rates[sign] / studio[sign]) for sign in SIGNS}
        word = (sum(rates[s] for s in SIGNS) - sum(studio[s] for s in SIGNS)) / 1000
        weights = (
            temper * (sum(min(n, most) * odds[sign] for sign, n in cue.counts.items()) - cue.words * word)
            for cue in signs
        )
        pace = parameters.get("pace", name)
        phase[name] = [
            max(min(weight, bound), -bound) + pace * time for weight, time in zip(weights, lasts, strict=True)
        ]
    whistles = ("first", "start", "level")
    return CueEvidence(
        phase,
        _silences(cues, ends, parameters),
        [cue.whistle or any(sign in cue.counts for sign in whistles) for cue in signs],
        ["forfeit" in cue.counts for cue in signs],
        [cue.start for cue in cues],
        ends,
        _usual(named.cues, int(parameters.get("names", "around")), parameters.get("names", "near")),
        signs,
    )


def _usual(names: Sequence[Sequence[int]], around: int, near: float) -> list[list[tuple[int, float]]]:
    """Each name with its expected share in studio talk. The share ``near`` of that talk has the names said last,
    because people talk of who has just wrestled. The rest has those of the whole recording."""
    row = [name for cue in names for name in cue]
    every, last = Counter(row), Counter[int]()
    out: list[list[tuple[int, float]]] = []
    at = 0
    for cue in names:
        said = min(at, around)
        out.append([(k, near * last[k] / max(said, 1) + (1 - near) * every[k] / len(row)) for k in cue])
        for name in cue:
            last[name] += 1
            if at >= around:
                last[row[at - around]] -= 1
            at += 1
    return out


def _ends(cues: Sequence[Cue]) -> list[float]:
    """When each cue is over, but no later than the next begins."""
    nexts = [cue.start for cue in cues[1:]]
    return [min(cue.end, after) for cue, after in zip(cues, [*nexts, math.inf], strict=True)]


def _silences(cues: Sequence[Cue], ends: Sequence[float], parameters: Parameters) -> list[float]:
    gaps = [0.0, *(cue.start - end for cue, end in zip(cues[1:], ends, strict=False))]
    table = parameters.table("silence")
    usual = sorted(gaps)[int(table["usual"] * len(gaps))] if gaps else 0.0
    steps = list(zip(table["seconds"], table["weight"], strict=True))
    return [max((float(w) for s, w in steps if gap - usual >= s), default=0.0) for gap in gaps]
