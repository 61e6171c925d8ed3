"""What rows may give, and what a row of each kind takes besides what every row has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class RowKind(NamedTuple):
    """What rows of a kind take: the ``forms`` they may have (none: no form), the ``parts`` that their words must name,
    further ``keys`` with the type of each, and whether they have ``words`` of their own or are about words that others
    found. ``values`` are what a key may say, where it may not say anything; ``named`` are keys that name a part, which is
    a corner; ``numbers`` are keys with a list of so many whole numbers; ``instead`` is a key with which the parts need
    not be there. ``mention``: a mention that comes of such a row carries its id."""

    forms: frozenset[str] = frozenset()
    parts: tuple[str, ...] = ()
    keys: Mapping[str, type] = {}
    words: bool = True
    values: Mapping[str, frozenset[str]] = {}
    named: tuple[str, ...] = ()
    numbers: Mapping[str, int] = {}
    instead: str = ""
    mention: bool = False


def _names(text: str) -> frozenset[str]:
    return frozenset(name.strip() for name in text.split(","))


#: What a part of a name that a kind asks for must be a stretch of: the code reads it as that.
PART_SORTS: Mapping[str, tuple[str, ...]] = {
    "x": ("number", "colon_pair"),
    "y": ("number",),
    "c": ("corner",),
}

_SCORE_FORMS = _names("named, held, level, one each, hyphen, to, points to, zero, comma, bare, sound, fused")

#: What a row may give. The forms are those that the parameters weigh.
ROW_KINDS: dict[str, RowKind] = {
    # Two numbers that may be the score, or one for both; `first` names the part that holds the number said first. With
    # `two_figures` it is one word of two figures.
    "score": RowKind(
        _SCORE_FORMS, ("x",), {"first": str, "two_figures": bool}, named=("first",), mention=True
    ),
    # Two numbers with what joins them: the first row that fits two neighbours says in what form they are a score. One
    # that binds makes them a pair whatever numbers stand beside them.
    "score pair": RowKind(_SCORE_FORMS, ("x", "y"), {"binds": bool}, mention=True),
    # A word that only sounds like a number, and the one after it: it may be the first of a score.
    "sound opener": RowKind(parts=("x", "y")),
    # Two numbers that nobody says so as a score.
    "no pair": RowKind(parts=("x", "y")),
    # What looks like a score and is none, of some forms or of all.
    "no score": RowKind(words=False, keys={"forms": list}, values={"forms": _SCORE_FORMS}),
    # What around a score speaks for it or against it; of some forms or of all.
    "score sign": RowKind(words=False, keys={"sign": str, "forms": list}, values={"forms": _SCORE_FORMS}),
    # Whose corner words of the kinds in `of` are about: that of the part `c`, or the other one where it is `turned`,
    # with a `tie` (attached, clause, near). `given` says that the words give it to that corner. `nearest` takes the
    # corner named nearest within so many words before and after; a bench counts as `bench` words further away, less
    # than 0 not at all. Words and corner are no more than so many `seconds` apart.
    "whose": RowKind(
        parts=("c",),
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
        values={"tie": _names("attached, clause, near")},
        numbers={"nearest": 2},
        instead="nearest",
    ),
}
