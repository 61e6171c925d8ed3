"""Finds calls: points given, kinds named, and whom they are for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from extract.mentions.model import CallMention, Stance, Tie
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.mentions.terms import Term
from extract.rules.base import Corner, other

#: Kinds whose named corner is the one warned or penalised, not the one credited.
AGAINST = frozenset(
    {
        "passivity_warning",
        "activity_clock_start",
        "passivity_point",
        "caution",
        "stalling_warning",
        "stalling_point",
        "penalty_point",
    }
)
_GIVING = frozenset(["for", "to"])
_NO_POINTS_BEFORE = frozenset(
    ["number", "mat", "period", "no", "#", "seed", "round", "top", "by", "up", "down", "within", "under", "over", "about", "first", "other", "these", "those", "inside"]
)
_OPENERS = frozenset(
    {
        "",
        ",",
        "-",
        "and",
        "yes",
        "yeah",
        "oh",
        "ok",
        "okay",
        "so",
        "the",
        "a",
        "that's",
        "'s",
        "is",
        "another",
        "boom",
        "nope",
        "no",
        "it",
        "be",
    }
)
_WITH_POINTS = {
    "passivity_warning": "passivity_point",
    "activity_clock_start": "passivity_point",
    "stalling_warning": "stalling_point",
}
_STRENGTH = {"attached": 3, "clause": 2, "near": 1, "none": 0}


@dataclass(frozen=True, slots=True)
class _Part:
    """A piece of a call: points or a kind, with the corner credited as this piece has it."""

    start: int
    end: int
    kinds: tuple[str, ...]
    points: int | None
    strength: str
    corner: Corner | None
    tie: Tie
    more: bool = False


def find_calls(talk: Talk) -> list[CallMention]:
    """All calls in order. Pieces of one call that stand together ("Takedown! Two points, blue") become one."""
    parts = sorted([*_points(talk), *_kinds(talk)], key=lambda p: (p.start, p.end))
    out: list[CallMention] = []
    group: list[_Part] = []
    for part in parts:
        if group and _belongs(talk, group, part):
            group.append(part)
            continue
        if group:
            out.extend(_close(talk, group))
        group = [part]
    if group:
        out.extend(_close(talk, group))
    return out


def _points(talk: Talk) -> Iterator[_Part]:
    """Numbers that are points given."""
    for number in talk.numbers:
        if not talk.free(number) or number.form in ("clock", "zero") or not 1 <= number.value <= 5:
            continue
        a, b = number.start, number.end
        if talk.terms.at("tie_up", a) or talk.previous_word(a) in _NO_POINTS_BEFORE:
            continue
        part = _points_at(talk, a, b, number.value, sound=number.form == "homophone")
        if part is not None:
            yield part


def _points_at(talk: Talk, a: int, b: int, value: int, *, sound: bool) -> _Part | None:
    terms, words = talk.terms, talk.words
    lo, hi = talk.segment(a)
    end = b
    more = terms.at("more", a - 1) is not None and a > lo
    hyphen = b + 1 if words[b : b + 1] == ["-"] else b
    point = terms.starting("points_word", hyphen)
    if point is not None:
        if (
            terms.starting("margin_noun", hyphen)
            or terms.any("margin_by", a - 2, a)
            or talk.between(a - 1, a) == "-"
        ):
            return None
        end = point.end
    follows = terms.starting("more", end)
    if follows is not None and talk.between(follows.start, follows.end) != "one more time":
        more, end = True, follows.end
        late = terms.starting("points_word", end)
        point, end = (late, late.end) if late is not None else (point, end)
    corner, tie = _given_to(talk, a, end)
    nxt = talk.next_word(end)
    kind_near = any(
        t.entry.strength in ("call", "verb", "hold")
        for t in terms.within("kind", max(lo, a - 4), min(hi, end + 5))
    )
    gives = terms.at("gives", a - 1) is not None or (
        talk.previous_word(a) in ("the", "a", "him", "her", "blue", "red")
        and terms.at("gives", a - 2) is not None
    )
    fingers = terms.any("fingers", end, end + 3)
    alone = talk.previous_word(a) in _OPENERS and (talk.closes(end) or nxt in ("for", "to"))
    if sound:
        # A homophone is points only where a determiner or a verb of giving stands before it and nothing else fits.
        gives = (
            gives
            or talk.previous_word(a) in ("the", "'s")
            or (talk.words[a] == "won" and kind_near and talk.next_word(b) in ("for", "blue", "red"))
        )
        after_corner = tie == "attached" and (
            talk.closes(end) or talk.ref_after(end, 1) is not None or nxt in ("to", "for")
        )
        if (
            not (gives and (talk.closes(end) or after_corner))
            and not (after_corner and talk.words[a] in ("won", "too") and kind_near)
            and not (talk.previous_word(a) == "," and nxt == "to" and tie == "attached")
        ):
            return None
    if terms.starting("not_score", end) or terms.starting("minute", end) or terms.starting("second", end):
        return None
    if point is not None:
        strength = "points"
    elif tie == "attached" and (nxt in _GIVING or talk.ref_after(end, 1) is not None or talk.closes(end)):
        strength = "points+corner"
    elif (
        value == 1
        and words[a] != "1"
        and not (
            (kind_near
            and (gives or more or nxt in ("for", "to", "more") or talk.closes(end)))
            or (gives and talk.closes(end))
        )
    ):
        return None
    elif kind_near or fingers:
        strength = "points+kind"
    elif more and value <= 3 and (talk.closes(end) or nxt in ("for", "to", "on", "off", "the")):
        strength = "points more"
    elif gives and (talk.closes(end) or nxt in ("for", "to", "more")):
        strength = "points given"
    elif alone and talk.closes(end) and talk.document.punctuated and value > 1:
        strength = "points alone"
    else:
        return None
    if more and value == 1 and point is None and tie != "attached" and not kind_near:
        return None
    if tie == "none":
        corner, tie = _around(talk, a, end, lo, hi)
    return _Part(a, end, (), value, strength, corner, tie, more)


def _given_to(talk: Talk, a: int, end: int) -> tuple[Corner | None, Tie]:
    """The corner in the same phrase: "two for blue", "two, red", "blue, two", "red gets one"."""
    nxt = talk.next_word(end)
    after = talk.ref_after(end, 2)
    if after is not None and (nxt in _GIVING or after.start - end <= 2) and after.about != "possessive":
        return after.corner, "attached"
    before = talk.ref_before(a, 1)
    if before is not None and before.about == "athlete":
        return before.corner, "attached"
    verb = talk.terms.at("gives", a - 1) or talk.terms.at("gives", a - 2)
    if verb is not None:
        subject = talk.ref_before(verb.start, 1)
        if subject is not None and talk.between(verb.start, verb.end) in (
            "gets",
            "got",
            "get",
            "scores",
            "scored",
            "takes",
            "earns",
            "picks up",
            "has",
            "collects",
        ):
            return subject.corner, "attached"
    return None, "none"


def _around(talk: Talk, a: int, b: int, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    """The corner named nearest in the segment; else the one spoken of just before."""
    best: tuple[int, Corner] | None = None
    for ref in talk.refs_within(max(lo, a - 12), min(hi, b + 8)):
        gap = ref.start - b if ref.start >= b else a - ref.end
        if ref.about == "bench":
            gap += 8
        if best is None or gap < best[0]:
            best = (gap, ref.corner)
    if best is not None:
        return best[1], "clause"
    following = [r for r in talk.refs_within(hi, min(hi + 5, len(talk))) if r.about == "athlete"]
    if (
        following
        and talk.time(following[0].start) - talk.time(a) < 3
        and talk.document.punctuated
        and talk.segment(following[0].start)[1] - following[0].end <= 1
    ):
        return following[0].corner, "near"
    recent = [r for r in talk.refs_within(max(a - 30, 0), a) if r.end <= a and r.about != "bench"]
    if recent and talk.time(a) - talk.time(recent[-1].start) <= 12:
        return recent[-1].corner, "near"
    return None, "none"


def _kinds(talk: Talk) -> Iterator[_Part]:
    """Kinds named, with the corner that they credit."""
    for term in talk.terms.all("kind"):
        entry = term.entry
        if talk.terms.at("challenge_ask", term.start) or talk.terms.at("wave_off", term.start):
            continue
        if _undone(talk, term):
            continue
        if any(t.entry.value == entry.value for t in talk.terms.within("not_kind", term.start, term.end)):
            continue
        if entry.value == "fall" and not _fall(talk, term):
            continue
        lo, hi = talk.segment(term.start)
        if entry.value in AGAINST:
            corner, tie = _penalised(talk, term, lo, hi)
        elif entry.strength == "verb":
            corner, tie = _goes_out(talk, term, lo, hi)
        else:
            corner, tie = _credited(talk, term, lo, hi)
        yield _Part(term.start, term.end, (entry.value,), None, entry.strength, corner, tie)


def _undone(talk: Talk, term: Term) -> bool:
    """Whether the words around take the award away ("the caution comes off", "takedown off the board")."""
    lo, hi = talk.segment(term.start)
    a, b = max(lo, term.start - 3), min(hi, term.end + 4)
    return any(talk.terms.any(role, a, b) for role in ("challenge_won", "challenge_lost", "wave_off"))


def _fall(talk: Talk, term: Term) -> bool:
    """ "fall" is the end of the bout only where it stands as a noun: alone, shouted, or after that's/by/the."""
    if term.end - term.start > 1 or talk.words[term.start] in ("pinned", "pinfall"):
        return True
    return talk.previous_word(term.start) in ("", "a", "the", "by", "'s", "s") and talk.closes(term.end)


