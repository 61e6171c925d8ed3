"""A decision of a person: what the program had, and how it really is.

A decision names no id of the record, because ids change when the bout is read again. It names the moment and the
words. So it still holds if the recording is captioned again in slightly other words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from extract.record.decode import Mismatch
from extract.record.model import ChallengeOutcome, EventKind, Pair, Status, WonBy
from extract.rules.base import MOST_POINTS, Corner
from extract.transcript.bout_file import same_name

SCHEMA = "saidscore.decisions/1"

#: ``accept``: it is as the program had it. ``add``: the program had nothing there. ``undo`` and ``redo`` name another
#: decision in ``target``.
Do = Literal["accept", "change", "remove", "add", "undo", "redo"]
What = Literal["event", "score", "challenge", "sides", "result"]
#: Limits of what a file may say: a number of points on a board, seconds of a recording, characters of a text.
_MOST_SCORE, _MOST_S, _MOST_TEXT = 99, 1_000_000.0, 2000
_ID = re.compile(r"[A-Za-z0-9_-]{1,40}")


@dataclass(frozen=True, slots=True)
class QuotedWords:
    """Words of the talk that something is based on, and when they are said, seconds of recording."""

    t: float
    text: str


@dataclass(frozen=True, slots=True)
class ChallengeIs:
    """A challenge that a corner asked for at ``t``, and its outcome, at ``t_outcome`` if that is known."""

    t: float
    by: Corner
    outcome: ChallengeOutcome
    t_outcome: float | None = None


@dataclass(frozen=True, slots=True)
class EventIs:
    """An event. It can have been from ``low`` to ``high``, in ``period``. ``challenge`` is the one whose outcome
    brought it, or took it off if its ``status`` is overturned."""

    t: float
    kind: EventKind
    corner: Corner | None = None
    against: Corner | None = None
    points: int = 0
    status: Status = "stands"
    low: float | None = None
    high: float | None = None
    period: int | None = None
    challenge: ChallengeIs | None = None


@dataclass(frozen=True, slots=True)
class ScoreIs:
    """What is stated at ``t`` as the score ``(red, blue)`` of this bout. None if these words state none. ``right``
    says whether it was on the board then, if that is known."""

    t: float
    said: Pair | None
    right: bool | None = None


@dataclass(frozen=True, slots=True)
class SidesAre:
    """Who is in red and who in blue."""

    red: str
    blue: str


@dataclass(frozen=True, slots=True)
class ResultIs:
    """Who won, and how."""

    winner: Corner | None
    by: WonBy


Subject = EventIs | ScoreIs | ChallengeIs | SidesAre | ResultIs
SUBJECTS: dict[What, type] = {
    "event": EventIs,
    "score": ScoreIs,
    "challenge": ChallengeIs,
    "sides": SidesAre,
    "result": ResultIs,
}


@dataclass(frozen=True, slots=True)
class Decision:
    """One line of the file. ``id`` is unique in it, ``at`` is the moment (ISO 8601, UTC), ``by`` the person. ``of``
    is what the program had (None for ``add``), ``to`` how it is (None for ``remove``). ``words`` are those that it is
    based on. ``replaces`` are decisions that this one takes the place of."""

    id: str
    at: str
    by: str
    do: Do
    what: What | None = None
    of: Subject | None = None
    to: Subject | None = None
    words: tuple[QuotedWords, ...] = ()
    replaces: tuple[str, ...] = ()
    target: str | None = None


def check(decision: Decision) -> None:
    """Check that a decision is possible: numbers, times, texts and names. Raises Mismatch."""
    for name in (decision.id, *decision.replaces, decision.target or "d"):
        if not _ID.fullmatch(name):
            raise Mismatch(f"id: letters, digits, - and _ only, at most 40, not {name[:60]!r}")
    if any(len(text) > _MOST_TEXT for text in _texts(decision)):
        raise Mismatch(f"a text of more than {_MOST_TEXT} characters")
    for word in decision.words:
        _check_time(word.t)
    for subject in (decision.of, decision.to):
        _check_subject(subject)
    to = decision.to
    if isinstance(to, SidesAre):
        if not to.red.strip() or not to.blue.strip():
            raise Mismatch("a name is empty")
        if same_name(to.red, to.blue):
            raise Mismatch("red and blue have the same name")


def _check_subject(subject: Subject | None) -> None:
    match subject:
        case EventIs():
            _check_time(subject.t)
            if not 0 <= subject.points <= MOST_POINTS:
                raise Mismatch(f"points: 0 to {MOST_POINTS}, not {subject.points}")
            _check_subject(subject.challenge)
        case ScoreIs():
            _check_time(subject.t)
            if any(not 0 <= number <= _MOST_SCORE for number in subject.said or ()):
                raise Mismatch(f"said: numbers from 0 to {_MOST_SCORE}")
        case ChallengeIs():
            _check_time(subject.t)
            _check_time(subject.t_outcome or 0.0)


def _check_time(t: float) -> None:
    if not 0 <= t <= _MOST_S:
        raise Mismatch(f"t: seconds of the recording, not {t}")


def _texts(decision: Decision) -> Iterator[str]:
    yield from (decision.at, decision.by, *(word.text for word in decision.words))
    for subject in (decision.of, decision.to):
        if isinstance(subject, SidesAre):
            yield from (subject.red, subject.blue)
