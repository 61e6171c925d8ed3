"""Which one question, answered by somebody who has seen the bout, is expected to put most of the record right.

A reading says something of each item of the record: an event, a stated score, a challenge, the result. The true answer
about one item leaves the readings that have it, and with the best of those other items change too. How many wrong items
that is expected to save is what the question is worth (the value of information: Howard, Information Value Theory,
1966).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeVar

from extract.log.compare import CHALLENGES, EVENTS, differences, disagrees, nature, paired, said_in
from extract.log.hypothesis import ReadingEvent, ReviewRun, Said, Score
from extract.log.to_log import BoutLog, Reading
from extract.rules.base import UNLISTED, Outcome

T = TypeVar("T")
#: What a person has decided is right.
_DECIDED = 1.0
#: How often all readings are right on a challenge, or in lacking an event, is not measured: their shares stand alone.
_UNMEASURED = 1.0
About = Literal["event", "score", "challenge", "result"]


class Ending(NamedTuple):
    """How a bout ended: winner and way of winning, and the final score."""

    outcome: Outcome | None
    score: Score


#: What a reading has there; None for nothing: no such event or challenge, or no score of this bout.
Answer = ReadingEvent | Said | ReviewRun | Ending | None


class Other(NamedTuple):
    """Another answer than the log's, and its share."""

    share: float
    answer: Answer


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """One item of the record that somebody might be asked about.

    ``at`` is its position in ``log.events``, ``log.taken`` or ``log.best.reviews``; None for the result, and for an
    event or challenge that the log lacks and other readings have. ``t`` is about when it was, in seconds of recording.
    ``gain`` is how many items of the record the true answer is expected to put right, this one among them. ``share``
    is the probability that ``ours``, what the log has, is right; ``others`` are the other answers, likeliest first.
    What is left to 1 is for answers that no reading has.
    """

    about: About
    at: int | None
    t: float
    ours: Answer
    gain: float
    share: float
    others: tuple[Other, ...]


@dataclass(frozen=True, slots=True)
class _Question:
    """What each reading has for one item, the best reading first: ``values`` are equal where the readings do not
    differ. ``trust`` is how often what all readings agree on is right."""

    about: About
    at: int | None
    t: float
    trust: float
    values: Sequence[Hashable]
    answers: Sequence[Answer]


def doubts(log: BoutLog) -> tuple[OpenQuestion, ...]:
    """All that may be asked about a bout, the question with the most gain first; of equal ones the surer item last,
    then in order of time. What is decided or in no doubt comes at the end, with no gain."""
    best, *rest = log.readings
    # The order of readings with equal shares tells nothing, so nothing may hang on it.
    readings = [best, *sorted(rest, key=_order)]
    total = math.fsum(r.share for r in readings)
    shares = [r.share / total for r in readings]
    items = [*_items(log, readings)]
    open_items = [item.values for item in items if len(set(item.values)) > 1]
    codes = list(zip(*open_items, strict=True)) or [() for _ in readings]
    apart = [[_loss(a, b) for b in codes] for a in codes]
    found = [_doubt(item, shares, apart) for item in items]
    return tuple(sorted(found, key=lambda d: (-round(d.gain, 9), d.share, d.t)))


def _doubt(item: _Question, shares: Sequence[float], apart: Sequence[Sequence[int]]) -> OpenQuestion:
    groups: dict[Hashable, list[int]] = {}
    for n, value in enumerate(item.values):
        groups.setdefault(value, []).append(n)
    gains: list[float] = []
    others: list[Other] = []
    share = 0.0
    for value, members in groups.items():
        of_value = math.fsum(shares[n] for n in members)
        if value == item.values[0]:
            # The answer is the log's own: it stays the best of those left, and nothing changes.
            share = of_value * item.trust
            continue
        # The likeliest reading with this answer becomes the log, as it would if the search had known.
        then = members[0]
        gains += (shares[n] * (apart[0][n] - apart[then][n]) for n in members)
        others.append(Other(of_value * item.trust, item.answers[then]))
    others.sort(key=lambda other: -other.share)
    # Where no reading is right the answer mends its own item alone, and so much it mends in any case.
    gain = max(item.trust * math.fsum(gains) + 1 - item.trust, 1 - share, 0.0)
    return OpenQuestion(item.about, item.at, item.t, item.answers[0], gain, share, tuple(others))


def _loss(a: tuple[Hashable, ...], b: tuple[Hashable, ...]) -> int:
    """How many items two readings have otherwise."""
    return sum(x != y for x, y in zip(a, b, strict=True))


