"""Finds which period of overtime is named: sudden victory, a tie-breaker, the second of a pair. What its name marks is
said by rows of ``lexicons/phrases/marks.toml``."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from extract.mentions.decide import decide, meant
from extract.mentions.model import Mark, MarkMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules import UnknownRules, get_ruleset


def find_overtime(talk: Talk) -> Iterator[MarkMention]:
    """Starts and ends of the periods of overtime, in order. A name without a number is that of the period last named,
    or of the next of its kind."""
    kinds, regulation = _periods(talk.lexicon.style)
    at = -1
    for term in talk.terms.all("overtime"):
        a, b = term.start, term.end
        if stance_of(talk, a, b) != "asserted":
            continue
        number = decide(talk, "overtime number", a, b)
        named = _which(kinds, at, term.entry.value, int(meant(talk, number, "n")) if number else None)
        hit = decide(talk, "overtime", a, b)
        if named is None or hit is None:
            continue
        at = named
        what = cast(Mark, hit.row.text("what"))
        period = regulation + named + 1
        yield MarkMention(a, b, talk.time(a), "asserted", hit.row.form, what, period, row=hit.row.id)


def _periods(style: str) -> tuple[tuple[str, ...], int]:
    """What the periods of overtime are in a style, in order, and how many periods come before them."""
    try:
        rules = get_ruleset(style)
    except UnknownRules:
        return (), 0
    return rules.extra_period_kinds, len(rules.period_seconds)


def _which(kinds: tuple[str, ...], at: int, kind: str, ordinal: int | None) -> int | None:
    """The place in ``kinds`` of the period that is named, after the one at ``at`` was named last.

    >>> pairs = ("sudden_victory", "tiebreaker", "tiebreaker", "sudden_victory", "tiebreaker", "tiebreaker")
    >>> [_which(pairs, 0, "tiebreaker", n) for n in (None, 1, 2)], _which(pairs, 2, "tiebreaker", 1)
    ([1, 1, 2], 4)
    """
    if at >= 0 and kinds[at] == kind and ordinal in (None, _place(kinds, at)):
        return at
    later = [k for k in range(at + 1, len(kinds)) if kinds[k] == kind]
    return next((k for k in later if ordinal in (None, _place(kinds, k))), later[0] if later else None)


def _place(kinds: tuple[str, ...], at: int) -> int:
    """Which of its pair a period is; of one that comes singly, which of all of its kind."""
    first = at
    while first and kinds[first - 1] == kinds[at]:
        first -= 1
    paired = first < at or kinds[at + 1 : at + 2] == kinds[at : at + 1]
    return at - first + 1 if paired else kinds[: at + 1].count(kinds[at])
