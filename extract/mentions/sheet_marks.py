"""Finds the marks of a score sheet: a few letters for the kind, and the points right behind them ("T3", "td2")."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from extract.cast.model import CornerRef
from extract.lexicon import Lexicon
from extract.mentions.call_kinds import AGAINST
from extract.mentions.call_parts import Part, given_to
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.rules.base import MOST_POINTS, WARNINGS, Corner, other
from extract.rules.kinds import KINDS

#: Letters that nobody has told us of, with points behind them.
_CODE = re.compile(r"[a-z]{1,5}[1-5]")
#: Between two marks of one row ("T3, N2").
_BETWEEN = frozenset({",", "+", "/", "&", "-"})


#: What warns where the mark of its points stands without any: "S" is a warning, "S1" the point for the next.
_WARNING = {
    kind.with_points: name
    for name, kind in KINDS.items()
    if kind.does == "warning" and kind.counts and kind.with_points is not None
}


@lru_cache(maxsize=8)
def _marks(lexicon: Lexicon) -> dict[str, str]:
    return {
        form.lower(): entry.value
        for entry in lexicon.entries
        if entry.role == "sheet_mark"
        for form in entry.forms
    }


def sheet_marks(talk: Talk) -> Iterator[Part]:
    """The marks of a score sheet: "E1 red", "NF3 blue", "G so1". In typed notes also those of nobody, those without
    points in capitals beside a corner ("R SO"), and codes that are not known, of which the points count."""
    marks = _marks(talk.lexicon)
    notes = talk.document.notes
    last: Part | None = None
    for i, word in enumerate(talk.words if marks else ()):
        points = int(word[-1]) if word[-1:].isdecimal() else None
        kind = marks.get(word[:-1] if points is not None else word)
        part: Part | None = None
        if kind is not None and points is not None and 1 <= points <= MOST_POINTS:
            part = _with_points(talk, i, kind, points, last)
        elif kind is not None and notes and (points is None or not points):
            part = _bare(talk, i, kind, zero=points == 0)
        elif kind is None and notes and _CODE.fullmatch(word):
            part = _unknown(talk, i, int(word[-1]))
        if part is not None:
            last = part
            talk.marked.add(i)
            yield part


def _with_points(talk: Talk, i: int, kind: str, points: int, last: Part | None) -> Part | None:
    corner, tie, said_to = given_to(talk, i, i + 1)
    if tie == "none" and last is not None and _goes_on(talk, last, i):
        corner, tie = last.corner, last.tie
    names_period = talk.terms.at("ordinal", i) is not None
    if names_period and (talk.ref_before(i, 0) is None or not _ends(talk, i + 1)):
        # "P1" heads a period, but for the row of one of the two.
        return None
    if tie == "none" and (not talk.document.notes or _is_corner(talk, i)):
        return None
    if kind in AGAINST and tie == "attached":
        # It may stand beside the one who has to pay for it, or the one who gets the points.
        tie = "clause"
    return Part(i, i + 1, (kind,), points, "call", corner, tie, False, said_to)


def _goes_on(talk: Talk, last: Part, i: int) -> bool:
    """Whether a mark goes on with those of the one before: "R T3, N2"."""
    return (
        talk.segment_of[last.start] == talk.segment_of[i]
        and i - last.end <= 1
        and all(talk.words[k] in _BETWEEN for k in range(last.end, i))
    )


def _is_corner(talk: Talk, i: int) -> bool:
    return talk.words[i][:-1] in {colour[0] for colour in talk.colours}


def _ends(talk: Talk, i: int) -> bool:
    """Whether the row, or what it tells before the score, ends before word ``i``."""
    return talk.closes(i) or talk.number_at(i) is not None


def _bare(talk: Talk, i: int, kind: str, *, zero: bool) -> Part | None:
    """A mark without points: of a warning, or in capitals beside a corner."""
    shown = talk.document.tokens.text[talk.document.at[i]]
    beside = _corner_before(talk, i) or talk.ref_after(i + 1, 0)
    kind = _WARNING.get(kind, kind)
    warned = kind in WARNINGS
    if (
        beside is None
        or not shown[:1].isupper()
        or not (zero or shown.isupper())
        or zero != (zero and warned)
    ):
        return None
    if len(shown.rstrip("0")) < 2 and not (warned and _ends(talk, max(i + 1, beside.end))):
        return None
    if talk.terms.at("kind", i) is not None:
        return None
    corner: Corner = other(beside.corner) if kind in AGAINST else beside.corner
    tie: Tie = "attached"
    return Part(i, i + 1, (kind,), None, "call", corner, tie)


def _corner_before(talk: Talk, i: int) -> CornerRef | None:
    """The corner right before a mark, "R TD" or "R: TD"."""
    return talk.ref_before(i - 1 if talk.words[i - 1 : i] == [":"] else i, 0)


def _unknown(talk: Talk, i: int, points: int) -> Part | None:
    """A code that nobody has told us of, right behind a corner: its points are given."""
    before = _corner_before(talk, i)
    known = ("ordinal", "period_word", "tie_up", "overtime", "kind", "not_score", "other_clock")
    if before is None or not _ends(talk, i + 1) or any(talk.terms.at(role, i) for role in known):
        return None
    return Part(i, i + 1, (), points, "points+corner", before.corner, "attached")
