"""Whose corner some words are about: one question, asked of points, kinds, scores, challenges and results alike.

The answers are rows (``lexicons/phrases/whose.toml``), tried in their order; each names the part that is the corner and
how sure the tie is. A row with ``nearest`` takes the corner named nearest in a window.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from extract.cast.model import CornerRef
from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.phrases import Row
from extract.phrases.find import fits
from extract.rules.base import Corner, other

#: Further away than anything, words or seconds.
_FAR = 10**9
#: What a row says of benches that is against a bench, and against any other reference.
_BENCHES = ("none", "only")


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose some words are, how that is known, by which row and by which reference, and the row's other ``parts``."""

    corner: Corner
    tie: Tie
    row: Row
    ref: CornerRef
    parts: Mapping[str, tuple[int, int]]

    @property
    def given(self) -> bool:
        """Whether the words say that it is theirs ("two for blue"), and do not only name them beside it ("blue, two")."""
        return bool(self.row.more.get("given"))


def whose(talk: Talk, of: str, start: int, end: int) -> Owner | None:
    """Whose the words from ``start`` to ``end`` (exclusive) are, which are ``of`` this kind: by the first row that
    fits."""
    for row in talk.rows.possible("whose", talk, start, end, of):
        parts = fits(row, talk, start, end)
        if parts is None:
            continue
        tie = cast(Tie, row.text("tie"))
        if row.more.get("nearest") is None:
            ref = talk.ref_at(parts["c"][0])
        else:
            gap, ref = _nearest(talk, row, start, end)
            tie = "attached" if gap <= row.number("close", -_FAR) else tie
        if ref is None or _too_late(talk, row, start, ref):
            continue
        talk.fitted.add(row.id)
        corner = other(ref.corner) if row.more.get("turned") else ref.corner
        return Owner(corner, tie, row, ref, parts)
    return None


def _nearest(talk: Talk, row: Row, start: int, end: int) -> tuple[int, CornerRef | None]:
    """The corner named nearest to some words within the window of a row, and how many words away it counts as."""
    before, after = row.numbers("nearest")
    low, high = (0, len(talk)) if row.across else talk.segment(start)
    best: tuple[int, CornerRef | None] = _FAR, None
    for ref in talk.refs_within(max(low, start - before), min(high, end + after)):
        if row.text("benches") == _BENCHES[ref.about != "bench"] or (not after and ref.end > start):
            continue
        gap = ref.start - end if ref.start >= end else start - ref.end
        gap += row.number("bench") if ref.about == "bench" else 0
        if gap < best[0]:
            best = gap, ref
    return best


def _too_late(talk: Talk, row: Row, start: int, ref: CornerRef) -> bool:
    """Whether more seconds than the row allows are between the words and the corner."""
    return abs(talk.time(start) - talk.time(ref.start)) > row.number("seconds", _FAR)
