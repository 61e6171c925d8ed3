"""A correction in a few words, for a person."""

from __future__ import annotations

from extract.checks.sides import CORNERS_ONLY, Sides, entry_text, leading
from extract.checks.words import clock_text, won_by_text
from extract.decisions.model import ChallengeIs, Decision, EventIs, ResultIs, ScoreIs, SidesAre, Subject


def decision_text(decision: Decision, sides: Sides = CORNERS_ONLY) -> str:
    """What was corrected: "Varnholt's takedown (2) at 1:35 is Brackett's takedown (2)"."""
    of, to = decision.of, decision.to
    if isinstance(to, EventIs) and isinstance(of, EventIs) and decision.do == "change":
        return f"{_at(of, sides)} is {_changed(of, to, sides)}"
    if isinstance(to, ScoreIs):
        if to.said is None:
            return f"no score of this bout is said at {clock_text(to.t)}"
        verdict = "" if to.right is None else ", which is right" if to.right else ", which is wrong"
        return f"{leading(sides, to.said)} is said at {clock_text(to.t)}{verdict}"
    if isinstance(of, ScoreIs) and to is None:
        return f"no score of this bout is said at {clock_text(of.t)}"
    if to is None:
        return f"not: {_at(of, sides)}"
    return {"accept": "confirmed: ", "add": "added: "}.get(decision.do, "") + _at(to, sides)


def _at(subject: Subject | None, sides: Sides) -> str:
    match subject:
        case EventIs():
            off = ", overturned" if subject.status == "overturned" else ""
            return f"{_event(subject, sides)} at {clock_text(subject.t)}{off}"
        case ChallengeIs():
            outcome = "result unknown" if subject.outcome == "unknown" else subject.outcome
            by = f"{sides.whose(subject.by)} challenge"
            return f"{by} at {clock_text(subject.t)}, {outcome}"
        case SidesAre():
            return f"red {subject.red}, blue {subject.blue}"
        case ResultIs():
            winner = sides.name(subject.winner) if subject.winner else "nobody"
            return f"{winner} wins {won_by_text(subject.by)}".rstrip()
    return ""


def _event(event: EventIs, sides: Sides) -> str:
    return entry_text(sides, event.kind, event.corner, event.against, event.points)


def _changed(of: EventIs, to: EventIs, sides: Sides) -> str:
    """How an event really is, as far as it differs."""
    parts = []
    if _event(of, sides) != _event(to, sides):
        parts.append(_event(to, sides))
    if of.status != to.status:
        parts.append("overturned" if to.status == "overturned" else "not overturned")
    if of.t != to.t:
        parts.append(f"at {clock_text(to.t)}")
    return ", ".join(parts) or _event(to, sides)
