"""The pieces that calls are made of, and the corner spoken of around them."""

from __future__ import annotations

from dataclasses import dataclass

from extract.lexicon import small_words
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.rules.base import Corner

_GIVING, _TAKING = small_words("giving"), small_words("taking")


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a call: points or a kind, with the corner credited as this piece has it; ``given_to`` where the
    words say so ("two for blue"), not only stand beside it ("blue, two")."""

    start: int
    end: int
    kinds: tuple[str, ...]
    points: int | None
    strength: str
    corner: Corner | None
    tie: Tie
    more: bool = False
    given_to: bool = False


def around(talk: Talk, a: int, b: int, lo: int, hi: int) -> tuple[Corner | None, Tie]:
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


def given_to(talk: Talk, a: int, end: int) -> tuple[Corner | None, Tie, bool]:
    """The corner in the same phrase: "two for blue", "two, red", "blue, two", "red gets one"."""
    named = talk.terms.starting("kind", end)
    if named is not None and talk.next_word(named.end) in _GIVING:
        end = named.end
    nxt = talk.next_word(end)
    after = talk.ref_after(end, 2)
    if after is not None and (nxt in _GIVING or after.start - end <= 2) and after.about != "possessive":
        return after.corner, "attached", True
    before = talk.ref_before(a, 1)
    if before is None and talk.document.notes:
        # "R gut 2": the hold stands between the two.
        hold = next((t for t in talk.terms.within("kind", a - 1, a) if t.end == a), None)
        before = talk.ref_before(hold.start, 1) if hold is not None else None
    if before is not None and before.about == "athlete":
        return before.corner, "attached", False
    verb = talk.terms.at("gives", a - 1) or talk.terms.at("gives", a - 2)
    if verb is not None:
        subject = talk.ref_before(verb.start, 1)
        if subject is not None and talk.between(verb.start, verb.end) in _TAKING:
            return subject.corner, "attached", True
    return None, "none", False
