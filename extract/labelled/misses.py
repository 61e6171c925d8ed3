"""What stands behind the measures of a bout: each label that was missed, and each entry of the record that is not right."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from extract.checks.words import clock_text, score_text
from extract.labelled.labels import TrueChallenge, TrueClock, TrueEvent, TrueScore, Truth
from extract.labelled.measures import (
    CHALLENGE_S,
    Matched,
    boards,
    match,
    match_record,
    result_is_right,
    said_reach,
)
from extract.record.model import Challenge, ClockReading, Event, Pair, Record, Statement


@dataclass(frozen=True, slots=True)
class Miss:
    """One fault that a ``measure`` counts, at ``t`` seconds of the recording (None: how the bout ended): what the
    ``truth`` has there, and what the ``record`` has (None: nothing). ``missed`` says that it counts against the share
    found, ``wrong`` against the share right."""

    measure: str
    t: float | None
    truth: str | None
    record: str | None
    missed: bool
    wrong: bool


class _Timed(Protocol):
    @property
    def t(self) -> float: ...


_Label = TypeVar("_Label", bound=_Timed)
_Entry = TypeVar("_Entry", bound=_Timed)


def misses(truth: Truth, record: Record) -> list[Miss]:
    """Every fault in the record of one bout, by measure and time. A label that was missed stands together with the wrong
    entry nearest to it, if one is as near as a right one would have to be."""
    got = match_record(truth, record)
    return [
        *_awards(truth, got),
        *_kinds(got),
        *_boards(truth, record),
        *_paired("scores", truth.scores, got.scores, got.stated, said_reach(truth), _true_score, _statement),
        *_flags(truth, got),
        *_paired("clocks", truth.clocks, got.clocks, record.clock, said_reach(truth), _clock, _clock),
        *_paired(
            "challenges",
            truth.challenges,
            got.challenges,
            record.challenges,
            CHALLENGE_S,
            _challenge,
            _challenge,
        ),
        *_result(truth, record),
    ]


def _paired(
    measure: str,
    labels: Sequence[_Label],
    right: Sequence[tuple[_Label, _Entry]],
    entries: Sequence[_Entry],
    reach: float,
    of_label: Callable[[_Label], str],
    of_entry: Callable[[_Entry], str],
) -> Iterator[Miss]:
    found, good = {id(label) for label, _ in right}, {id(entry) for _, entry in right}
    left = [label for label in labels if id(label) not in found]
    wrong = [entry for entry in entries if id(entry) not in good]
    beside = dict(match(left, wrong, reach, lambda label, entry: True))
    out = []
    for i, label in enumerate(left):
        other = of_entry(wrong[beside[i]]) if i in beside else None
        out.append((label.t, Miss(measure, label.t, of_label(label), other, True, i in beside)))
    for j, entry in enumerate(wrong):
        if j not in beside.values():
            out.append((entry.t, Miss(measure, entry.t, None, of_entry(entry), False, True)))
    yield from (miss for _, miss in sorted(out, key=lambda pair: pair[0]))


def _awards(truth: Truth, got: Matched) -> Iterator[Miss]:
    """Awards that were called, then those that nobody called. What stands in the record and is neither counts against the
    first."""
    inferred = {id(event) for _, event in got.inferred}
    rest = [event for event in got.awards if id(event) not in inferred]
    yield from _paired("calls", got.called, got.calls, rest, truth.near_s, _true_event, _event)
    yield from _paired("uncalled", got.uncalled, got.inferred, (), 0.0, _true_event, _event)


def _kinds(got: Matched) -> Iterator[Miss]:
    for label, event in got.calls:
        if label.called != "points only" and label.kind != event.kind:
            yield Miss("kinds", label.t, _true_event(label), _event(event), True, False)


def _boards(truth: Truth, record: Record) -> Iterator[Miss]:
    for t, shown, true in boards(truth, record):
        if shown not in true:
            yield Miss("board", t, score_text(true[0]), score_text(shown), True, False)


def _flags(truth: Truth, got: Matched) -> Iterator[Miss]:
    stated = {id(label): statement for label, statement in got.scores}
    flagged = {s.id for s in got.stated if s.verdict == "disagrees"}
    for label in truth.scores:
        statement = stated.get(id(label))
        if label.slip is not None and (statement is None or statement.id not in flagged):
            yield Miss(
                "flags",
                label.t,
                _true_score(label),
                None if statement is None else _statement(statement),
                True,
                False,
            )
    slips = {statement.id for label, statement in got.scores if label.slip is not None}
    for statement in got.stated:
        if statement.id in flagged - slips:
            label_of = next((label for label, s in got.scores if s.id == statement.id), None)
            told = None if label_of is None else _true_score(label_of)
            yield Miss("flags", statement.t, told, _statement(statement), False, True)


def _result(truth: Truth, record: Record) -> Iterator[Miss]:
    if not result_is_right(truth, record):
        was, found = truth.result, record.result
        told = _ending(was.winner, was.by, (was.red, was.blue)), _ending(found.winner, found.by, found.score)
        yield Miss("result", None, *told, True, False)


def _true_event(label: TrueEvent) -> str:
    return f"{_kind(label.kind)} {label.corner} {label.points}"


def _event(event: Event) -> str:
    source = " (inferred)" if event.basis == "inferred" else ""
    return f"{_kind(event.kind)} {event.corner} {event.points}{source}"


def _kind(kind: str) -> str:
    return kind.replace("_", " ")


def _true_score(label: TrueScore) -> str:
    return score_text(label.said) + (f" ({label.slip})" if label.slip else "")


def _statement(statement: Statement) -> str:
    said = score_text(statement.said) if statement.said is not None else "a lead"
    return f"{said} ({statement.slip or statement.verdict})"


def _clock(reading: TrueClock | ClockReading) -> str:
    return f"{clock_text(reading.seconds_left)} left"


def _challenge(challenge: TrueChallenge | Challenge) -> str:
    return f"by {challenge.by or 'nobody known'}: {challenge.outcome}"


def _ending(winner: str | None, by: str, score: Pair) -> str:
    return f"{winner or 'nobody'} by {by}, {score_text(score)}"
