"""Of which stretch of the talk each passage is: of what happens now, or of something else.

Most of live talk is not about what happens now. Hidden is the kind of each passage: live, or one of the others that the
parameters name (``stretch`` there). A kind goes on for a while, so the kinds are a Markov chain. What is seen of a passage
is its words, what the best reading has made of the mentions in it, and where in the bout it lies. The chance of each kind
comes by the forward-backward algorithm (Rabiner, A tutorial on hidden Markov models, 1989, III.B). All this is done after
the search: it tells what the reading took the talk for, and steers nothing.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from extract.log.parameters import LEAST, Parameters, log_p
from extract.log.to_log import BoutLog
from extract.log.word_weights import word_weights
from extract.mentions.model import (
    ActionMention,
    CallMention,
    ClockMention,
    CriteriaMention,
    MarginMention,
    MarkMention,
    Mention,
    Passage,
    PositionMention,
    ResultMention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)

#: The kind of talk that is about what happens now. The others are named in the parameters.
LIVE = "live"
#: What a mention is taken for that the log rests on. Its passage was then taken for live, whatever else speaks against it.
_RESTED_ON = frozenset({"call", "score", "score that slips", "time left", "challenge"})
#: What mentions are called that are no calls or scores: the reading makes little more of them than they say.
_SORTS: dict[type[Mention], str] = {
    ActionMention: "action",
    CriteriaMention: "criteria",
    MarginMention: "lead",
    MarkMention: "whistle",
    PositionMention: "position",
    ResultMention: "result",
    WaveOffMention: "wave-off",
}


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of a passage beside its words: the ``signs`` of the calls and scores in it, what the best reading has
    ``taken`` each mention for, and where in the bout it lies (``around``)."""

    signs: tuple[str, ...]
    taken: tuple[str, ...]
    around: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """Neighbouring passages that are most probably of one ``kind``: words ``start`` to ``end`` (exclusive), from ``t``
    until ``until``, seconds of recording. ``confidence`` is the mean chance of its words that they are of that kind."""

    start: int
    end: int
    t: float
    until: float
    kind: str
    confidence: float


@dataclass(frozen=True, slots=True)
class Chain:
    """How the kinds follow one another: the share of each at the beginning, and ``step[a][b]``, the share of passages of
    kind ``a`` after which the next one is of kind ``b``."""

    first: tuple[float, ...]
    step: tuple[tuple[float, ...], ...]

    def chances(self, weights: Sequence[Sequence[float]]) -> list[tuple[float, ...]]:
        """The chance of each kind for each passage, given all of them: ``weights`` are log likelihoods by kind, up to a
        constant of each passage."""
        seen = [[math.exp(w - most) for w in row] for row in weights for most in (max(row),)]
        # What is seen so far, and, beginning at the end, what is seen from the next passage on.
        before: list[list[float]] = []
        for n, row in enumerate(seen):
            comes = (
                self.first if not n else [_dot(before[-1], column) for column in zip(*self.step, strict=True)]
            )
            before.append(_shares([a * b for a, b in zip(comes, row, strict=True)]))
        out: list[tuple[float, ...]] = []
        after = [1.0] * len(self.first)
        for n in range(len(seen) - 1, -1, -1):
            out.append(tuple(_shares([a * b for a, b in zip(before[n], after, strict=True)])))
            ahead = [a * b for a, b in zip(seen[n], after, strict=True)]
            after = _shares([_dot(row, ahead) for row in self.step])
        return out[::-1]


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return math.fsum(x * y for x, y in zip(a, b, strict=True))


def _shares(parts: Sequence[float]) -> list[float]:
    total = math.fsum(parts)
    return [part / total for part in parts]


def kinds_of(parameters: Parameters) -> tuple[str, ...]:
    """The kinds of talk, live first."""
    return LIVE, *word_weights(parameters, "stretch.words").kinds


@lru_cache(maxsize=16)
def chain_of(parameters: Parameters) -> Chain:
    """How the kinds follow one another by the parameters."""
    kinds = kinds_of(parameters)
    rows = []
    for kind in kinds:
        stays = parameters.get("stretch.stay", kind)
        goes = {
            other: (1 - stays) * parameters.get(f"stretch.next.{kind}", other)
            for other in kinds
            if other != kind
        }
        rows.append(tuple(max({**goes, kind: stays}[other], LEAST) for other in kinds))
    return Chain(tuple(max(parameters.get("stretch.first", kind), LEAST) for kind in kinds), tuple(rows))


