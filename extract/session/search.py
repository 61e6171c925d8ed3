"""The search: the most probable parts of a recording.

A semi-Markov model: a recording is a row of parts, each a bout or studio talk; a bout goes through its phases, the
introduction, the wrestling and the result. Each part has its own names (a Pólya urn: who was named is likely to be
named again), so that the names tell where one pair gives way to the next, as words tell it in Utiyama and Isahara (A
statistical model for domain-independent text segmentation, ACL 2001). The best row of parts is found by dynamic
programming over the cues, in time linear in their number, as no part is longer than the longest bout.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from extract.log.parameters import Parameters
from extract.session.evidence import Evidence
from extract.session.progress import Progress, length_weight

#: A part that has fallen so far behind talk of no bout is not carried on.
_HOPELESS = 40.0


@dataclass(frozen=True, slots=True)
class Found:
    """One part: cue positions, half open; ``odds`` are its log odds against having been studio talk. For a bout also
    where the wrestling begins and ends, cue positions."""

    bout: bool
    first: int
    last: int
    odds: float = 0.0
    run: tuple[int, int] | None = None


@dataclass(slots=True)
class _Best:
    """The best row of parts that ends at a place with a part of one kind."""

    value: float = -math.inf
    part: Found | None = None
    after_bout: bool = False


def search(evidence: Evidence, parameters: Parameters) -> list[Found]:
    """The parts in order; together they have all cues."""
    n = len(evidence.starts)
    studio = [_Best() for _ in range(n + 1)]
    bouts = [_Best() for _ in range(n + 1)]
    studio[0] = _Best(0.0)
    turn = parameters.table("turn")
    for first in range(n):
        held = max(studio[first].value, bouts[first].value)
        if held == -math.inf:
            continue
        cut = evidence.cut[first] if first else 0.0
        entry_bout = (
            (studio[first].value + turn["bout_after_studio"], False),
            (bouts[first].value + turn["bout_after_bout"], True),
        )
        entry_studio = (
            (studio[first].value + (turn["studio_after_studio"] if first else 0.0), False),
            (bouts[first].value + turn["studio_after_bout"], True),
        )
        value, after = max(entry_studio)
        for last, gain in _studio(evidence, first, parameters):
            total = value + cut + gain
            if total > studio[last].value:
                studio[last] = _Best(total, Found(False, first, last), after)
        value, after = max(entry_bout)
        for last, gain, run, odds in _bout(evidence, first, parameters):
            total = value + cut + gain
            if total > bouts[last].value:
                bouts[last] = _Best(total, Found(True, first, last, odds, run), after)
    return _traced(studio, bouts, n)


def _traced(studio: Sequence[_Best], bouts: Sequence[_Best], n: int) -> list[Found]:
    out: list[Found] = []
    at = n
    in_bout = bouts[n].value > studio[n].value
    while at > 0:
        best = (bouts if in_bout else studio)[at]
        assert best.part is not None
        out.append(best.part)
        at, in_bout = best.part.first, best.after_bout
    return out[::-1]


@lru_cache(maxsize=4096)
def _log(count: int, urn: float) -> float:
    return math.log(count + urn)


class _Urn:
    """The names of one part: the log probability of each as it is said."""

    __slots__ = ("_counts", "_said", "_share", "_urn", "_weight")

    def __init__(self, urn: float, weight: float, kinds: int) -> None:
        self._urn, self._weight = urn, weight
        self._share = urn / max(kinds, 1)
        self._counts: dict[int, int] = {}
        self._said = 0

    def take(self, names: Sequence[int]) -> float:
        total = 0.0
        for name in names:
            count = self._counts.get(name, 0)
            total += _log(count, self._share) - _log(self._said, self._urn)
            self._counts[name] = count + 1
            self._said += 1
        return self._weight * total


def _studio(evidence: Evidence, first: int, parameters: Parameters) -> list[tuple[int, float]]:
    """The studio parts that begin at a cue: where each ends, and its log weight."""
    table = parameters.table("names")
    urn = _Urn(table["studio"], table["weight"], evidence.kinds)
    until = evidence.starts[first] + parameters.get("length", "most")
    out, value = [], 0.0
    for at in range(first, len(evidence.starts)):
        if evidence.starts[at] > until:
            break
        value += urn.take(evidence.names[at])
        out.append((at + 1, value))
    return out


def _bout(
    evidence: Evidence, first: int, parameters: Parameters
) -> list[tuple[int, float, tuple[int, int], float]]:
    """The bouts that begin at a cue: where each ends, its log weight, where its wrestling begins and ends, and its log
    odds against studio talk."""
    table, turn = parameters.table("names"), parameters.table("turn")
    urn = _Urn(table["bout"], table["weight"], evidence.kinds)
    other = _Urn(table["studio"], table["weight"], evidence.kinds)
    progress = Progress(evidence.starts[first], parameters)
    most, tail = parameters.get("length", "most"), parameters.get("length", "result")
    until = evidence.starts[first] + most
    intros, runs, results = (evidence.phase[name] for name in ("intro", "run", "result"))
    out: list[tuple[int, float, tuple[int, int], float]] = []
    intro, run, result = 0.0, -math.inf, -math.inf
    begun, over = first, (first, first)
    named = against = 0.0
    for at in range(first, len(evidence.starts)):
        t = evidence.starts[at]
        if t > until:
            break
        inside = progress.take(evidence.signs[at], t)
        whistle = turn["whistle"] if evidence.whistle[at] else 0.0
        # The result first: it comes of the wrestling as it was before this cue.
        told = run + turn["run_to_result"] + length_weight(t - evidence.starts[begun], parameters)
        unfought = intro + turn["intro_to_result"] if evidence.forfeit[at] else -math.inf
        # Nobody tells a result for longer than so.
        stays = result if t - evidence.starts[over[1]] <= tail else -math.inf
        if max(told, unfought) > stays:
            over = (begun, at) if told >= unfought else (at, at)
            stays = max(told, unfought)
        result = stays
        result += results[at] + inside
        enters = (intro + whistle) if at > first else whistle + turn["run_without_intro"]
        if enters > run:
            run, begun = enters, at
        run += runs[at] + inside
        intro += intros[at] + inside
        named += urn.take(evidence.names[at])
        against += other.take(evidence.names[at])
        ended = (
            run + turn["no_result"] + length_weight(evidence.ends[at] - evidence.starts[begun], parameters)
        )
        phases = max(ended, result)
        if max(intro, run, result) + named - against < -_HOPELESS:
            break
        span = (begun, at + 1) if ended > result else over
        out.append((at + 1, phases + named, span, phases + named - against))
    return out
