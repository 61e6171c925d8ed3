"""The measures: how far the record of a bout is from what is known of it, as counts.

An entry of the record is matched with a label one to one, the pair nearest in time first. Its reach is how far off in
time it may be. Times are compared in hundredths of a second, as the record file has them.

========== =========================================================================================================
calls      awards that somebody called, with the right corner and points. Recall over those; precision over every
           award that stands in the record, where one that nobody called counts as right too.
kinds      of the calls found whose kind was said, those with the right kind.
uncalled   awards that nobody called, found with the right corner and points within a minute.
board      moments at which a score is said where the board is the true one, and the final score.
scores     scores that were said, with both numbers on the right corners. Not every repetition is labelled: one found
           besides that says the true board, and is not said to disagree, counts neither as right nor as wrong.
flags      said scores that are slips, found and given the verdict that they disagree.
clocks     times left that were said, right within a second.
challenges challenges with the right side and outcome.
result     winner, how it was won and final score, all three right.
========== =========================================================================================================
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from extract.labelled.labels import (
    HEARD_AS_CALL,
    TrueChallenge,
    TrueClock,
    TrueEvent,
    TrueScore,
    Truth,
)
from extract.record.model import Challenge, ClockReading, Event, Pair, Record, Result, Statement
from extract.rules.board import board_at

MEASURES = ("calls", "kinds", "uncalled", "board", "scores", "flags", "clocks", "challenges", "result")

#: The reach of what is said, in seconds: with times of cues, and with times of paragraphs only.
_SAID_S, _SAID_COARSE_S = 6.0, 25.0
_UNCALLED_S = 60.0
#: The reach of a challenge, in seconds.
CHALLENGE_S = 25.0
#: How far a time left may be off, in seconds.
_CLOCK_OFF_S = 1.0
#: The record's board is read this long after a score was said, to let the call just before it count.
_BOARD_LAG_S = 2.0
#: The true board at any of these distances, in seconds, is as good: a scoreboard is slow and a talker quick.
_BOARD_ROUND_S = (-6.0, -3.0, 0.0, 3.0, 6.0)


@dataclass(frozen=True, slots=True)
class Tally:
    """What one measure counts: ``found`` of the ``labelled``, and ``right`` of the ``given`` entries of the record.
    The last two are None for a measure that has a recall only."""

    found: int
    labelled: int
    right: int | None = None
    given: int | None = None

    def __add__(self, other: Tally) -> Tally:
        if self.right is None or self.given is None or other.right is None or other.given is None:
            return Tally(self.found + other.found, self.labelled + other.labelled)
        return Tally(
            self.found + other.found,
            self.labelled + other.labelled,
            self.right + other.right,
            self.given + other.given,
        )

    @property
    def recall(self) -> float | None:
        """Share found. None if nothing was labelled."""
        return self.found / self.labelled if self.labelled else None

    @property
    def precision(self) -> float | None:
        """Share right. None if nothing was given or the measure has no precision."""
        return self.right / self.given if self.given and self.right is not None else None

    @property
    def figure(self) -> float | None:
        """The measure in one figure: F1 if there is a precision, else the recall. None if nothing was labelled.

        >>> Tally(3, 4).figure, Tally(1, 2, 1, 1).figure, Tally(0, 0, 0, 5).figure
        (0.75, 0.6666666666666666, None)
        """
        recall, precision = self.recall, self.precision
        if recall is None or self.given is None:
            return recall
        return 2 * precision * recall / (precision + recall) if precision and recall else 0.0


Tallies = Mapping[str, Tally]


class _Timed(Protocol):
    @property
    def t(self) -> float: ...


_Label = TypeVar("_Label", bound=_Timed)
_Entry = TypeVar("_Entry", bound=_Timed)


def match(
    labels: Sequence[_Label], entries: Sequence[_Entry], reach: float, fits: Callable[[_Label, _Entry], bool]
) -> list[tuple[int, int]]:
    """Pairs of positions ``(label, entry)``, each used once, no more than ``reach`` seconds apart. The nearest pair
    comes first, and of equally near pairs the one that stands first."""
    near = sorted(
        (gap, i, j)
        for i, label in enumerate(labels)
        for j, entry in enumerate(entries)
        if (gap := abs(label.t - _written(entry.t))) <= reach and fits(label, entry)
    )
    free_labels, free_entries = set(range(len(labels))), set(range(len(entries)))
    pairs = []
    for _, i, j in near:
        if i in free_labels and j in free_entries:
            free_labels.remove(i)
            free_entries.remove(j)
            pairs.append((i, j))
    return pairs


def _written(number: float) -> float:
    return round(number, 2)


@dataclass(frozen=True, slots=True)
class Matched:
    """Which label goes with which entry of a record. ``awards`` are all that stand in the record, ``stated`` all its
    said scores (not leads) but those that are neither right nor wrong; of the labels, ``called`` and ``uncalled`` are
    the awards that stand."""

    called: tuple[TrueEvent, ...]
    uncalled: tuple[TrueEvent, ...]
    awards: tuple[Event, ...]
    stated: tuple[Statement, ...]
    calls: tuple[tuple[TrueEvent, Event], ...]
    inferred: tuple[tuple[TrueEvent, Event], ...]
    scores: tuple[tuple[TrueScore, Statement], ...]
    clocks: tuple[tuple[TrueClock, ClockReading], ...]
    challenges: tuple[tuple[TrueChallenge, Challenge], ...]


def said_reach(truth: Truth) -> float:
    """The reach of what is said in a bout, seconds."""
    return _SAID_COARSE_S if truth.coarse else _SAID_S


def match_record(truth: Truth, record: Record) -> Matched:
    """Matches all that a record has with the labels of its bout."""
    said_s = said_reach(truth)
    awards = tuple(e for e in record.events if e.points and e.status == "stands")
    standing = [e for e in truth.events if e.points and e.status != "overturned"]
    called = tuple(e for e in standing if e.called in HEARD_AS_CALL)
    uncalled = tuple(e for e in standing if e.called not in HEARD_AS_CALL)
    calls = match(called, awards, truth.near_s, _same_award)
    taken = {j for _, j in calls}
    rest = [award for j, award in enumerate(awards) if j not in taken]
    said = tuple(s for s in record.statements if s.said is not None)
    scores = _chosen(truth.scores, said, match(truth.scores, said, said_s, lambda a, b: a.said == b.said))
    labelled = {s.id for _, s in scores}
    return Matched(
        called,
        uncalled,
        awards,
        tuple(s for s in said if s.id in labelled or not _repeats_board(truth, s)),
        _chosen(called, awards, calls),
        _chosen(uncalled, rest, match(uncalled, rest, _UNCALLED_S, _same_award)),
        scores,
        _chosen(truth.clocks, record.clock, match(truth.clocks, record.clock, said_s, _same_time_left)),
        _chosen(
            truth.challenges,
            record.challenges,
            match(truth.challenges, record.challenges, CHALLENGE_S, _same_challenge),
        ),
    )


def _chosen(
    labels: Sequence[_Label], entries: Sequence[_Entry], pairs: Sequence[tuple[int, int]]
) -> tuple[tuple[_Label, _Entry], ...]:
    return tuple((labels[i], entries[j]) for i, j in pairs)


def _same_award(label: TrueEvent, event: Event) -> bool:
    return label.corner == event.corner and label.points == event.points


def _repeats_board(truth: Truth, statement: Statement) -> bool:
    """Whether a score that no label has says what the board showed, and is not said to disagree."""
    if statement.said is None or statement.verdict == "disagrees":
        return False
    return shows(truth, statement.said, _written(statement.t))


def shows(truth: Truth, score: tuple[int, int], t: float) -> bool:
    """Whether the true board showed a score at a moment or a few seconds before or after it."""
    return any(board_at(truth.board, t + off) == score for off in _BOARD_ROUND_S)


def leads(truth: Truth, lead: int, t: float) -> bool:
    """Whether red was ``lead`` points ahead on the true board at a moment or a few seconds before or after it."""
    boards = (board_at(truth.board, t + off) for off in _BOARD_ROUND_S)
    return any(red - blue == lead for red, blue in boards)


def _same_time_left(label: TrueClock, reading: ClockReading) -> bool:
    # A reading of 0 says that time is up, not how much is left.
    left = _written(reading.seconds_left)
    return left != 0 and abs(label.seconds_left - left) <= _CLOCK_OFF_S


def _same_challenge(label: TrueChallenge, challenge: Challenge) -> bool:
    return label.by == challenge.by and label.outcome == challenge.outcome


def measure(truth: Truth, record: Record) -> dict[str, Tally]:
    """The tally of each of ``MEASURES``, for the record of one bout."""
    got = match_record(truth, record)
    kinds = [(label, event) for label, event in got.calls if label.called != "points only"]
    slips = sum(label.slip is not None for label in truth.scores)
    flagged = sum(statement.verdict == "disagrees" for statement in got.stated)
    caught = sum(label.slip is not None and s.verdict == "disagrees" for label, s in got.scores)
    calls, scores, clocks = len(got.calls), len(got.scores), len(got.clocks)
    challenges = len(got.challenges)
    return {
        "calls": Tally(calls, len(got.called), calls + len(got.inferred), len(got.awards)),
        "kinds": Tally(sum(label.kind == event.kind for label, event in kinds), len(kinds)),
        "uncalled": Tally(len(got.inferred), len(got.uncalled)),
        "board": _board(truth, record),
        "scores": Tally(scores, len(truth.scores), scores, len(got.stated)),
        "flags": Tally(caught, slips, caught, flagged),
        "clocks": Tally(clocks, len(truth.clocks), clocks, len(record.clock)),
        "challenges": Tally(challenges, len(truth.challenges), challenges, len(record.challenges)),
        "result": Tally(int(result_is_right(truth, record)), 1),
    }


def _board(truth: Truth, record: Record) -> Tally:
    compared = list(boards(truth, record))
    return Tally(sum(shown in true for _, shown, true in compared), len(compared))


def boards(truth: Truth, record: Record) -> Iterator[tuple[float | None, Pair, tuple[Pair, ...]]]:
    """The moments at which a score is said, and the end (None): the record's board there, and the true ones that are as
    good, the one of that moment first."""
    shown = [replace(entry, t=_written(entry.t)) for entry in record.board]
    for t in sorted({score.t for score in truth.scores}):
        true = tuple(board_at(truth.board, t + off) for off in (0.0, *_BOARD_ROUND_S))
        yield t, board_at(shown, t + _BOARD_LAG_S), true
    yield None, board_at(shown, math.inf), ((truth.result.red, truth.result.blue),)


def judged(truth: Truth, record: Record) -> Iterator[tuple[Event | Statement | Result, bool]]:
    """The entries of a record that claim something, each with whether it is right.

    An award that stands is right if it matches a label. A verdict on a stated score is right if the score was said
    and is a slip (``disagrees``) or not (``agrees``). ``unclear`` claims nothing and is left out. The result is right
    if winner, way of winning and score are.
    """
    got = match_record(truth, record)
    true_awards = {event.id for _, event in (*got.calls, *got.inferred)}
    yield from ((event, event.id in true_awards) for event in got.awards)
    slips = {statement.id: label.slip is not None for label, statement in got.scores}
    for s in got.stated:
        if s.verdict != "unclear":
            yield s, s.id in slips and slips[s.id] == (s.verdict == "disagrees")
    yield record.result, result_is_right(truth, record)


def result_is_right(truth: Truth, record: Record) -> bool:
    """Whether the winner, how it was won and the final score are right."""
    was, found = truth.result, record.result
    return (found.winner, found.by, found.score) == (was.winner, was.by, (was.red, was.blue))


def total(tallies: Sequence[Tallies]) -> dict[str, Tally]:
    """The tallies of several bouts (at least one) added up."""
    out = {name: tallies[0][name] for name in MEASURES}
    for more in tallies[1:]:
        out = {name: out[name] + more[name] for name in MEASURES}
    return out
