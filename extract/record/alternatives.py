"""Sentences on how another log differs from the best one."""

from __future__ import annotations

from collections.abc import Sequence

from extract.checks.sides import Sides, entry_text, leading, winning_text
from extract.checks.words import moment_text, won_by_text
from extract.log import BoutLog
from extract.log.compare import OtherLog, VerdictChange
from extract.log.hypothesis import ReadingEvent, ReviewRun
from extract.mentions import Heard
from extract.rules.base import Corner
from extract.transcript.cue import Order

#: How many stated scores a sentence names. If there are more, it gives their number.
_NAMED = 2


def tell_differences(
    other: OtherLog, log: BoutLog, heard: Heard, sides: Sides, winner: Corner | None, by: str
) -> tuple[str, ...]:
    """One sentence for each event or challenge that differs, by time, with the verdicts that change after it. Then
    one on the end if that differs. ``winner`` and ``by`` say how the other log ends."""
    heads: list[tuple[float, str]] = []
    best, reading = log.readings[0], other.reading
    for ours, theirs in other.differences.events:
        old = None if ours is None else (best.times[ours], best.hypothesis.entries[ours])
        new = None if theirs is None else (reading.times[theirs], reading.hypothesis.entries[theirs])
        heads.append(_event_head(old, new, sides, log.order))
    heads += [_review_head(ours, theirs, sides, log.order) for ours, theirs in other.differences.reviews]
    heads.sort(key=lambda head: head[0])
    changes = other.differences.verdicts
    out: list[str] = []
    first = [c for c in changes if not heads or _said_at(c) < heads[0][0]]
    if first:
        out.append(_verdicts(first, heard, sides, log.order))
    for n, (t, head) in enumerate(heads):
        until = heads[n + 1][0] if n + 1 < len(heads) else float("inf")
        after = [c for c in changes if t <= _said_at(c) < until]
        out.append(f"{head}; then {_verdicts(after, heard, sides, log.order)}" if after else head)
    if other.differences.result:
        out.append(f"at the end {winning_text(sides, winner, reading.hypothesis.score, won_by_text(by))}")
    return tuple(out)


def event_text(entry: ReadingEvent, sides: Sides) -> str:
    """Points or a warning in words: "Brackett's takedown (2)", "the stalling warning against Varnholt"."""
    move = entry.move
    return entry_text(sides, move.kind, move.corner, move.against, move.points)


def _event_head(
    old: tuple[float, ReadingEvent] | None,
    new: tuple[float, ReadingEvent] | None,
    sides: Sides,
    order: Order | None,
) -> tuple[float, str]:
    if new is None:
        assert old is not None
        return old[0], f"without {event_text(old[1], sides)} at {moment_text(old[0], order)}"
    t, entry = new
    text = f"{event_text(entry, sides)} at {moment_text(t, order)}"
    overturned = entry.overturned is not None
    if old is None:
        return t, f"with {text}{', overturned' if overturned else ''}"
    same = event_text(old[1], sides) == event_text(entry, sides)
    fate = "overturned" if overturned else "not overturned"
    if same:
        return old[0], f"{text} is {fate}"
    changed = f", {fate}" if overturned != (old[1].overturned is not None) else ""
    return old[0], f"{text} instead of {event_text(old[1], sides)}{changed}"


def _review_head(
    old: ReviewRun | None, new: ReviewRun | None, sides: Sides, order: Order | None
) -> tuple[float, str]:
    if new is None:
        assert old is not None
        return old.t, f"without {sides.whose(old.by)} challenge at {moment_text(old.t, order)}"
    text = f"{sides.whose(new.by)} challenge at {moment_text(new.t, order)}"
    outcome = "result unknown" if new.outcome == "unknown" else new.outcome
    if old is None:
        return new.t, f"with {text}, {outcome}"
    if old.by != new.by:
        return old.t, f"{text}, {outcome}, instead of one by {sides.name(old.by)}"
    return old.t, f"{text} is {outcome}"


def _said_at(change: VerdictChange) -> float:
    said = change.theirs or change.ours
    assert said is not None
    return said.t


def _verdicts(changes: Sequence[VerdictChange], heard: Heard, sides: Sides, order: Order | None) -> str:
    """What becomes of the stated scores: "3-2 Varnholt at 5:12 is right"."""
    fates: dict[tuple[str, str], list[str]] = {}
    for change in changes:
        said = change.theirs or change.ours
        assert said is not None
        if change.theirs is None:
            fate = ("is no score of this bout", "are no scores of this bout")
        elif change.theirs.verdict == "agrees":
            fate = ("is right", "are right")
        else:
            fate = ("is wrong", "are wrong")
        at = moment_text(heard.said_at(heard.mentions[change.mention]), order)
        fates.setdefault(fate, []).append(f"{leading(sides, said.said)} at {at}")
    return ", ".join(f"{_listed(text)} {fate[len(text) > 1]}" for fate, text in fates.items())


def _listed(text: Sequence[str]) -> str:
    if len(text) > _NAMED:
        return f"{', '.join(text[:_NAMED])} and {len(text) - _NAMED} more"
    return " and ".join(text)
