"""Finds calls: points given, kinds named, and whom they are for."""

from __future__ import annotations

from collections.abc import Sequence

from extract.mentions.call_groups import corner_of, groups
from extract.mentions.call_kinds import kind_parts
from extract.mentions.call_parts import CallPart
from extract.mentions.call_points import point_parts
from extract.mentions.decide import decide
from extract.mentions.model import CallMention, Stance
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.kinds import KINDS

#: What words of a warning mean where they come with points.
_WITH_POINTS = {kind.name: kind.with_points for kind in KINDS.values() if kind.with_points is not None}


def find_calls(talk: Talk) -> list[CallMention]:
    """All calls in order. Pieces of one call that stand together ("Takedown! Two points, blue") become one."""
    made = (_call(talk, group) for group in groups(talk, [*point_parts(talk), *kind_parts(talk)]))
    return [call for call in made if call is not None]


def _call(talk: Talk, group: Sequence[CallPart]) -> CallMention | None:
    """The call that a group of parts makes, if it makes one."""
    core = [p for p in group if p.strength != "hold"]
    holds = [p for p in group if p.strength == "hold"]
    if not core:
        return _hold_called(talk, holds)
    given = next((p for p in core if p.points is not None), None)
    named = [p for p in core if p.kinds]
    start, end = core[0].start, core[-1].end
    corner, tie = corner_of(group)
    grade, row = _grade_of_points(given, named, holds) if given is not None else _grade_of_kinds(talk, named)
    return CallMention(
        start,
        end,
        talk.time(start),
        _stance(talk, core, given),
        grade,
        _kinds(named or holds, with_points=given is not None),
        given.points if given is not None else None,
        corner,
        tie,
        any(p.more for p in group),
        _signs(talk, start, end),
        talk.contexts.at(talk, start),
        row=row,
    )


def _stance(talk: Talk, core: Sequence[CallPart], given: CallPart | None) -> Stance:
    """How a call is said: as its first part, but points that are given in any part are given."""
    stances = [stance_of(talk, p.start, p.end) for p in core]
    return "asserted" if "asserted" in stances and given is not None else stances[0]


def _kinds(parts: Sequence[CallPart], *, with_points: bool) -> tuple[str, ...]:
    """The kinds that parts name, each once. Points with a word of warning are the points that come of it."""
    kinds = dict.fromkeys(k for p in parts for k in p.kinds)
    return tuple(dict.fromkeys(_WITH_POINTS.get(k, k) for k in kinds)) if with_points else tuple(kinds)


def _hold_called(talk: Talk, holds: Sequence[CallPart]) -> CallMention | None:
    """The call that a hold alone is, as the rows have it."""
    for p in holds:
        hit = decide(talk, "hold call", p.start, p.end, {"tie": p.tie})
        if hit is None or ("n" in hit.parts and talk.number_at(hit.parts["n"][0]) not in talk.taken):
            continue
        return CallMention(
            p.start,
            p.end,
            talk.time(p.start),
            stance_of(talk, p.start, p.end),
            "hold called",
            p.kinds,
            None,
            p.corner,
            p.tie,
            False,
            _signs(talk, p.start, p.end),
            talk.contexts.at(talk, p.start),
            row=hit.row.id,
        )
    return None


def _grade_of_points(
    given: CallPart, named: Sequence[CallPart], holds: Sequence[CallPart]
) -> tuple[str, str]:
    """The sort of words that points are said in, and the row that has it."""
    if named:
        return "points and kind", given.row
    return given.strength + (" hold" if holds and given.strength == "points+kind" else ""), given.row


def _grade_of_kinds(talk: Talk, named: Sequence[CallPart]) -> tuple[str, str]:
    """The sort of words that name a kind without points, and the row that has it."""
    part = next((p for p in named if p.strength == "call"), named[0])
    hit = decide(talk, "call grade", part.start, part.end, {"tie": part.tie, "of": part.sort})
    base = "kind" if part.strength == "call" else "verb"
    form, row = (hit.row.form, hit.row.id) if hit is not None else ("in passing", "")
    return f"{base} {form}", row


def _signs(talk: Talk, start: int, end: int) -> tuple[str, ...]:
    """What around a call speaks for an award in this bout, or against it, each sign by its name."""
    first_clause = start, min(end, talk.segment(start)[1])
    signs = talk.rows.fitting("call sign", talk, *first_clause)
    further = talk.rows.fitting("whole call sign", talk, start, end)
    return tuple(dict.fromkeys(hit.row.text("sign") for hit in (*signs, *further)))