def _order(reading: Reading) -> tuple[object, ...]:
    """Greatest share first, then by all that readings can differ in."""
    h = reading.hypothesis
    return (
        -reading.share,
        reading.times,
        [(e.move.kind, e.move.corner or "", e.move.points, e.move.against or "", e.overturned is not None)
         for e in h.entries],
        [(r.by, r.t, r.outcome, repr(r)) for r in h.reviews],
        sorted((mention, said.verdict) for mention, said in said_in(h).items()),
        [word or "" for word in reading.outcome or ()],
    )  # fmt: skip


def _items(log: BoutLog, readings: Sequence[Reading]) -> Iterator[_Question]:
    """All items of the record, and what other readings have besides."""
    best = readings[0]
    trust = log.trust
    entries, reviews, said = best.hypothesis.entries, best.hypothesis.reviews, said_in(best.hypothesis)
    place = {review: k for k, review in reversed(list(enumerate(reviews)))}
    events: list[list[ReadingEvent | None]] = [[e] * len(readings) for e in entries]
    challenges: list[list[ReviewRun | None]] = [[r] * len(readings) for r in reviews]
    verdicts: dict[int, list[Said | None]] = {
        taken.said.mention: [said.get(taken.said.mention)] * len(readings) for taken in log.taken
    }
    more_events: list[list[tuple[float, ReadingEvent]]] = [[] for _ in readings]
    more_challenges: list[list[tuple[float, ReviewRun]]] = [[] for _ in readings]
    for n, reading in enumerate(readings[1:], 1):
        differing = differences(best, reading)
        for i, j in differing.events:
            if i is not None:
                events[i][n] = None if j is None else reading.hypothesis.entries[j]
            elif j is not None:
                more_events[n].append((reading.times[j], reading.hypothesis.entries[j]))
        for ours, theirs in differing.reviews:
            if ours is not None:
                challenges[place[ours]][n] = theirs
            elif theirs is not None:
                more_challenges[n].append((theirs.t, theirs))
        for change in differing.verdicts:
            if change.mention in verdicts:
                verdicts[change.mention][n] = change.theirs
    for k, event in enumerate(log.events):
        if event.entry.move.kind not in UNLISTED:
            values = [e and nature(e) for e in events[k]]
            sure = _DECIDED if event.entry.fact is not None else trust[event.entry.basis]
            yield _Question("event", k, event.t, sure, values, events[k])
    for t, found in _gathered(more_events, EVENTS):
        yield _Question("event", None, t, _UNMEASURED, [e and nature(e) for e in found], found)
    for k, taken in enumerate(log.taken):
        heard = verdicts[taken.said.mention]
        yield _Question("score", k, taken.said.t, taken.trust, [disagrees(s) for s in heard], heard)
    for k, review in enumerate(reviews):
        yield _Question(
            "challenge",
            k,
            review.t,
            _UNMEASURED,
            [r and (r.by, r.outcome) for r in challenges[k]],
            challenges[k],
        )
    for t, asked in _gathered(more_challenges, CHALLENGES):
        yield _Question("challenge", None, t, _UNMEASURED, [r and (r.by, r.outcome) for r in asked], asked)
    sure = _DECIDED if log.facts.outcome is not None else trust["result"]
    ends = [Ending(r.outcome, r.hypothesis.score) for r in readings]
    yield _Question("result", None, log.board[-1][0], sure, ends, ends)


def _gathered(
    found: Sequence[Sequence[tuple[float, T]]], likenesses: Sequence[Callable[[T, T], bool]]
) -> Iterator[tuple[float, list[T | None]]]:
    """What readings have that the best one lacks, each thing once: when it was, and what each reading has of it."""
    things: list[dict[int, tuple[float, T]]] = []
    for n, those in enumerate(found):
        firsts = [next(iter(thing.values())) for thing in things]
        pairs = paired(
            [what for _, what in firsts],
            [what for _, what in those],
            [t for t, _ in firsts],
            [t for t, _ in those],
            # Pairs that are wholly alike are wanted too, which the first of the likenesses leaves out.
            (lambda a, b: False, *likenesses),
        )
        for i, j in pairs:
            if j is not None and i is not None:
                things[i][n] = those[j]
            elif j is not None:
                things.append({n: those[j]})
    for thing in things:
        t = next(iter(thing.values()))[0]
        yield t, [thing[n][1] if n in thing else None for n in range(len(found))]
