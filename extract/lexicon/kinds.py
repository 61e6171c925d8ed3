"""What rows may give, and what a row of each kind takes besides what every row has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from extract.phrases.pattern import Pattern


class RowKind(NamedTuple):
    """What rows of a kind take: the ``forms`` they may have (none: no form), the ``parts`` that their words must name,
    further ``keys`` with the type of each (Pattern for a text that is one), and whether they have ``words`` of their
    own or are about words that others found. ``values`` are what a key may say, where it may not say anything;
    ``named`` are keys that name a part, which is a corner; ``numbers`` are keys with a list of so many whole numbers;
    ``instead`` is a key with which the parts need not be there. ``mention``: a mention that comes of such a row carries
    its id."""

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
    "points": ("number",),
}

_SCORE_FORMS = _names(
    "named, held, level, one each, hyphen, to, points to, zero, comma, and, bare, sound, fused"
)
_POINT_FORMS = _names("points, points+corner, points+kind, points more, points given, points alone")
_TIES = _names("attached, clause, near")
_SORTS_OF_KIND = _names("award, goes out, warning, penalty, part")
_CALL_GRADES = _names("called, told, another, indefinite, in passing")

_TIME_FORMS = _names("m:ss, words, minutes, seconds, pair, oh, bare, count")
_CLOCK_GRADES = _names(
    "m:ss, m:ss+remain, words, words+remain, minutes, minutes+remain, minutes+bound, seconds, seconds+remain,"
    "time pair, time pair+remain, oh, oh+remain, bare+remain, bare+bound, bare sentence"
)
_BOUNDS, _CLOCKS = _names("under, over, about"), _names("bout, activity, riding, rest")
_MARKS = _names("period_start, period_end, bout_end")
_STANCES = _names("hypothetical, asked, negated, hoped, recalled")

#: What a row may give. The forms are those that the parameters weigh.
ROW_KINDS: dict[str, RowKind] = {
    # Two numbers that may be the score, or one for both; `first` names the part that holds the number said first. With
    # `two_figures` it is one word of two figures; with `both` no number is said, and this is the one of both corners.
    "score": RowKind(
        _SCORE_FORMS,
        ("x",),
        {"first": str, "two_figures": bool, "both": int},
        named=("first",),
        instead="both",
        mention=True,
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
    # What says that a score is the final one.
    "final score": RowKind(words=False),
    # What around a score speaks for it or against it; of some forms or of all.
    "score sign": RowKind(words=False, keys={"sign": str, "forms": list}, values={"forms": _SCORE_FORMS}),
    # Whose corner words of the kinds in `of` are about: that of the part `c`, or the other one where it is `turned`,
    # with a `tie` (attached, clause, near). `given`: the words give it to that corner. `nearest` takes the corner named
    # nearest within so many words before and after, no more than `close` words away for an attached tie; with benches
    # "only" or "none" of those of a bench, which else count as `bench` words further away, less than 0 as nearer. Words
    # and corner are no more than so many `seconds` apart. Of a score: the words of leading and trailing up to `order`
    # words behind it tell which number is the corner's; without any it is the first, or with `higher` the higher one.
    "whose": RowKind(
        parts=("c",),
        words=False,
        keys={
            "of": list,
            "turned": bool,
            "tie": str,
            "given": bool,
            "nearest": list,
            "close": int,
            "benches": str,
            "bench": int,
            "seconds": int,
            "order": int,
            "higher": bool,
        },
        values={"tie": _names("attached, clause, near")},
        numbers={"nearest": 2},
        instead="nearest",
    ),
    # A lead in one number, or level; who has it is said by "whose". Of the other corner where a row of "margin behind"
    # fits.
    "margin": RowKind(_names("margin, up, level"), mention=True),
    "margin behind": RowKind(words=False),
    # The `outcome` of a challenge (won, lost, withdrawn); what makes it a past one. A challenge asked for; what makes
    # it none.
    "review": RowKind(
        _names("named, near, plain, open"),
        keys={"outcome": str},
        values={"outcome": _names("won, lost, withdrawn")},
        mention=True,
    ),
    "past review": RowKind(words=False),
    # What makes an outcome none: the caller's own verdict, what may come.
    "no review": RowKind(words=False),
    "review ask": RowKind(_names("plain, loose"), mention=True),
    "no review ask": RowKind(words=False),
    # Words that take an award back, or say that none was given.
    "wave off": RowKind(parts=("what",), mention=True),
    # Who won: the part `c`, or the other one where it is `turned`; or with what `of` of "whose" says whom. By what (the
    # value of the part `by`). Who is ahead on criteria.
    "winner": RowKind(_names("plain, loose"), keys={"whose": str, "turned": bool}, mention=True),
    "won by": RowKind(_names("by"), ("by",), mention=True),
    "criteria": RowKind(_names("named, loose"), mention=True),
    # A number that may be `points`, with what is said with it, and `more` where it comes on top of something; the next
    # two kinds decide. `tie` lists how the corner must be known. And one point without a number, for the corner `c`.
    "points": RowKind(parts=("points",), keys={"tie": list}, values={"tie": _TIES}),
    "point": RowKind(_names("points+corner"), ("c",), mention=True),
    # Points that each of the two is given.
    "points both": RowKind(parts=("points",), mention=True),
    # A number that is no points.
    "no points": RowKind(words=False),
    # The form in which a number is points; `tie` as above, `given` where the words must give them to the corner.
    "points form": RowKind(
        _POINT_FORMS, words=False, keys={"tie": list, "given": bool}, values={"tie": _TIES}, mention=True
    ),
    # A `kind` told by what happens, as surely as a term of the strength that is its form; `sort` is what it is to the one
    # whom it names. It is the corner's that is the part `c`, or the other one's where it is `turned`; without that part
    # "whose" says whose it is.
    "told kind": RowKind(
        _names("call, verb, hold"),
        keys={"kind": str, "sort": str, "turned": bool},
        values={"sort": _SORTS_OF_KIND},
    ),
    # A term of a kind that names none. `of` lists the sorts of kind (award, goes out, warning, penalty); none: all.
    "no kind": RowKind(words=False, keys={"of": list}, values={"of": _SORTS_OF_KIND}),
    # A word of falling that is the end of the bout.
    "fall": RowKind(words=False),
    # A verb, and what it is done to, which make a kind with a small word behind them.
    "split verb": RowKind(),
    # The mark of a score sheet with points that is something else.
    "no mark": RowKind(words=False),
    # A mark without points, beside the corner `c`: of the sorts of kind in `of`, with so many `letters` at least.
    "bare mark": RowKind(
        parts=("c",), words=False, keys={"of": list, "letters": int}, values={"of": _SORTS_OF_KIND}
    ),
    # Letters with a figure that may be a mark, beside the corner `c`.
    "unknown mark": RowKind(parts=("c",), words=False),
    # A trigger of stance: it colours what is said `after` it or `before` it (the `side`), up to `reach` words away in
    # talk with sentence marks and in talk without, counted from the part `t` where there is one. The words of `stops`
    # end it, and so do the places of `cuts`.
    "stance": RowKind(
        _STANCES,
        keys={"side": str, "reach": list, "stops": Pattern, "cuts": Pattern},
        values={"side": _names("after, before")},
        numbers={"reach": 2},
    ),
    # What can be a time: the minutes `m`, the seconds `s`, the part of a minute `h`, and `seconds` on top.
    "time": RowKind(_TIME_FORMS, keys={"seconds": int}),
    # Of times, each the first row that fits, for some of their `forms`, `bounds`, `clocks`, `stances` or for all: how
    # exact one is, by the part `v` or the form; on which clock, by the part `k` or the form (`full`: only one as long as
    # the activity clock is); of which period, by the part `n`, or the `last` one.
    "bound": RowKind(_BOUNDS | {""}, words=False),
    "clock kind": RowKind(_CLOCKS | {""}, words=False, keys={"full": bool}),
    "clock period": RowKind(words=False, keys={"last": bool}),
    # What looks like a time left and is none; and what one is as evidence, `firm` where it is so even in a question.
    "no time": RowKind(
        words=False,
        keys={"forms": list, "clocks": list},
        values={"forms": _TIME_FORMS, "clocks": _CLOCKS},
    ),
    "clock": RowKind(
        _CLOCK_GRADES,
        words=False,
        keys={"forms": list, "bounds": list, "stances": list, "firm": bool},
        values={"forms": _TIME_FORMS, "bounds": _BOUNDS | {"exact"}, "stances": _STANCES | {"asserted"}},
        mention=True,
    ),
    # The words between two parts of one call, at most so many `seconds` apart; `of` (award, fault, again) says of what.
    "call join": RowKind(keys={"of": list, "seconds": int}, values={"of": _names("award, fault, again")}),
    # A hold without points that is a call; with `n`, if that is a number of a score.
    "hold call": RowKind(words=False, keys={"tie": list}, values={"tie": _TIES}, mention=True),
    # How surely a kind that is named without points is called; `of` the sorts of kind, `tie` how the corner must be known.
    "call grade": RowKind(
        _CALL_GRADES,
        words=False,
        keys={"of": list, "tie": list},
        values={"of": _SORTS_OF_KIND, "tie": _TIES},
        mention=True,
    ),
    # What around the first clause of a call speaks for an award in this bout, or against it; and what around all of it.
    "call sign": RowKind(words=False, keys={"sign": str}),
    "whole call sign": RowKind(words=False, keys={"sign": str}),
    # A whistle, a horn: `what` it marks. A stance that the row `overrules` is none; one that is `numbered` needs the
    # name of a period. It is of the period `t`, or of that named by the next kind: the part `n`, so many words before
    # the mark and after it (`within`).
    "mark": RowKind(
        _names("plain, loose, named"),
        keys={"what": str, "overrules": list, "numbered": bool},
        values={"what": _MARKS, "overrules": _STANCES},
        mention=True,
    ),
    "period name": RowKind(parts=("n",), keys={"within": list}, numbers={"within": 2}),
    # What the name of a period of overtime marks; and the number `n` that is said with it.
    "overtime": RowKind(
        _names("plain, loose, named"),
        words=False,
        keys={"what": str},
        values={"what": _MARKS},
        mention=True,
    ),
    "overtime number": RowKind(parts=("n",), words=False),
    # The `place` in which somebody is, with what `of` of "whose" says who.
    "position": RowKind(
        _names("chosen, told"),
        keys={"place": str, "whose": str, "overrules": list},
        values={"place": _names("top, bottom, neutral"), "overrules": _STANCES},
        mention=True,
    ),
}
