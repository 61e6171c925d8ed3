"""The doubts of a log as questions for a person, in words."""

from __future__ import annotations

from collections.abc import Mapping

from extract.checks.sides import Sides, leading, winning_text
from extract.checks.words import won_by_text
from extract.log import BoutLog
from extract.log.doubts import Answer, Ending, OpenQuestion, doubts
from extract.log.hypothesis import ReadingEvent, ReviewRun, Said
from extract.record.alternatives import event_text
from extract.record.model import Doubt, Guess
from extract.transcript.cue import hundredths

#: A question is asked only if its answer is expected to correct at least this much. A few in a hundred of the
#: plainest entries are wrong too, and nobody would go through all of those.
_WORTH_ASKING = 0.06
#: How many answers are offered, and the least share of one.
_OFFERED, _LIKELY = 3, 0.01


def tell_doubts(log: BoutLog, statements: Mapping[int, str], sides: Sides) -> tuple[Doubt, ...]:
    """What is worth asking, the greatest gain first. ``statements`` are the ids of the stated scores by mention."""
    return tuple(
        Doubt(
            _ref(doubt, log, statements),
            doubt.about,
            hundredths(doubt.t),
            round(doubt.gain, 4),
            round(doubt.share, 4),
            _text(doubt, doubt.ours, sides),
            tuple(
                Guess(round(other.share, 4), _text(doubt, other.answer, sides), _to(doubt, other.answer))
                for other in doubt.others[:_OFFERED]
                if other.share >= _LIKELY
            ),
        )
        for doubt in doubts(log)
        if doubt.gain >= _WORTH_ASKING and not _decided(doubt, log)
    )


def _ref(doubt: OpenQuestion, log: BoutLog, statements: Mapping[int, str]) -> str | None:
    if doubt.at is None:
        return None
    if doubt.about == "score":
        return statements.get(log.taken[doubt.at].said.mention)
    return f"{'e' if doubt.about == 'event' else 'h'}{doubt.at + 1}"


def _decided(doubt: OpenQuestion, log: BoutLog) -> bool:
    """Whether a person has decided it. Other doubts about it are other questions."""
    if doubt.about == "result":
        return log.facts.outcome is not None
    if doubt.at is None:
        return False
    if doubt.about == "score":
        return log.taken[doubt.at].said.mention in log.facts.meant
    if doubt.about == "challenge":
        return log.best.reviews[doubt.at].fact is not None
    return doubt.about == "event" and log.events[doubt.at].entry.fact is not None


def _text(doubt: OpenQuestion, answer: Answer, sides: Sides) -> str:
    match answer:
        case ReadingEvent():
            return event_text(answer, sides) + (", overturned" if answer.overturned is not None else "")
        case Said():
            said, score = leading(sides, answer.said), leading(sides, answer.board)
            return f"{said} is right" if answer.verdict == "agrees" else f"{said} is wrong: it was {score}"
        case ReviewRun():
            outcome = "result unknown" if answer.outcome == "unknown" else answer.outcome
            return f"challenge by {sides.name(answer.by)}, {outcome}"
        case Ending():
            winner, by = (None, "unknown") if answer.outcome is None else answer.outcome
            return winning_text(sides, winner, answer.score, won_by_text(by))
    return {"score": "no score of this bout", "challenge": "no challenge"}.get(doubt.about, "did not happen")


def _to(doubt: OpenQuestion, answer: Answer) -> Mapping[str, str | int | float | bool | None] | None:
    """What a decision has to say for this answer."""
    match answer:
        case ReadingEvent():
            move = answer.move
            status = "stands" if answer.overturned is None else "overturned"
            t = hundredths(doubt.t)
            who = move.corner or move.against
            return {"t": t, "kind": move.kind, "who": who, "points": move.points, "status": status}
        case Said():
            return {"right": answer.verdict == "agrees"}
        case ReviewRun():
            return {"t": hundredths(answer.t), "by": answer.by, "outcome": answer.outcome}
        case Ending():
            return {}
    return {"said": None} if doubt.about == "score" else None
