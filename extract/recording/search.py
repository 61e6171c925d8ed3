"""The search: the most probable parts of a recording.

A semi-Markov model. A recording is a row of parts, each a bout or studio talk. A bout goes through its phases: the
introduction, the wrestling and the result. Each bout has its own names (a Pólya urn: who was named in it is likely to
be named again). So the names show where one pair gives way to the next, as words do in Utiyama and Isahara (A
statistical model for domain-independent text segmentation, ACL 2001). The best row of parts is found by dynamic
programming over the cues. The time is linear in their number, because the length of a bout is limited. All weights
are log odds against studio talk, so studio talk weighs nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from extract.log.parameters import Parameters
from extract.recording.evidence import PHASES, CueEvidence
from extract.recording.progress import BoutProgress, length_weights


class CueSpan(NamedTuple):
    """One part: its cue positions, half open. A bout also has the cue positions where the wrestling begins and ends,
    and its log odds against being studio talk."""

    bout: bool
    first: int
    last: int
    run: tuple[int, int] | None = None
    odds: float = 0.0


@dataclass(slots=True)
class _Best:
    """The best row of parts that ends at a place with a part of one kind. ``after_bout`` is what comes before
    that."""

    value: float = -math.inf
    part: CueSpan | None = None
    after_bout: bool = False


def search(evidence: CueEvidence, parameters: Parameters) -> list[CueSpan]:
    """The parts in order. Together they have all cues. Studio talk may come as several parts in a row."""
    n = len(evidence.starts)
    turn = parameters.table("turn")
    lengths = length_weights(parameters)
    studio = [_Best() for _ in range(n + 1)]
    bouts = [_Best() for _ in range(n + 1)]
    studio[0] = _Best(0.0)
    for at in range(n):
        stays, turns = studio[at].value, bouts[at].value + turn["studio_after_bout"]
        studio[at + 1] = _Best(max(stays, turns), CueSpan(False, at, at + 1), turns > stays)
        fresh, next_one = (
            studio[at].value + turn["bout_after_studio"],
            bouts[at].value + turn["bout_after_bout"],
        )
        base = max(fresh, next_one)
        for last, gain, run in _bout(evidence, at, parameters, lengths):
            if base + gain > bouts[last].value:
                bouts[last] = _Best(base + gain, CueSpan(True, at, last, run, gain), next_one > fresh)
    return _traced(studio, bouts, n)


def best_bout(evidence: CueEvidence, parameters: Parameters) -> CueSpan | None:
    """The best part that is a bout, if there can be only one. None if nothing is like a bout."""
    lengths = length_weights(parameters)
    best: CueSpan | None = None
    for at in range(len(evidence.starts)):
        if best is not None and best.run is not None and sum(best.run) // 2 < at < best.last:
            # The second half of a bout alone weighs less than the whole.
            continue
        for last, gain, run in _bout(evidence, at, parameters, lengths):
            if best is None or gain > best.odds:
                best = CueSpan(True, at, last, run, gain)
    return best


def _traced(studio: Sequence[_Best], bouts: Sequence[_Best], n: int) -> list[CueSpan]:
    out: list[CueSpan] = []
    at = n
    in_bout = bouts[n].value > studio[n].value
    while at > 0:
        best = (bouts if in_bout else studio)[at]
        assert best.part is not None
        out.append(best.part)
        at, in_bout = best.part.first, best.after_bout
    return out[::-1]


class _Urn:
    """The names of one bout: the log odds of each, when it is said, against being said there anyway."""

    __slots__ = ("_counts", "_said", "_urn", "_weight")

    def __init__(self, urn: float, weight: float) -> None:
        self._urn, self._weight = urn, weight
        self._counts: dict[int, int] = {}
        self._said = 0

    def take(self, names: Sequence[tuple[int, float]]) -> float:
        total = 0.0
        for name, usual in names:
            count = self._counts.get(name, 0)
            total += math.log((count / usual + self._urn) / (self._said + self._urn))
            self._counts[name] = count + 1
            self._said += 1
        return self._weight * total


def _bout(
    evidence: CueEvidence, first: int, parameters: Parameters, lengths: Sequence[float]
) -> Iterator[tuple[int, float, tuple[int, int]]]:
    """The bouts that begin at a cue: where each ends, its log weight, and where its wrestling begins and ends."""
    names, turn = parameters.table("names"), parameters.table("turn")
    hopeless = parameters.get("search", "hopeless")
    urn = _Urn(names["urn"], names["weight"])
    progress = BoutProgress(evidence.starts[first], parameters)
    starts, ends, signs = evidence.starts, evidence.ends, evidence.signs
    intros, runs, results = (evidence.phase[name] for name in PHASES)
    to_result, no_result, unfought = turn["run_to_result"], turn["no_result"], turn["intro_to_result"]
    until = starts[first] + len(lengths) - 1
    intro, run, result = 0.0, -math.inf, -math.inf
    begun, over = first, (first, first)
    named = 0.0
    for at in range(first, len(starts)):
        t = starts[at]
        if ends[at] > until:
            break
        inside = progress.take(signs[at], t)
        if at > first:
            inside -= evidence.silence[at]
        finished = run + to_result + lengths[int(t - starts[begun])]
        if finished > result:
            result, over = finished, (begun, at)
        if evidence.forfeit[at] and intro + unfought > result:
            result, over = intro + unfought, (at, at)
        result += results[at] + inside
        # A cue, such as a paragraph, may hold both the introduction and the first whistle.
        enters = intro + max(runs[at], intros[at]) + inside
        enters += turn["whistle"] if evidence.whistle[at] else turn["no_whistle"]
        run += runs[at] + inside
        intro += intros[at] + inside
        if enters > run:
            run, begun = enters, at
        if evidence.names[at]:
            named += urn.take(evidence.names[at])
        unfinished = run + no_result + lengths[int(ends[at] - starts[begun])]
        if max(intro, run, result) + named < -hopeless:
            break
        if unfinished > result:
            yield at + 1, unfinished + named, (begun, at + 1)
        else:
            yield at + 1, result + named, over
