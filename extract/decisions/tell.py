"""A decision in a few words, for a person."""

from __future__ import annotations

from extract.checks.words import award_text, clock_text, kind_text, score_text
from extract.decisions.model import ChallengeIs, Decision, EventIs, ResultIs, ScoreIs, SidesAre, Subject


def decision_text(decision: Decision) -> str:
    """What was decided: "takedown red, 2 at 1:35 is takedown blue, 2"."""
    of, to = decision.of, decision.to
    if isinstance(to, EventIs) and isinstance(of, EventIs) and decision.do == "change":
        return f"{_at(of)} is {_changed(of, to)}"
    if isinstance(to, ScoreIs):
        what = "states no score" if to.said is None else f"states {score_text(to.said)}"
        if to.said is not None and to.right is not None:
            what += ", which was on the board" if to.right else ", which was not on the board"
        return f"what is said at {clock_text(to.t)} {what}"
    if isinstance(of, ScoreIs) and to is None:
        return f"what is said at {clock_text(of.t)} states no score"
    if to is None:
        return f"no {_at(of)}"
    return {"accept": "right: ", "add": "also "}.get(decision.do, "") + _at(to)


def _at(subject: Subject | None) -> str:
    match subject:
        case EventIs():
            off = ", taken off" if subject.status == "overturned" else ""
            return f"{_event(subject)}{off} at {clock_text(subject.t)}"
        case ChallengeIs():
            return f"challenge by {subject.by} at {clock_text(subject.t)}, {subject.outcome}"
        case SidesAre():
            return f"red {subject.red}, blue {subject.blue}"
        case ResultIs():
            return f"result: {subject.winner or 'nobody'} by {subject.by}"
    return ""


def _event(event: EventIs) -> str:
    if event.against is not None and not event.points:
        return f"{kind_text(event.kind)} against {event.against}"
    return award_text(event.kind, event.corner, event.points)


def _changed(of: EventIs, to: EventIs) -> str:
    """How an event really is, as far as it differs."""
    parts = []
    if _event(of) != _event(to):
        parts.append(_event(to))
    if of.status != to.status:
        parts.append("taken off" if to.status == "overturned" else "not taken off")
    if of.t != to.t:
        parts.append(f"at {clock_text(to.t)}")
    return ", ".join(parts) or _event(to)
