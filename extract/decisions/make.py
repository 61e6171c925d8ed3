"""Making a decision from a record: a person points at something in it and says how it is."""

from __future__ import annotations

import math
import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime
from typing import Any, Literal, cast

from extract.decisions.fold import in_force
from extract.decisions.model import (
    SUBJECTS,
    ChallengeIs,
    Decision,
    Do,
    EventIs,
    QuotedWords,
    ResultIs,
    ScoreIs,
    SidesAre,
    Subject,
    What,
    check,
)
from extract.log.to_log import SAME_S
from extract.record.decode import Mismatch, decode
from extract.record.model import Event, Evidence, Record
from extract.rules.base import PENALTIES, WARNINGS, Corner, other
from extract.transcript import Transcript

#: How many characters of the words of a line are kept: enough to find them again.
_LONGEST = 400


class Refused(ValueError):
    """A request that makes no decision. The message says why."""


@dataclass(frozen=True, slots=True)
class Request:
    """What a person asks for: ``do`` it to the entry ``ref`` of the record (an id; None to add). ``to`` says how it
    is, as far as it differs. ``cue`` and ``text`` are the words that an addition is based on."""

    do: Do
    what: What | None = None
    ref: str | None = None
    to: Mapping[str, Any] = field(default_factory=dict)
    cue: int | None = None
    text: str = ""


def make(
    request: Request, record: Record, transcript: Transcript, made: Sequence[Decision], by: str
) -> Decision:
    """The decision that a request makes. ``made`` are all decisions on the bout so far. Raises Refused."""
    of, words, decided = _subject(request, record, transcript)
    # A challenge may be based on a decision about an event that it brought. That decision is not replaced.
    before = next((d for d in made if d.id == decided and d.what == request.what), None)
    new = Decision(_new_id(made), _now(), by, request.do, request.what)
    if request.do == "remove" and before is not None and before.of is None:
        # What a person has added was not there before.
        return replace(new, do="undo", what=None, target=before.id)
    to = None if request.do == "remove" else _said_to_be(request, of)
    if request.do == "change" and to == of:
        raise Refused("nothing is changed by that")
    if before is not None:
        if request.do == "accept" and not isinstance(of, ScoreIs):
            raise Refused("that is decided already")
        of, words = before.of, before.words
        new = replace(new, replaces=(before.id,), do="add" if of is None else new.do)
    decision = replace(new, of=of, to=to, words=words)
    try:
        check(decision)
    except Mismatch as error:
        raise Refused(str(error)) from None
    return decision


def turn(do: Literal["undo", "redo"], made: Sequence[Decision], by: str, name: str | None = None) -> Decision:
    """The decision that undoes the last one in force, or redoes the one that was undone last. With ``name`` it is
    about the one of that name. Raises Refused."""
    force = in_force(made)
    last = next(
        (d for d in (force.undoable if do == "undo" else force.redoable) if name in (None, d.id)), None
    )
    if last is None:
        raise Refused(f"there is nothing to {do}")
    return Decision(_new_id(made), _now(), by, do, target=last.id)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _new_id(made: Iterable[Decision]) -> str:
    known = {decision.id for decision in made}
    while (name := f"d{secrets.token_hex(3)}") in known:
        pass
    return name


def _subject(
    request: Request, record: Record, transcript: Transcript
) -> tuple[Subject | None, tuple[QuotedWords, ...], str | None]:
    """What the request is about, the words that it is based on, and the decision that it is based on already."""
    if request.what is None:
        raise Refused("it has to be said what is meant")
    if request.do == "add" and request.what in ("sides", "result"):
        raise Refused(f"there is one {request.what} already, to be changed")
    if request.what == "sides":
        red, blue = (getattr(record.bout, corner).name or "" for corner in ("red", "blue"))
        return SidesAre(red, blue), (), _last(record, "sides")
    if request.what == "result":
        return ResultIs(record.result.winner, record.result.by), (), _last(record, "result")
    if request.do == "remove" and request.ref is None and request.what in ("event", "challenge"):
        # The program has considered it and is right to have no such thing.
        return _said_to_be(request, None), (), None
    if request.do == "add":
        return None, _words_at(request, transcript), None
    for event in record.events if request.what == "event" else ():
        if event.id == request.ref:
            return _event_as_it_is(record, event), _words_of(event.evidence, transcript), event.decided
    for statement in record.statements if request.what == "score" else ():
        if statement.id == request.ref:
            place = Evidence(statement.cue, statement.start, statement.end, statement.text)
            words = _words_of((place,), transcript)
            t = words[0].t if words else statement.t
            right = {"agrees": True, "disagrees": False}.get(statement.verdict)
            return ScoreIs(t, statement.said, right), words, statement.decided
    for challenge in record.challenges if request.what == "challenge" else ():
        if challenge.id == request.ref:
            it = ChallengeIs(challenge.t, challenge.by or "red", challenge.outcome, challenge.t_outcome)
            return it, _words_of(challenge.evidence, transcript), challenge.decided
    raise Refused(f"there is no {request.what} {request.ref!r} any more: look at it again")


