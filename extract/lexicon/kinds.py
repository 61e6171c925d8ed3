"""What rows may give, and what a row of each kind takes besides what every row has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class RowKind(NamedTuple):
    """What rows of a kind take: the ``forms`` they may have (none: no form), the ``parts`` that their words must name,
    further ``keys`` with the type of each, and whether they have ``words`` of their own or are about words that others
    found."""

    forms: frozenset[str] = frozenset()
    parts: tuple[str, ...] = ()
    keys: Mapping[str, type] = {}
    words: bool = True


def _names(text: str) -> frozenset[str]:
    return frozenset(name.strip() for name in text.split(","))


_SCORE_FORMS = _names("named, held, level, one each, hyphen, to, points to, zero, comma, bare, sound, fused")
_POINT_FORMS = _names("points, points+corner, points+kind, points more, points given, points alone")
_CALL_GRADES = _names("called, told, another, indefinite, in passing")

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
    # A number that may be points, `n`, with what is said with it, and `more` where it comes on top of something. One with
    # a form is points; the others ask the rows of the next two kinds. `tie` lists how the corner must be known; without
    # a number it is one point, for the part `c`.
    "points": RowKind(_POINT_FORMS | {""}, keys={"tie": list}),
    # A number that is no points.
    "no points": RowKind(words=False),
    # The form in which a number is points; `tie` as above, `given` where the words must give them to the corner.
    "points form": RowKind(_POINT_FORMS, words=False, keys={"tie": list, "given": bool}),
    # A term of a kind that names none. `of` lists the sorts of kind (award, goes out, warning, penalty); none: all.
    "no kind": RowKind(words=False, keys={"of": list}),
    # A word of falling that is the end of the bout.
    "fall": RowKind(words=False),
    # A verb, and what it is done to, which make a kind with a small word behind them.
    "split verb": RowKind(),
    # The mark of a score sheet with points that is something else.
    "no mark": RowKind(words=False),
    # A mark without points, beside the corner `c`: of the sorts of kind in `of`, with so many `letters` at least.
    "bare mark": RowKind(parts=("c",), words=False, keys={"of": list, "letters": int}),
    # Letters with a figure that may be a mark, beside the corner `c`.
    "unknown mark": RowKind(parts=("c",), words=False),
    # The words between two parts of one call, at most so many `seconds` apart; `of` (award, fault, again) says of what.
    "call join": RowKind(keys={"of": list, "seconds": int}),
    # A hold without points that is a call; with `n`, if that is a number of a score.
    "hold call": RowKind(words=False, keys={"tie": list}),
    # How surely a kind that is named without points is called; `of` the sorts of kind, `tie` how the corner must be known.
    "call grade": RowKind(_CALL_GRADES, words=False, keys={"of": list, "tie": list}),
    # What around the first clause of a call speaks for an award in this bout, or against it; and what around all of it.
    "call sign": RowKind(words=False, keys={"sign": str}),
    "whole call sign": RowKind(words=False, keys={"sign": str}),
}
