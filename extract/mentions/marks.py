"""Finds whistles and horns (``lexicons/phrases/marks.toml``), and the motion on the mat."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, cast

from extract.mentions.decide import meant, stance_for
from extract.mentions.model import ActionMention, Mark, MarkMention
from extract.mentions.overtime import find_overtime
from extract.mentions.talk import Talk
from extract.phrases import Hit


def find_marks(talk: Talk) -> list[MarkMention]:
    """Starts and ends of periods and of the bout, with the period where the words name it."""
    hits = (hit for hit in talk.rows.find("mark", talk) if hit.start not in talk.marked)
    names = _names(talk)
    marks = [mark for mark in (_mark(talk, hit, names) for hit in hits) if mark is not None]
    return sorted([*marks, *find_overtime(talk)], key=lambda m: m.start)


def _mark(talk: Talk, hit: Hit, names: Sequence[_Name]) -> MarkMention | None:
    """The mark that a row has found; None where it lacks the number of its period."""
    a, b, row = hit.start, hit.end, hit.row
    period = _period(talk, names, *hit.parts.get("t", (a, b)))
    if period is None and row.more.get("numbered"):
        return None
    stance = stance_for(talk, hit)
    grade = row.form if stance == "asserted" else "loose"
    what = cast(Mark, row.text("what"))
    return MarkMention(a, b, talk.time(a), stance, grade, what, period, row=row.id)


class _Name(NamedTuple):
    """The name of a period: the word of its number, and how near a mark of it is."""

    place: int
    period: int
    before: int
    after: int


def _names(talk: Talk) -> list[_Name]:
    """The names of periods, in order."""
    hits = talk.rows.find("period name", talk)
    return sorted(
        _Name(hit.parts["n"][0], int(meant(talk, hit, "n")), *hit.row.numbers("within")) for hit in hits
    )


def _period(talk: Talk, names: Sequence[_Name], start: int, end: int) -> int | None:
    """Which period the words from ``start`` to ``end`` (exclusive) are about: the first one named with them."""
    low, high = talk.segment(start)
    near = (
        name.period
        for name in names
        if max(low, start - name.before) <= name.place < min(high, end + name.after)
    )
    return next(near, None)


def find_actions(talk: Talk) -> list[ActionMention]:
    """Motion on the mat: somebody wrestles."""
    holds = [t for t in talk.terms.all("kind") if t.entry.strength in ("hold", "verb")]
    terms = sorted([*talk.terms.all("action"), *holds], key=lambda t: t.start)
    return [
        ActionMention(t.start, t.end, talk.time(t.start), "asserted", t.entry.value or "motion")
        for t in terms
    ]