def _last(record: Record, what: str) -> str | None:
    """The decision in force on the one thing of its sort."""
    return next((d.id for d in reversed(record.decisions) if d.what == what), None)


def _event_as_it_is(record: Record, event: Event) -> EventIs:
    """An event of a record, with the challenge that it depends on."""
    challenge = next((c for c in record.challenges if event.id in c.events), None)
    tied = None
    if challenge is not None and challenge.by is not None:
        tied = ChallengeIs(challenge.t, challenge.by, challenge.outcome, challenge.t_outcome)
    low, high = event.t_range if event.basis == "inferred" else _alone(record, event)
    return EventIs(
        event.t,
        event.kind,
        event.corner,
        event.against,
        event.points,
        event.status,
        low,
        high,
        event.period,
        tied,
    )


def _alone(record: Record, event: Event) -> tuple[float, float]:
    """The time around a called event in which there is no other one of its nature: half way to the next."""
    like = [
        e.t
        for e in record.events
        if e.id != event.id
        and (e.corner, e.against, e.points) == (event.corner, event.against, event.points)
        and (event.points or e.kind == event.kind)
    ]
    before = max((t for t in like if t <= event.t), default=-math.inf)
    after = min((t for t in like if t > event.t), default=math.inf)
    low, high = max(event.t - SAME_S, (event.t + before) / 2), min(event.t + SAME_S, (event.t + after) / 2)
    return round(max(low, 0.0), 2), round(high, 2)


def _words_of(evidence: Iterable[Evidence], transcript: Transcript) -> tuple[QuotedWords, ...]:
    """The words of a record's evidence, each with its moment."""
    out = []
    for piece in evidence:
        for cue in transcript.cues:
            at = cue.plain_position(piece.start)
            if cue.index == piece.cue and at < len(cue.text):
                out.append(QuotedWords(cue.time_at(at), piece.text))
                break
    return tuple(out)


def _words_at(request: Request, transcript: Transcript) -> tuple[QuotedWords, ...]:
    """Words of a cue, as a person marked them. If none are marked, a score is looked for in the whole cue. Any other
    addition is based on its moment alone, because the words there may be about something else."""
    if not request.text and request.what != "score":
        return ()
    for cue in transcript.cues:
        if cue.index == request.cue:
            at = max(cue.text.find(request.text), 0)
            return (QuotedWords(cue.time_at(at), (request.text or cue.text)[:_LONGEST]),)
    return ()


def _said_to_be(request: Request, of: Subject | None) -> Subject:
    """How the person says that it is: as it was, with what they changed."""
    assert request.what is not None
    wanted = SUBJECTS[request.what]
    tree = {**({} if of is None else asdict(of)), **request.to}
    if isinstance(of, ScoreIs) and "said" in request.to:
        # Whether it was right depends on what was said.
        tree["right"] = request.to.get("right")
    if isinstance(tree.get("t"), float):
        # A hundredth of a second, as in the record.
        tree["t"] = round(tree["t"], 2)
    if request.what == "event":
        tree = _credited(tree, request.to)
    try:
        return cast(Subject, decode(wanted, _as_json(tree)))
    except Mismatch as error:
        raise Refused(str(error)) from None


def _credited(tree: dict[str, Any], said: Mapping[str, Any]) -> dict[str, Any]:
    """An event with the corners that fit its kind: a warning credits nobody, and a penalty is against the other side.
    ``who`` is the one that is credited, or warned."""
    kind = tree.get("kind")
    who = cast("Corner | None", said.get("who", tree.get("corner") or tree.get("against")))
    tree = {key: value for key, value in tree.items() if key != "who"}
    if who not in ("red", "blue", None):
        raise Refused(f"the corners are red and blue, not {who!r}")
    if kind in WARNINGS:
        return {**tree, "corner": None, "against": who, "points": 0}
    return {**tree, "corner": who, "against": other(who) if who and kind in PENALTIES else None}


def _as_json(value: Any) -> Any:
    """A tree of plain values as the decoder wants it: tuples are lists."""
    if isinstance(value, dict):
        return {key: _as_json(item) for key, item in value.items()}
    return [_as_json(item) for item in value] if isinstance(value, list | tuple) else value
