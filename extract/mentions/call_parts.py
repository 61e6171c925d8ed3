"""The pieces that calls are made of, and the tables of rows that say what a piece is."""

from __future__ import annotations

from dataclasses import dataclass

from extract.mentions.model import Tie
from extract.mentions.talk import Talk
from extract.phrases import Hit
from extract.rules.base import PENALTIES, WARNINGS, Corner

#: Kinds whose named corner is the one warned or penalised, not the one credited.
AGAINST = WARNINGS | PENALTIES
#: The corner of words that are nobody's.
NOBODY: tuple[None, Tie, bool] = None, "none", False


@dataclass(frozen=True, slots=True)
class CallPart:
    """A piece of a call: points or a kind, with the corner credited as this piece has it; ``given_to`` where the
    words say so ("two for blue"), not only stand beside it ("blue, two"). ``row`` is the way of saying
    by which points were found."""

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


def first_fit(
    talk: Talk, gives: str, start: int, end: int, *, tie: Tie = "none", given: bool = False, of: str = ""
) -> Hit | None:
    """The first row of a table that fits the words from ``start`` to ``end`` (exclusive), what they are ``of``, and how
    their corner is known."""
    hits = talk.rows.fitting(gives, talk, start, end)
    return next((hit for hit in hits if allows(hit, tie=tie, given=given, of=of)), None)


def allows(hit: Hit, *, tie: Tie = "none", given: bool = False, of: str = "") -> bool:
    """Whether a row holds for words ``of`` this sort, with a corner that is known in this way."""
    sorts, ties = hit.row.texts("of"), hit.row.texts("tie")
    return (
        (not sorts or of in sorts) and (not ties or tie in ties) and (given or not hit.row.more.get("given"))
    )
