"""The truth about a bout from a record that a person has corrected: the entries of the record become labels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.labelled.labels import (
    Called,
    TrueBoard,
    TrueChallenge,
    TrueClock,
    TrueEvent,
    TrueResult,
    TrueScore,
    Truth,
)
from extract.mentions import Heard
from extract.mentions.model import CallMention
from extract.record.model import Event, Evidence, Record, Statement
from extract.transcript import Transcript

#: How far an event may be off in time, in seconds: with times of cues, and with times of paragraphs only.
_NEAR_S, _NEAR_COARSE_S = 12.0, 25.0

Spot = tuple[int, int, int]


def truth_of(name: str, record: Record, transcript: Transcript, heard: Heard) -> Truth:
    """The truth about a bout as its record has it. ``name`` is the bout's id. ``heard`` is what is heard in the transcript,
    which tells how each award was told."""
    calls = {
        (place.cue, place.start, place.end): mention
        for mention in heard.mentions
        if isinstance(mention, CallMention)
        for place in (heard.place(mention),)
    }
    result = record.result
    return Truth(
        id=name,
        rules=record.bout.rules,
        events=tuple(_event(event, calls, record.statements) for event in record.events),
        board=tuple(TrueBoard(entry.t, entry.red, entry.blue) for entry in record.board),
        scores=tuple(map(_score, scores_of(record))),
        clocks=tuple(
            TrueClock(reading.t, reading.seconds_left, reading.bound)
            for reading in record.clock
            if reading.about == "bout"
        ),
        challenges=tuple(TrueChallenge(each.t, each.by, each.outcome) for each in record.challenges),
        result=TrueResult(result.winner, result.by, *result.score),
        format=record.source.format,
        seconds=record.source.seconds,
        near_s=_NEAR_COARSE_S if transcript.interpolated else _NEAR_S,
    )


def sides_looked_at(record: Record) -> bool:
    """Whether a person has said who is in red and who in blue."""
    return any(decision.what == "sides" for decision in record.decisions)


def result_looked_at(record: Record) -> bool:
    """Whether a person has said who won and how."""
    return any(decision.what == "result" for decision in record.decisions)


def scores_of(record: Record) -> Iterator[Statement]:
    """The scores said of this bout, leads left out, which have no label."""
    return (statement for statement in record.statements if statement.said is not None)


def _event(event: Event, calls: dict[Spot, CallMention], statements: Sequence[Statement]) -> TrueEvent:
    called = _called(event, calls, statements) if event.points else None
    return TrueEvent(event.t, event.kind, event.corner, event.points, event.against, called, event.status)


def _called(event: Event, calls: dict[Spot, CallMention], statements: Sequence[Statement]) -> Called:
    """How an award was told: by the calls it rests on, else by a right score said after it."""
    if event.evidence and event.basis == "called":
        found = [call for spot in map(_spot, event.evidence) if (call := calls.get(spot)) is not None]
        points = any(call.points is not None for call in found)
        if any(event.kind in call.kinds and _names_kind(call) for call in found):
            return "full call" if points else "kind only"
        # Words that a person has marked, or the end of a challenge, name no kind.
        return "points only"
    later = (s.t >= event.t and s.verdict == "agrees" for s in statements)
    return "score only" if any(later) else "missed"


def _names_kind(call: CallMention) -> bool:
    """Whether the words say the kind, and it is not only taken from what stands around them."""
    return call.points is None or "kind" in call.grade


def _spot(words: Evidence) -> Spot:
    return words.cue, words.start, words.end


def _score(statement: Statement) -> TrueScore:
    if statement.said is None:
        raise ValueError(f"{statement.id} states no score")
    slip = (statement.slip or "wrong") if statement.verdict == "disagrees" else None
    return TrueScore(statement.t, statement.said, slip)
