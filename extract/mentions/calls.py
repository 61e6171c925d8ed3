"""Finds calls: points given, kinds named, and whom they are for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extract.lexicon import small_words
from extract.mentions.call_kinds import kind_parts
from extract.mentions.call_parts import AGAINST, Part
from extract.mentions.call_points import point_parts
from extract.mentions.model import CallMention, Stance, Tie
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.base import WARNINGS, Corner
from extract.rules.kinds import KINDS

#: What words of a warning mean where they come with points.
_WITH_POINTS = {kind.name: kind.with_points for kind in KINDS.values() if kind.with_points is not None}
_STRENGTH = {"attached": 3, "clause": 2, "near": 1, "none": 0}
_TELLING = small_words("telling")
_INDEFINITE = small_words("indefinite")
_POINTING = small_words("pointing")
#: Between what happened and the score of a typed note.
_BREAKS = frozenset({",", ";", "(", "->"})


def find_calls(talk: Talk) -> list[CallMention]:
    """All calls in order. Pieces of one call that stand together ("Takedown! Two points, blue") become one."""
    parts = sorted([*point_parts(talk), *kind_parts(talk)], key=lambda p: (p.start, p.end))
    out: list[CallMention] = []
    group: list[Part] = []
    for part in parts:
        if group and _belongs(talk, group, part):
            group.append(part)
            continue
        # A hold belongs to the points that follow it in its segment, not to the call before.
        led_by: list[Part] = []
        while part.points is not None and len(group) > 1 and _leads_on(talk, group, part):
            led_by.insert(0, group.pop())
        if group:
            out.extend(_close(talk, group))
        group = [*led_by, part]
    if group:
        out.extend(_close(talk, group))
    return out


def _leads_on(talk: Talk, group: list[Part], part: Part) -> bool:
    """Whether the last part of a group is a hold that stands in the segment of ``part``, where the group began in
    another."""
    last = group[-1]
    here = talk.segment_of[part.start]
    return last.strength == "hold" and talk.segment_of[last.start] == here != talk.segment_of[group[0].start]


def _fits(group: list[Part], part: Part) -> bool:
    points = {p.points for p in group if p.points is not None}
    kinds = {k for p in group if p.strength != "hold" for k in p.kinds}
    if part.points is not None and (points or "fall" in kinds):
        return False
    if "fall" in part.kinds and points:
        return False
    return not (part.kinds and part.strength != "hold" and kinds and not kinds & set(part.kinds))


def _belongs(talk: Talk, group: list[Part], part: Part) -> bool:
    """Whether a part goes on with the call that the group makes."""
    last = group[-1]
    if part.start < last.end:
        return _fits(group, part)
    if talk.document.notes and talk.lines(last.start, part.start):
        return False
    gap = part.start - last.end
    same = talk.segment_of[last.start] == talk.segment_of[part.start]
    apart = talk.time(part.start) - talk.time(group[0].start)
    points = {p.points for p in group if p.points is not None}
    if part.points is not None and points:
        # "Two! Two for red!": said over again at once, with nothing that makes it a further award.
        return (
            part.points in points
            and not part.more
            and gap <= 3
            and (part.tie == "attached") != (last.tie == "attached")
            and apart < 3
        )
    if not same and points and part.kinds and any(p.kinds for p in group):
        # A call that has its points and its hold is told; a kind in the next sentence is another one's.
        return False
    if not _fits(group, part) or talk.asked(last.start) != talk.asked(part.start):
        return False
    if gap > (_reach(group) if same else 5) or apart > 6:
        return False
    ties = [p for p in (*group, part) if p.tie == "attached" and p.corner is not None]
    fault = any(AGAINST & set(p.kinds) for p in ties) and not any(p.given_to for p in ties)
    done_to = any(p.given_to and p.kinds for p in ties)
    return len({p.corner for p in ties}) <= 1 or part.strength == "hold" or fault or done_to


def _signs(talk: Talk, start: int, end: int) -> tuple[str, ...]:
    """What around a call speaks for an award in this bout, or against it, each sign by its name."""
    lo, hi = talk.segment(start)
    wide = not talk.document.punctuated
    reach = (
        (max(lo - 4, start - 12), min(hi + 4, end + 12)) if wide else (max(lo, start - 12), min(hi, end + 12))
    )
    out = []
    if talk.terms.any("elsewhere", *reach) or talk.terms.any("record", *reach):
        out.append("words of another bout")
    if talk.words[hi - 1] == "!":
        out.append("exclaimed")
    if talk.opens(start):
        out.append("opens a phrase")
    if talk.closes(end):
        out.append("closes a phrase")
    if talk.terms.any("challenge_word", *reach):
        out.append("words of a challenge")
    return tuple(out)


def _reach(group: list[Part]) -> int:
    """How many words apart two parts of one call may stand: a penalty is explained at more length."""
    return 14 if any(k in AGAINST for p in group for k in p.kinds) else 9


def _close(talk: Talk, group: list[Part]) -> Iterator[CallMention]:
    """The call that a group of parts makes, if it makes one."""
    given = next((p for p in group if p.points is not None), None)
    named = [p for p in group if p.kinds and p.strength != "hold"]
    holds = [p for p in group if p.strength == "hold"]
    if given is None and not named:
        yield from _hold_called(talk, holds)
        return
    corner, tie = _strongest([p for p in group if p.strength != "hold" or p.given_to] or group)
    if tie == "none" and holds:
        corner, tie = _strongest(holds)
    core = [p for p in group if p.strength != "hold"]
    start, end = core[0].start, core[-1].end
    if given is not None:
        # Points with a word of warning are the points that come of it.
        named = [replace(p, kinds=tuple(_WITH_POINTS.get(k, k) for k in p.kinds)) for p in named]
    kinds = tuple(dict.fromkeys(k for p in named for k in p.kinds)) or tuple(
        dict.fromkeys(k for p in holds for k in p.kinds)
    )
    stances = [stance_of(talk, p.start, p.end) for p in core]
    stance: Stance = "asserted" if "asserted" in stances and given is not None else stances[0]
    grade = _grade(talk, given, named, bool(holds))
    points = given.points if given is not None else None
    more, signs = any(p.more for p in group), _signs(talk, start, end)
    yield CallMention(start, end, talk.time(start), stance, grade, kinds, points, corner, tie, more, signs)


def _hold_called(talk: Talk, holds: list[Part]) -> Iterator[CallMention]:
    """A hold alone is a call where it heads a phrase and names who did it ("Gut wrench, blue!")."""
    for p in holds:
        alone = talk.opens(p.start) and talk.ref_after(p.end, 1) is not None
        if p.tie == "attached" and (alone or _row_of_sheet(talk, p)):
            stance, signs = stance_of(talk, p.start, p.end), _signs(talk, p.start, p.end)
            yield CallMention(
                p.start,
                p.end,
                talk.time(p.start),
                stance,
                "hold called",
                p.kinds,
                None,
                p.corner,
                p.tie,
                False,
                signs,
            )
            return


def _row_of_sheet(talk: Talk, p: Part) -> bool:
    """Whether a hold is all that a typed note tells between somebody's name and the score: "R gut wrench 4-0"."""
    if not talk.document.notes:
        return False
    lo, _ = talk.segment(p.start)
    before = talk.ref_before(p.start, 0)
    follows = (
        p.end + 1 if p.end < len(talk) and talk.closes(p.end) and talk.words[p.end] in _BREAKS else p.end
    )
    return before is not None and before.start == lo and follows < len(talk) and _is_score(talk, follows)


