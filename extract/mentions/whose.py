"""Whose corner some words are about: one question, asked of points, kinds, scores, challenges and results alike.

The answers are rows (``lexicons/phrases/whose.toml``), tried in their order; each names the part that is the corner and
how sure the tie is. A row with ``nearest`` takes the corner named nearest in a window.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from extract.cast.model import CornerRef
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.phrases import Row
from extract.phrases.find import fits
from extract.rules.base import Corner, other


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose some words are, how that is known, by which row and by which reference. ``given`` where the words say that
    it is theirs ("two for blue"), not only name them beside it ("blue, two")."""

    corner: Corner
    tie: Tie
    row: str
    ref: CornerRef
    given: bool = False


def whose(talk: Talk, of: str, start: int, end: int) -> Owner | None:
    """Whose the words from ``start`` to ``end`` (exclusive) are, which are ``of`` this kind: by the first row that
    fits."""
    for row in talk.rows.of("whose"):
        if of not in row.texts("of"):
            continue
        parts = fits(row, talk, start, end)
        if parts is None:
            continue
        ref = (
            _nearest(talk, row, start, end)
            if row.more.get("nearest") is not None
            else talk.ref_at(parts["c"][0])
        )
        if ref is None or _too_late(talk, row, start, ref):
            continue
        talk.fitted.add(row.id)
        corner = other(ref.corner) if row.more.get("turned") else ref.corner
        return Owner(corner, cast(Tie, row.text("tie")), row.id, ref, bool(row.more.get("given")))
    return None


def _nearest(talk: Talk, row: Row, start: int, end: int) -> CornerRef | None:
    """The corner named nearest to some words within the window of a row. One of its ``bench`` counts as so many words
    further away; less than 0 says that it counts not at all."""
    before, after = row.numbers("nearest")
    low, high = (0, len(talk)) if row.across else talk.segment(start)
    best: tuple[int, CornerRef] | None = None
    for ref in talk.refs_within(max(low, start - before), min(high, end + after)):
        gap = ref.start - end if ref.start >= end else start - ref.end
        if ref.about == "bench":
            if row.number("bench") < 0:
                continue
            gap += row.number("bench")
        if not after and ref.end > start:
            continue
        if best is None or gap < best[0]:
            best = gap, ref
    return best[1] if best is not None else None


def _too_late(talk: Talk, row: Row, start: int, ref: CornerRef) -> bool:
    """Whether more seconds than the row allows are between the words and the corner."""
    seconds = row.number("seconds", -1)
    return seconds >= 0 and abs(talk.time(start) - talk.time(ref.start)) > seconds