def _credited(talk: Talk, term: Term, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    after = talk.ref_after(term.end, 2)
    before = talk.ref_before(term.start, 1)
    against = talk.ref_after(term.end + 2, 1) if "against" in talk.words[term.end : term.end + 2] else None
    if against is not None:
        return other(against.corner), "attached"
    if after is not None and after.about != "bench":
        return after.corner, "attached"
    if before is not None and before.about != "bench":
        return before.corner, "attached"
    verb = talk.terms.at("gives", term.start - 1) or talk.terms.at("gives", term.start - 2)
    if verb is not None:
        subject = talk.ref_before(verb.start, 1)
        if subject is not None:
            return subject.corner, "attached"
    return _around(talk, term.start, term.end, lo, hi)


def _penalised(talk: Talk, term: Term, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    """The corner credited by a call that names the offender."""
    after = talk.ref_after(term.end, 2)
    before = talk.ref_before(term.start, 1)
    ref = after if after is not None else before
    if ref is not None:
        return other(ref.corner), "attached"
    named = [r for r in talk.refs_within(max(lo, term.start - 10), min(hi, term.end + 8))]
    if named:
        near = min(named, key=lambda r: min(abs(r.start - term.end), abs(term.start - r.end)))
        return other(near.corner), "clause"
    corner, tie = _around(talk, term.start, term.end, lo, hi)
    return (other(corner) if corner else None), tie


def _goes_out(talk: Talk, term: Term, lo: int, hi: int) -> tuple[Corner | None, Tie]:
    """The corner credited when the one who goes out is the subject."""
    gets = [
        t
        for t in talk.terms.within("gives", term.end, min(hi, term.end + 6))
        if talk.between(t.start, t.end) in ("gets", "takes", "scores")
    ]
    if gets:
        taker = talk.ref_before(gets[0].start, 1)
        if taker is not None:
            return taker.corner, "attached"
    named = [r for r in talk.refs_within(max(lo, term.start - 10), term.start + 1) if r.start <= term.start]
    if named:
        gap = term.start - named[-1].end
        return other(named[-1].corner), "attached" if gap <= 1 else "clause"
    corner, tie = _around(talk, term.start, term.end, lo, hi)
    return (other(corner) if corner else None), ("near" if tie != "none" else "none")


def _fits(group: list[_Part], part: _Part) -> bool:
    points = {p.points for p in group if p.points is not None}
    kinds = {k for p in group if p.strength != "hold" for k in p.kinds}
    if part.points is not None and points:
        return False
    if part.kinds and part.strength != "hold" and kinds and not kinds & set(part.kinds):
        return False
    return True


def _belongs(talk: Talk, group: list[_Part], part: _Part) -> bool:
    """Whether a part goes on with the call that the group makes."""
    last = group[-1]
    if part.start < last.end:
        return _fits(group, part)
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
    if not _fits(group, part):
        return False
    if part.points is not None and part.more and any(p.strength == "hold" for p in group) and not same:
        return False
    if gap > (9 if same else 5) or apart > 6:
        return False
    ties = [p for p in (*group, part) if p.tie == "attached" and p.corner is not None]
    return len({p.corner for p in ties}) <= 1 or part.strength == "hold"


def _close(talk: Talk, group: list[_Part]) -> Iterator[CallMention]:
    """The call that a group of parts makes, if it makes one."""
    given = next((p for p in group if p.points is not None), None)
    named = [p for p in group if p.kinds and p.strength != "hold"]
    holds = [p for p in group if p.strength == "hold"]
    if given is None and not named:
        holds = [
            p
            for p in holds
            if p.tie == "attached" and talk.opens(p.start) and talk.ref_after(p.end, 1) is not None
        ]
        if not holds:
            return
        hold = holds[0]
        stance = stance_of(talk, hold.start, hold.end)
        yield CallMention(
            hold.start,
            hold.end,
            talk.time(hold.start),
            stance,
            "hold called",
            hold.kinds,
            None,
            hold.corner,
            hold.tie,
        )
        return
    corner, tie = _strongest([p for p in group if p.strength != "hold"] or group)
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
    yield CallMention(
        start, end, talk.time(start), stance, grade, kinds, points, corner, tie, any(p.more for p in group)
    )


def _strongest(parts: list[_Part]) -> tuple[Corner | None, Tie]:
    best: tuple[Corner | None, Tie] = (None, "none")
    for part in parts:
        if (part.corner is not None and _STRENGTH[part.tie] > _STRENGTH[best[1]]) or (
            part.corner is not None and part.points is not None and _STRENGTH[part.tie] == _STRENGTH[best[1]]
        ):
            best = (part.corner, part.tie)
    return best


def _grade(talk: Talk, given: _Part | None, named: list[_Part], holds: bool) -> str:
    if given is not None and named:
        return "points and kind"
    if given is not None:
        return given.strength + (" hold" if holds and given.strength == "points+kind" else "")
    part = next((p for p in named if p.strength == "call"), named[0])
    base = "kind" if part.strength == "call" else "verb"
    before = talk.previous_word(part.start)
    if before in (
        "his",
        "her",
        "their",
        "that",
        "those",
        "first",
        "second",
        "third",
        "last",
        "any",
        "each",
        "two",
        "three",
    ):
        return f"{base} told"
    if before in ("a", "another", "an", "one") and not talk.terms.any(
        "gives", part.start - 3, part.start - 1
    ):
        return f"{base} indefinite"
    alone = talk.opens(part.start)
    if part.tie == "attached" or alone or before in ("'s", "the", "s", "is"):
        return f"{base} called"
    return f"{base} in passing"
