"""Sentences on how another log differs from the best one."""

from __future__ import annotations

from collections.abc import Sequence

from extract.checks.words import award_text, kind_text, moment_text, score_text
from extract.log import BoutLog
from extract.log.compare import OtherLog, VerdictChange
from extract.log.hypothesis import ReadingEvent, ReviewRun
from extract.mentions import Heard
from extract.rules.base import Corner
from extract.transcript.cue import Order

#: How many stated scores a sentence names. If there are more, it gives their number.
_NAMED = 2


def tell_differences(
    other: OtherLog, log: BoutLog, heard: Heard, winner: Corner | None, by: str
) -> tuple[str, ...]:
    """One sentence for each award or challenge that differs, by time, with the verdicts that change after it. Then
    one on the end if that differs. ``winner`` and ``by`` say how the other log ends."""
    heads: list[tuple[float, str]] = []
    best, reading = log.readings[0], other.reading
    for ours, theirs in other.differences.events:
        old = None if ours is None else (best.times[ours], best.hypothesis.entries[ours])
        new = None if theirs is None else (reading.times[theirs], reading.hypothesis.entries[theirs])
        heads.append(_event_head(old, new, log.order))
    heads += [_review_head(ours, theirs, log.order) for ours, theirs in other.differences.reviews]
    heads.sort(key=lambda head: head[0])
    changes = other.differences.verdicts
    out: list[str] = []
    first = [c for c in changes if not heads or _said_at(c) < heads[0][0]]
    if first:
        out.append(_verdicts(first, heard, log.order))
    for n, (t, head) in enumerate(heads):
        until = heads[n + 1][0] if n + 1 < len(heads) else float("inf")
        after = [c for c in changes if t <= _said_at(c) < until]
        out.append(f"{head}; then {_verdicts(after, heard, log.order)}" if after else head)
    if other.differences.result:
        won = f"{winner} wins by {by}" if winner else "with no winner"
        out.append(f"ends {score_text(reading.hypothesis.score)}, {won}")
    return tuple(out)


def event_text(entry: ReadingEvent) -> str:
    """An award or a warning in words: "takedown blue, 2", "stalling warning against red"."""
    move = entry.move
    if not move.points and move.against is not None:
        return f"{kind_text(move.kind)} against {move.against}"
    return award_text(move.kind, move.corner, move.points)


def _event_head(
    old: tuple[float, ReadingEvent] | None, new: tuple[float, ReadingEvent] | None, order: Order | None
) -> tuple[float, str]:
    if new is None:
        assert old is not None
        return old[0], f"without {event_text(old[1])} at {moment_text(old[0], order)}"
    t, entry = new
    text = f"{event_text(entry)} at {moment_text(t, order)}"
    overturned = entry.overturned is not None
    if old is None:
        return t, f"with {text}{', overturned' if overturned else ''}"
    same = event_text(old[1]) == event_text(entry)
    fate = "overturned" if overturned else "not overturned"
    if same:
        return old[0], f"{text} is {fate}"
    changed = f", {fate}" if overturned != (old[1].overturned is not None) else ""
    return old[0], f"{text} instead of {event_text(old[1])}{changed}"


def _review_head(old: ReviewRun | None, new: ReviewRun | None, order: Order | None) -> tuple[float, str]:
    if new is None:
        assert old is not None
        return old.t, f"without the challenge by {old.by} at {moment_text(old.t, order)}"
    text = f"the challenge by {new.by} at {moment_text(new.t, order)}"
    outcome = "open" if new.outcome == "unknown" else new.outcome
    if old is None:
        return new.t, f"with {text}, {outcome}"
    if old.by != new.by:
        return old.t, f"{text}, {outcome}, instead of one by {old.by}"
    return old.t, f"{text} is {outcome}"


def _said_at(change: VerdictChange) -> float:
    said = change.theirs or change.ours
    assert said is not None
    return said.t


def _verdicts(changes: Sequence[VerdictChange], heard: Heard, order: Order | None) -> str:
    """What becomes of the stated scores: "3-2 at 5:12 agrees"."""
    fates: dict[tuple[str, str], list[str]] = {}
    for change in changes:
        said = change.theirs or change.ours
        assert said is not None
        if change.theirs is None:
            fate = ("is no score of this bout", "are no scores of this bout")
        elif change.theirs.verdict == "agrees":
            fate = ("agrees", "agree")
        else:
            fate = ("disagrees", "disagree")
        at = moment_text(heard.said_at(heard.mentions[change.mention]), order)
        fates.setdefault(fate, []).append(f"{score_text(said.said)} at {at}")
    return ", ".join(f"{_listed(text)} {fate[len(text) > 1]}" for fate, text in fates.items())


def _listed(text: Sequence[str]) -> str:
    if len(text) > _NAMED:
        return f"{', '.join(text[:_NAMED])} and {len(text) - _NAMED} more"
    return " and ".join(text)
