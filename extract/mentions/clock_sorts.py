"""Which clock a time is on, whether it is left or has passed, and how exact it is."""

from __future__ import annotations

from typing import Literal, cast

from extract.mentions.model import Bound
from extract.mentions.talk import Talk
from extract.rules import get_ruleset

#: Words of the activity clock come so many words, and so many seconds, before its time.
_ACTIVITY_WORDS, _ACTIVITY_S = 16, 10.0
Clock = Literal["bout", "activity", "riding", "rest"]


def bound_of(talk: Talk, a: int, b: int, before: int, after: int) -> Bound:
    if talk.between(b - 3, b).find("odd") >= 0 or talk.words[b : b + 2] == ["-", "odd"]:
        return "over"
    for term in talk.terms.within("bound", max(before, a - 4), a):
        return cast(Bound, term.entry.value)
    for term in talk.terms.within("bound", b, min(after, b + 5)):
        if talk.between(term.start, term.end) not in ("last", "final", "the last", "under", "over", "some"):
            return cast(Bound, term.entry.value)
    return "exact"


def which_clock(talk: Talk, a: int, b: int, before: int, after: int, remain: bool) -> Clock:
    """Which clock is meant: the words after the time decide before those in front of it."""
    if talk.terms.any("remain", b, min(after, b + 5)) and "match clock" in talk.between(b, min(after, b + 5)):
        return "bout"
    for term in talk.terms.within("other_clock", b, min(after, b + 5)):
        if term.entry.value == "rest" and talk.previous_word(term.start) in ("the", "to", "till", "until"):
            continue
        if talk.between(term.start, term.end) == "advantage" and talk.between(b, term.start) not in (
            "of",
            "in",
            "",
        ):
            continue
        return cast(Clock, term.entry.value)
    for term in talk.terms.within("other_clock", before, a):
        if term.entry.value != "rest" or not remain:
            return cast(Clock, term.entry.value)
    return "bout"


def is_of_activity(talk: Talk, start: int, end: int, seconds: int) -> bool:
    """Whether a time as long as the activity clock is told shortly after words of that clock or of passivity."""
    left = talk.terms.starting("remain", end)
    if seconds != get_ruleset(talk.lexicon.style).activity_seconds:
        return False
    told = talk.between(left.start, left.end) if left is not None else ""
    if told == "to go" or told.split(" ")[0] in ("left", "remaining", "in"):
        return False
    first = max(start - _ACTIVITY_WORDS, 0)
    if talk.time(start) - talk.time(first) > _ACTIVITY_S:
        first = next(i for i in range(first, start + 1) if talk.time(start) - talk.time(i) <= _ACTIVITY_S)
    kinds = {t.entry.value for t in talk.terms.within("kind", first, end + 5)}
    clocks = {t.entry.value for t in talk.terms.within("other_clock", first, start)}
    return bool(kinds & {"passivity_warning", "activity_clock_start"}) or "activity" in clocks


def is_of_another(talk: Talk, a: int, b: int, lo: int, hi: int) -> bool:
    """Whether the time is one of another mat's bout."""
    reach = (max(lo, a - 14), min(hi, b + 6))
    return any(
        talk.words[t.start] in ("mat", "other", "next") or "mat" in talk.words[t.start : t.end]
        for t in talk.terms.within("elsewhere", *reach)
    )


def is_past(talk: Talk, a: int, b: int, lead_in: str) -> bool:
    """Whether the words measure a time that has passed or a stretch, not what is left."""
    led = lead_in.split()
    last = led[-1] if led else ""
    if last in ("for", "after", "every", "took", "lasted", "whole", "'", "those", "these"):
        return True
    if led[-2:-1] == ["in"] and last in ("about", "what", "like", "just", ","):
        return True
    if last == "in":
        return True
    if last in ("last", "final") and lead_in.startswith("in the"):
        return False
    if last in ("last", "final", "first", "opening", "next") and not lead_in.startswith(
        ("inside", "into", "under", "within")
    ):
        return True
    for term in talk.terms.within("elapsed", b, b + 2):
        word = talk.between(term.start, term.end)
        if word in ("in", "long", "deep", "old", "late", "rest", "break") and not talk.closes(term.end):
            continue
        if term.start == b or talk.words[b] in ("'", "'s", "of"):
            return True
    return False
