"""Finds numbers that are points given, and whom they are for."""

from __future__ import annotations

from collections.abc import Iterator

from extract.mentions.call_parts import NOBODY, CallPart
from extract.mentions.decide import decide, holds
from extract.mentions.sheet_marks import sheet_marks
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.phrases import Hit
from extract.rules.base import CORNERS


def point_parts(talk: Talk) -> Iterator[CallPart]:
    """Numbers that are points given."""
    yield from sheet_marks(talk)
    yield from (_point(talk, hit) for hit in talk.rows.find("point", talk))
    both = talk.rows.apart("points both", talk)
    yield from (part for hit in both for part in _for_both(talk, hit))
    told = {i for hit in both for i in range(hit.start, hit.end)}
    seen: set[int] = set()
    for hit in talk.rows.find("points", talk):
        if (
            hit.start in seen
            or hit.parts["points"][0] in told
            or talk.number_at(hit.parts["points"][0]) in talk.taken
        ):
            continue
        part = _points(talk, hit)
        if part is not None:
            seen.add(hit.start)
            yield part


def _point(talk: Talk, hit: Hit) -> CallPart:
    """A point without a number: "point to blue", "a point is awarded to the red wrestler"."""
    ref = talk.ref_at(hit.parts["c"][0])
    corner = ref.corner if ref is not None else None
    return CallPart(
        hit.start, hit.end, (), 1, hit.row.form, corner, "attached", given_to=True, row=hit.row.id
    )


def _for_both(talk: Talk, hit: Hit) -> Iterator[CallPart]:
    """Points that each of the two is given ("they both get two"): an award for each."""
    points = talk.value_at(hit.parts["points"][0])
    for corner in CORNERS:
        yield CallPart(
            hit.start, hit.end, (), points, "points+corner", corner, "attached", given_to=True, row=hit.row.id
        )


def _points(talk: Talk, hit: Hit) -> CallPart | None:
    """A number, where it is points: if it is not said otherwise, in the first form that fits."""
    if talk.rows.first("no points", talk, hit.start, hit.end) is not None:
        return None
    owner = whose(talk, "points", hit.start, hit.end)
    corner, tie, given = (owner.corner, owner.tie, owner.given) if owner is not None else NOBODY
    if not holds(hit.row, {"tie": tie}):
        return None
    # A row that wants the points given holds for no others.
    known = {"tie": tie} if given else {"tie": tie, "given": ""}
    form = decide(talk, "points form", hit.start, hit.end, known)
    if form is None:
        return None
    start, more = hit.parts["points"][0], "more" in hit.parts
    return CallPart(
        start, hit.end, (), talk.value_at(start), form.row.form, corner, tie, more, given, form.row.id
    )