def _is_score(talk: Talk, i: int) -> bool:
    """Whether a score begins at word ``i``, "4-0" or "red 4"; two words of a name at most stand before it."""
    _, hi = talk.segment(i)
    numbers = (talk.number_at(k) for k in range(i, min(i + 3, hi)))
    return any(k is not None and k in talk.taken for k in numbers)


def _strongest(parts: list[Part]) -> tuple[Corner | None, Tie]:
    best: tuple[Corner | None, Tie] = (None, "none")
    fault = next((p for p in parts if p.tie == "attached" and p.corner and AGAINST & set(p.kinds)), None)
    if fault is not None and not any(p.given_to for p in parts):
        # "Caution against blue, one point": the name beside the points is the offender's.
        return fault.corner, "attached"
    doer = next((p for p in parts if p.given_to and p.kinds), None)
    if doer is not None and not any(p.given_to and p.points is not None for p in parts):
        # "Red throws blue, four": the name beside the points is who it was done to.
        return doer.corner, doer.tie
    for part in parts:
        if (part.corner is not None and _STRENGTH[part.tie] > _STRENGTH[best[1]]) or (
            part.corner is not None and part.points is not None and _STRENGTH[part.tie] == _STRENGTH[best[1]]
        ):
            best = (part.corner, part.tie)
    return best


def _grade(talk: Talk, given: Part | None, named: list[Part], holds: bool) -> str:
    if given is not None and named:
        return "points and kind"
    if given is not None:
        return given.strength + (" hold" if holds and given.strength == "points+kind" else "")
    part = next((p for p in named if p.strength == "call"), named[0])
    base = "kind" if part.strength == "call" else "verb"
    before = talk.previous_word(part.start)
    if set(part.kinds) <= WARNINGS and part.tie in ("attached", "clause"):
        return f"{base} called"
    if before in _TELLING:
        return f"{base} told"
    if before == "another":
        return f"{base} another"
    if (
        before in _INDEFINITE
        and "point" not in talk.words[part.start : part.end]
        and not talk.terms.any("gives", part.start - 3, part.start - 1)
    ):
        return f"{base} indefinite"
    alone = talk.opens(part.start)
    if part.tie == "attached" or alone or before in _POINTING:
        return f"{base} called"
    return f"{base} in passing"
