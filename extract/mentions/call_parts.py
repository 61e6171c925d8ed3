"""The pieces that calls are made of, and the rows that say what a piece is."""

from __future__ import annotations

from dataclasses import dataclass

from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.mentions.whose import Owner
from extract.phrases import Row
from extract.rules.base import PENALTIES, WARNINGS, Corner

#: Kinds whose named corner is the one warned or penalised, not the one credited.
AGAINST = WARNINGS | PENALTIES


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a call: points or a kind, with the corner credited as this piece has it; ``given_to`` where the
    words say so ("two for blue"), not only stand beside it ("blue, two"). ``row`` is the way of saying that it was found
    by."""

    start: int
    end: int
    kinds: tuple[str, ...]
    points: int | None
    strength: str
    corner: Corner | None
    tie: Tie
    more: bool = False
    given_to: bool = False
    row: str = ""


def sort_of(kind: str, strength: str) -> str:
    """What a kind is to the one whom it names: ``warning`` and ``penalty`` name the offender, where one ``goes out`` the
    point is the other's, an ``award`` is the named one's."""
    if kind in WARNINGS:
        return "warning"
    if kind in PENALTIES:
        return "penalty"
    return "goes out" if strength == "verb" else "award"


def fits_owner(row: Row, tie: Tie, *, given: bool = False) -> bool:
    """Whether the corner is known as well as a row asks for."""
    ties = row.texts("tie")
    return (not ties or tie in ties) and (given or not row.more.get("given"))


def first_row(talk: Talk, gives: str, start: int, end: int, owner: Owner | None) -> Row | None:
    """The first row of a table that fits the words from ``start`` to ``end`` (exclusive), and how their corner is
    known."""
    tie, given = (owner.tie, owner.given) if owner is not None else ("none", False)
    rows = (hit.row for hit in talk.rows.fitting(gives, talk, start, end))
    return next((row for row in rows if fits_owner(row, tie, given=given)), None)
