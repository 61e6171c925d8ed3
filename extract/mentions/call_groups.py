"""Puts the pieces of one call together: "Takedown! Two points, blue" is one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from extract.mentions.call_parts import AGAINST, CallPart
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.rules.base import Corner

_SURENESS: dict[Tie, int] = {"attached": 3, "clause": 2, "near": 1, "none": 0}


def groups(talk: Talk, parts: Iterable[CallPart]) -> Iterator[list[CallPart]]:
    """The parts of each call."""
    group: list[CallPart] = []
    for part in sorted(parts, key=lambda p: (p.start, p.end)):
        if group and _goes_on(talk, group, part):
            group.append(part)
            continue
        # A hold belongs to the points that follow it in its segment, not to the call before.
        led_by: list[CallPart] = []
        while part.points is not None and len(group) > 1 and _leads_on(talk, group, part):
            led_by.insert(0, group.pop())
        if group:
            yield group
        group = [*led_by, part]
    if group:
        yield group


def _leads_on(talk: Talk, group: Sequence[CallPart], part: CallPart) -> bool:
    """Whether the last part of a group is a hold that stands in the segment of ``part``, where the group began in
    another."""
    last = group[-1]
    here = talk.segment_of[part.start]
    return last.strength == "hold" and talk.segment_of[last.start] == here != talk.segment_of[group[0].start]


def _points(parts: Iterable[CallPart]) -> set[int]:
    return {p.points for p in parts if p.points is not None}


def _kinds(parts: Iterable[CallPart]) -> set[str]:
    """The kinds that are named: a hold may come to many."""
    return {kind for p in parts if p.strength != "hold" for kind in p.kinds}


def _goes_on(talk: Talk, group: Sequence[CallPart], part: CallPart) -> bool:
    """Whether a part goes on with the call that the group makes."""
    last, points = group[-1], _points(group)
    if part.start < last.end:
        return _one_thing(group, part)
    if talk.document.notes and talk.lines(last.start, part.start):
        return False
    if part.points is not None and points:
        return _said_again(talk, group, part)
    told = points and part.kinds and any(p.kinds for p in group)
    if told and talk.segment_of[last.start] != talk.segment_of[part.start]:
        # A call that has its points and its hold is told; a kind in the next sentence is another one's.
        return False
    if not _one_thing(group, part) or talk.asked(last.start) != talk.asked(part.start):
        return False
    fault = any(AGAINST & set(p.kinds) for p in group)
    return _beside(talk, group, part, "fault" if fault else "award") and _for_one(group, part)


def _one_thing(group: Sequence[CallPart], part: CallPart) -> bool:
    """Whether a part may be of the same award as the group: points are said once, a fall has none, and two kinds are
    two awards."""
    points, kinds = _points(group), _kinds(group)
    named = _kinds([part])
    if part.points is not None and (points or "fall" in kinds):
        return False
    return not ("fall" in part.kinds and points) and not (named and kinds and not kinds & named)


def _said_again(talk: Talk, group: Sequence[CallPart], part: CallPart) -> bool:
    """Whether the same points are said over at once ("Two! Two for red!"), with nothing that makes them a further
    award."""
    named_once = (part.tie == "attached") != (group[-1].tie == "attached")
    again = part.points in _points(group) and not part.more and named_once
    return again and _beside(talk, group, part, "again")


def _beside(talk: Talk, group: Sequence[CallPart], part: CallPart, of: str) -> bool:
    """Whether a part is near enough to the group: with points ``again``, after a ``fault``, or else an ``award``."""
    apart = talk.time(part.start) - talk.time(group[0].start)
    joins = talk.rows.fitting("call join", talk, group[-1].end, part.start)
    return any(of in join.row.texts("of") and apart <= join.row.number("seconds") for join in joins)


def _for_one(group: Sequence[CallPart], part: CallPart) -> bool:
    """Whether all that names a corner may mean the same award: a fault and what it gives name two, and so does what one
    has done to the other."""
    ties = [p for p in (*group, part) if p.tie == "attached" and p.corner is not None]
    if len({p.corner for p in ties}) <= 1 or part.strength == "hold":
        return True
    fault = any(AGAINST & set(p.kinds) for p in ties) and not any(p.given_to for p in ties)
    return fault or any(p.given_to and p.kinds for p in ties)


def corner_of(group: Sequence[CallPart]) -> tuple[Corner | None, Tie]:
    """The corner that a call credits, and how it is known. Holds say it only where nothing else does."""
    corner, tie = _surest([p for p in group if p.strength != "hold" or p.given_to] or group)
    holds = [p for p in group if p.strength == "hold"]
    return _surest(holds) if tie == "none" and holds else (corner, tie)


def _surest(parts: Sequence[CallPart]) -> tuple[Corner | None, Tie]:
    """The corner that is surest of those which parts name; of two, that of the points said last."""
    told = _fault(parts) or _doer(parts)
    if told is not None:
        return told.corner, told.tie
    sureness = max(_SURENESS[p.tie] for p in parts)
    surest = [p for p in parts if _SURENESS[p.tie] == sureness]
    best = next((p for p in reversed(surest) if p.points is not None), surest[0])
    return best.corner, best.tie


def _fault(parts: Sequence[CallPart]) -> CallPart | None:
    """ "Caution against blue, one point": the name beside the points is the offender's."""
    given = any(p.given_to for p in parts)
    faults = (p for p in parts if p.tie == "attached" and AGAINST & set(p.kinds))
    return None if given else next(faults, None)


def _doer(parts: Sequence[CallPart]) -> CallPart | None:
    """ "Red throws blue, four": the name beside the points is who it was done to."""
    given = any(p.given_to and p.points is not None for p in parts)
    return None if given else next((p for p in parts if p.given_to and p.kinds), None)