def seen_in(
    passages: Sequence[Passage], mentions: Sequence[Mention], log: BoutLog, parameters: Parameters
) -> list[Seen]:
    """What is seen of each passage beside its words."""
    starts = [p.start for p in passages]
    signs: list[list[str]] = [[] for _ in passages]
    taken: list[list[str]] = [[] for _ in passages]
    for m, name in zip(mentions, _taken(mentions, log), strict=True):
        at = bisect_right(starts, m.start) - 1
        taken[at].append(name)
        if isinstance(m, (CallMention, ScoreMention)):
            signs[at] += m.own_signs()
    late = parameters.get("time", "horn_s")
    return [
        Seen(tuple(dict.fromkeys(s)), tuple(t), _around(p.t, log, late))
        for p, s, t in zip(passages, signs, taken, strict=True)
    ]


def _taken(mentions: Sequence[Mention], log: BoutLog) -> Iterator[str]:
    """What the best reading has taken each mention for."""
    calls: dict[int, str] = {}
    for event in log.events:
        for n, index in enumerate(event.entry.mentions):
            calls.setdefault(index, "call told again" if n else "call")
    scores = {one.said.mention: one.said.verdict for one in log.taken}
    times = {reading.index for reading in log.frame.readings if reading.fits}
    challenges = {index for review in log.best.reviews for index in (review.asked, review.answer)}
    for k, m in enumerate(mentions):
        if isinstance(m, ScoreMention):
            verdict = scores.get(k)
            yield (
                "score let go" if verdict is None else "score" if verdict == "agrees" else "score that slips"
            )
        elif isinstance(m, CallMention):
            yield calls.get(k, "call let go")
        elif isinstance(m, ClockMention):
            yield "time left" if k in times else "time let go"
        elif isinstance(m, ReviewMention):
            yield "challenge" if k in challenges else "challenge let go"
        else:
            yield _SORTS[type(m)]


def _around(t: float, log: BoutLog, late: float) -> str:
    """Where in the bout a moment lies."""
    if any(r.t <= t <= (r.t if r.t_outcome is None else r.t_outcome) for r in log.best.reviews):
        return "review"
    periods = log.frame.periods
    if not periods or any(p.start <= t <= p.end + late for p in periods):
        return "period"
    return "before" if t < periods[0].start else "after" if t > periods[-1].end else "break"


def passage_weights(
    passages: Sequence[Passage], seen: Sequence[Seen], parameters: Parameters
) -> list[tuple[float, ...]]:
    """What all that is seen of each passage weighs for each kind against live talk, log likelihood ratios. The power
    ``trust`` makes it milder: neighbours share their words, and what is seen of one passage hangs together."""
    words = word_weights(parameters, "stretch.words")
    trust = parameters.get("stretch", "trust")
    taken, around = _ratios(parameters, "taken"), _ratios(parameters, "around")
    out = []
    for passage, one in zip(passages, seen, strict=True):
        rows = [
            (0.0, *words.sums(passage, one.signs)),
            *map(taken.__getitem__, one.taken),
            around[one.around],
        ]
        out.append(tuple(trust * math.fsum(column) for column in zip(*rows, strict=True)))
    return out


@lru_cache(maxsize=32)
def _ratios(parameters: Parameters, table: str) -> dict[str, tuple[float, ...]]:
    """What each thing seen weighs for each kind against live talk: its share in passages of that kind to that in live
    ones, as log ratio."""
    shares = [parameters.table(f"stretch.{table}.{kind}") for kind in kinds_of(parameters)]
    return {what: tuple(log_p(of[what]) - log_p(share) for of in shares) for what, share in shares[0].items()}


def find_stretches(
    passages: Sequence[Passage], mentions: Sequence[Mention], log: BoutLog, parameters: Parameters
) -> tuple[Stretch, ...]:
    """The stretches of a talk in order, all of it covered, neighbours of different kinds. ``log`` is what was read in it,
    ``passages`` are all of its segments."""
    seen = seen_in(passages, mentions, log, parameters)
    chances = chain_of(parameters).chances(passage_weights(passages, seen, parameters))
    taken_for = [_taken_for(*one, kinds_of(parameters)) for one in zip(seen, chances, strict=True)]
    together = groupby(zip(passages, taken_for, strict=True), key=lambda one: one[1][1])
    return tuple(_stretch(kind, list(group)) for kind, group in together)


def _taken_for(seen: Seen, chances: Sequence[float], kinds: Sequence[str]) -> tuple[float, str]:
    """The kind that a passage was taken for, with the chance of it."""
    if not _RESTED_ON.isdisjoint(seen.taken):
        return chances[0], kinds[0]
    return max(zip(chances, kinds, strict=True), key=lambda one: one[0])


def _stretch(kind: str, parts: Sequence[tuple[Passage, tuple[float, str]]]) -> Stretch:
    first, last = parts[0][0], parts[-1][0]
    sure = math.fsum(chance * (p.end - p.start) for p, (chance, _) in parts) / (last.end - first.start)
    until = max(p.until for p, _ in parts)
    return Stretch(first.start, last.end, first.t, until, kind, min(sure, 1.0))
