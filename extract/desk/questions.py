"""The open questions of a record as a person is asked them: the words, the lines around, the answers with their keys."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from extract.checks.sides import Sides, leading
from extract.record.model import Doubt, Event, Evidence, Guess, Record, Statement
from extract.record.plain import capital, printable, stated
from extract.transcript.cue import Cue, Transcript

#: Lines of the transcript before and after the one in question.
_AROUND = 3
Role = Literal["main", "other", "delete"]


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer: its key, its words, the decision that it makes, and which part it has in the row of buttons."""

    key: str
    words: str
    decision: Mapping[str, Any]
    role: Role = "other"


@dataclass(frozen=True, slots=True)
class TalkLine:
    """A line of the transcript near a question: ``words`` are those in question, with the text before and after."""

    t: float
    speaker: str
    before: str
    words: str
    after: str


@dataclass(frozen=True, slots=True)
class Question:
    """One question: a name for it that stays while it is open, what is asked, its moment, the lines around it, and the
    answers, the main one first. ``editable`` is the id of the entry whose form says more, or empty."""

    name: str
    about: str
    asks: str
    t: float
    share: float
    lines: tuple[TalkLine, ...]
    answers: tuple[Answer, ...]
    editable: str
    ref: str | None


def questions(record: Record, transcript: Transcript, sides: Sides) -> tuple[Question, ...]:
    """The questions in the order of the record: the one whose answer is likely to put most right comes first."""
    statements = {s.id: s for s in record.statements}
    events = {e.id: e for e in record.events}
    evidence: dict[str, Sequence[Evidence | Statement]] = {s.id: (s,) for s in record.statements}
    evidence |= {e.id: e.evidence for e in record.events}
    evidence |= {c.id: c.evidence for c in record.challenges}
    out = []
    for n, doubt in enumerate(record.doubts):
        statement = statements.get(doubt.ref or "")
        answers = _score_answers(doubt, statement, sides) if statement else _answers(doubt)
        event = events.get(doubt.ref or "")
        out.append(
            Question(
                f"{doubt.about}-{doubt.ref or f'{doubt.t:.2f}-{n}'}",
                doubt.about,
                _asks(doubt, statement, event, sides),
                doubt.t,
                doubt.share,
                lines_around(transcript, doubt.t, evidence.get(doubt.ref or "", ())),
                tuple(_once(answers)),
                doubt.ref if doubt.ref is not None and doubt.about != "challenge" else "",
                doubt.ref,
            )
        )
    return tuple(out)


def _asks(doubt: Doubt, statement: Statement | None, event: Event | None, sides: Sides) -> str:
    if statement is not None:
        said = stated(statement, sides)
        return f"Said {said}. A wrong score?" if statement.verdict == "disagrees" else f"Said {said}. Right?"
    if doubt.about == "result":
        return "How did the bout end?"
    if doubt.about == "challenge":
        return "A challenge?" if doubt.ref is None else f"{capital(doubt.text)}?"
    if event is None:
        return "Did something happen here?"
    return f"{capital(doubt.text)}?"


def _score_answers(doubt: Doubt, statement: Statement, sides: Sides) -> Iterator[Answer]:
    about = {"what": "score", "ref": doubt.ref}
    right_is_ours = statement.verdict == "agrees"
    wrong = f"Yes, a wrong score (it was {leading(sides, statement.computed)})"
    yield Answer("Enter", "Yes, right" if right_is_ours else wrong, {**about, "do": "accept"}, "main")
    if statement.said is not None:
        # What it should have been, where the record has it right, is what the program has yet to find.
        words = "No, a wrong score" if right_is_ours else "No, it was right"
        yield Answer("1", words, {**about, "do": "change", "to": {"right": not right_is_ours}})
    yield Answer(
        "Delete", "Another bout's score, or none", {**about, "do": "change", "to": {"said": None}}, "delete"
    )


def _answers(doubt: Doubt) -> Iterator[Answer]:
    about = {"what": doubt.about, "ref": doubt.ref}
    if doubt.ref is not None or doubt.about == "result":
        yield Answer(
            "Enter",
            f"Yes: {doubt.text}" if doubt.about == "result" else "Yes",
            {**about, "do": "accept"},
            "main",
        )
    elif doubt.others and doubt.others[0].to is not None:
        # If the record lacks an entry, "right" means that it is right to lack it.
        yield Answer(
            "Enter", "No, nothing", {**about, "do": "remove", "to": dict(doubt.others[0].to)}, "main"
        )
    number = 1
    for guess in doubt.others:
        decision = _decision(doubt, guess)
        if decision is None or guess.to is None:
            continue
        yield Answer(str(number), capital(guess.text), {**about, **decision})
        number += 1
    if doubt.ref is not None and doubt.about in ("event", "challenge"):
        words = "Did not happen" if doubt.about == "event" else "No challenge"
        yield Answer("Delete", words, {**about, "do": "remove"}, "delete")


def _decision(doubt: Doubt, guess: Guess) -> Mapping[str, Any] | None:
    """The decision that makes an answer hold. None if no single decision can."""
    if guess.to is None:
        return {"do": "remove"}
    if not guess.to:
        return None
    return {"do": "change" if doubt.ref is not None else "add", "to": dict(guess.to)}


def _once(answers: Iterator[Answer]) -> Iterator[Answer]:
    """The answers without those that decide what an earlier one decides."""
    seen = set()
    for answer in answers:
        decides = json.dumps(answer.decision, sort_keys=True)
        if decides not in seen:
            seen.add(decides)
            yield answer


def lines_around(
    transcript: Transcript, t: float, evidence: Sequence[Evidence | Statement]
) -> tuple[TalkLine, ...]:
    """The line of the words that something rests on, or of its moment, with those before and after it."""
    cues = transcript.cues
    if not cues:
        return ()
    texts = {piece.cue: piece.text for piece in evidence}
    at = next((k for k, cue in enumerate(cues) if cue.index in texts), None)
    if at is None:
        at = max((k for k, cue in enumerate(cues) if cue.start <= t), default=0)
    return tuple(
        _line(cue, texts.get(cue.index, "")) for cue in cues[max(at - _AROUND, 0) : at + _AROUND + 1]
    )


def _line(cue: Cue, words: str) -> TalkLine:
    before, found, after = cue.text.partition(words) if words else (cue.text, "", "")
    return TalkLine(cue.start, printable(cue.speaker or ""), before, found, after)
