"""What rows may give, and what a row of each kind takes besides what every row has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from extract.phrases.pattern import Pattern


class RowKind(NamedTuple):
    """What rows of a kind take: the ``forms`` they may have (none: no form), the ``parts`` that their words must name,
    further ``keys`` with the type of each (Pattern for a text that is one), and whether they have ``words`` of their own
    or are about words that others found."""

    forms: frozenset[str] = frozenset()
    parts: tuple[str, ...] = ()
    keys: Mapping[str, type] = {}
    words: bool = True


def _names(text: str) -> frozenset[str]:
    return frozenset(name.strip() for name in text.split(","))


_SCORE_FORMS = _names("named, held, level, one each, hyphen, to, points to, zero, comma, bare, sound, fused")

_TIME_FORMS = _names("m:ss, words, minutes, seconds, pair, oh, bare")
_CLOCK_GRADES = _names(
    "m:ss, m:ss+remain, words, words+remain, minutes, minutes+remain, minutes+bound, seconds, seconds+remain,"
    "time pair, time pair+remain, oh, oh+remain, bare+remain, bare+bound, bare sentence"
)
_STANCES = _names("hypothetical, asked, negated, hoped, recalled")

#: What a row may give. The forms are those that the parameters weigh.
ROW_KINDS: dict[str, RowKind] = {
    # Two numbers that may be the score, or one for both; `first` names the part that holds the number said first. With
    # `two_figures` it is one word of two figures.
    "score": RowKind(_SCORE_FORMS, ("x",), {"first": str, "two_figures": bool}),
    # Two numbers with what joins them: the first row that fits two neighbours says in what form they are a score. One
    # that binds makes them a pair whatever numbers stand beside them.
    "score pair": RowKind(_SCORE_FORMS, ("x", "y"), {"binds": bool}),
    # A word that only sounds like a number, and the one after it: it may be the first of a score.
    "sound opener": RowKind(parts=("x", "y")),
    # Two numbers that nobody says so as a score.
    "no pair": RowKind(parts=("x", "y")),
    # What looks like a score and is none, of some forms or of all.
    "no score": RowKind(words=False, keys={"forms": list}),
    # What around a score speaks for it or against it; of some forms or of all.
    "score sign": RowKind(words=False, keys={"sign": str, "forms": list}),
    # Whose corner words of the kinds in `of` are about: that of the part `c`, or the other one where it is `turned`,
    # with a `tie` (attached, clause, near). `given` says that the words give it to that corner. `nearest` takes the
    # corner named nearest within so many words before and after; a bench counts as `bench` words further away, less
    # than 0 not at all. Words and corner are no more than so many `seconds` apart.
    "whose": RowKind(
        words=False,
        keys={
            "of": list,
            "turned": bool,
            "tie": str,
            "given": bool,
            "nearest": list,
            "bench": int,
            "seconds": int,
        },
    ),
    # A trigger of stance: it colours what is said `after` it or `before` it (the `side`), up to `reach` words away in talk
    # with sentence marks and in talk without, counted from the part `t` where there is one. The words of `stops` end it,
    # and so do the places of `cuts`.
    "stance": RowKind(_STANCES, keys={"side": str, "reach": list, "stops": Pattern, "cuts": Pattern}),
    # What can be a time: the minutes `m`, the seconds `s`, the part of a minute `h`, and `seconds` on top.
    "time": RowKind(_TIME_FORMS, keys={"seconds": int}),
    # Of times, each the first row that fits, for some of their `forms`, `bounds`, `clocks`, `stances` or for all: how exact
    # one is, by the part `v` or the form; on which clock, by the part `c` or the form (`full`: only one as long as the
    # activity clock is); of which period, by the part `n`, or the `last` one.
    "bound": RowKind(_names("under, over, about") | {""}, words=False),
    "clock kind": RowKind(_names("bout, activity, riding, rest") | {""}, words=False, keys={"full": bool}),
    "clock period": RowKind(words=False, keys={"last": bool}),
    # What looks like a time left and is none; and what one is as evidence, `firm` where it is so even in a question.
    "no time": RowKind(words=False, keys={"forms": list, "clocks": list}),
    "clock": RowKind(
        _CLOCK_GRADES, words=False, keys={"forms": list, "bounds": list, "stances": list, "firm": bool}
    ),
}
