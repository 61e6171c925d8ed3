"""Finds the marks of a score sheet: a few letters for the kind, and the points right behind them ("T3", "td2")."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from extract.lexicon import Lexicon
from extract.mentions.call_parts import AGAINST, CallPart, sort_of
from extract.mentions.decide import holds
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.rules.base import MOST_POINTS, other
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


def sheet_marks(talk: Talk) -> Iterator[CallPart]:
    """The marks of a score sheet: "E1 red", "NF3 blue", "G so1". In typed notes also those of nobody, those without
    points in capitals beside a corner ("R SO"), and codes that are not known, of which the points count."""
    marks = _marks(talk.lexicon)
    last: CallPart | None = None
    for i, word in enumerate(talk.words if marks else ()):
        points = int(word[-1]) if word[-1:].isdecimal() else None
        kind = marks.get(word[:-1] if points is not None else word)
        part = _mark(talk, i, kind, points, last) if kind is not None or talk.document.notes else None
        if part is not None:
            last = part
            talk.marked.add(i)
            yield part


def _mark(talk: Talk, i: int, kind: str | None, points: int | None, last: CallPart | None) -> CallPart | None:
    """The mark that word ``i`` is, with the kind that its letters are known for and the figure behind them."""
    if kind is not None and points:
        return _with_points(talk, i, kind, points, last) if points <= MOST_POINTS else None
    if kind is not None:
        return _bare(talk, i, kind, zero=points == 0) if talk.document.notes else None
    return _unknown(talk, i, points) if points and _CODE.fullmatch(talk.words[i]) else None


def _with_points(talk: Talk, i: int, kind: str, points: int, last: CallPart | None) -> CallPart | None:
    if talk.rows.first("no mark", talk, i, i + 1) is not None:
        return None
    owner = whose(talk, "mark", i, i + 1)
    if owner is not None:
        # A fault may stand beside the one who has to pay for it, or the one who gets the points.
        tie = "clause" if kind in AGAINST else owner.tie
        return CallPart(
            i, i + 1, (kind,), points, "call", owner.corner, tie, False, owner.given, owner.row.id
        )
    if last is not None and last.tie != "none" and _goes_on(talk, last, i):
        tie = "clause" if kind in AGAINST and last.tie == "attached" else last.tie
        return CallPart(i, i + 1, (kind,), points, "call", last.corner, tie)
    if not talk.document.notes or talk.words[i][:-1] in {colour[0] for colour in talk.colours}:
        return None
    return CallPart(i, i + 1, (kind,), points, "call", None, "none")


def _goes_on(talk: Talk, last: CallPart, i: int) -> bool:
    """Whether a mark goes on with those of the one before: "R T3, N2"."""
    return (
        talk.segment_of[last.start] == talk.segment_of[i]
        and i - last.end <= 1
        and all(talk.words[k] in _BETWEEN for k in range(last.end, i))
    )


def _bare(talk: Talk, i: int, kind: str, *, zero: bool) -> CallPart | None:
    """A mark without points: of a warning, or in capitals beside a corner."""
    shown = talk.document.words.text[i]
    kind = _WARNING.get(kind, kind)
    sort = sort_of(kind, "call")
    capitals = shown[:1].isupper() if zero and sort == "warning" else not zero and shown.isupper()
    if not capitals:
        return None
    for hit in talk.rows.fitting("bare mark", talk, i, i + 1):
        ref = talk.ref_at(hit.parts["c"][0])
        if (
            ref is None
            or len(shown.rstrip("0")) < hit.row.number("letters")
            or not holds(hit.row, {"of": sort})
        ):
            continue
        corner = other(ref.corner) if kind in AGAINST else ref.corner
        return CallPart(i, i + 1, (kind,), None, "call", corner, "attached")
    return None


def _unknown(talk: Talk, i: int, points: int) -> CallPart | None:
    """A code that nobody has told us of, right behind a corner: its points are given."""
    hit = talk.rows.first("unknown mark", talk, i, i + 1)
    ref = talk.ref_at(hit.parts["c"][0]) if hit is not None else None
    if hit is None or ref is None:
        return None
    return CallPart(i, i + 1, (), points, "points+corner", ref.corner, "attached", row=hit.row.id)
