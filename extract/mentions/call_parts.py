"""The pieces that calls are made of."""

from __future__ import annotations

from dataclasses import dataclass

from extract.mentions.model import Tie
from extract.rules.base import PENALTIES, WARNINGS, Corner

#: Kinds whose named corner is the one warned or penalised, not the one credited.
AGAINST = WARNINGS | PENALTIES
#: The corner of words that are nobody's.
NOBODY: tuple[None, Tie, bool] = None, "none", False


@dataclass(frozen=True, slots=True)
class CallPart:
    """A piece of a call: points or a kind, with the corner credited as this piece has it; ``given_to`` where the
    words say so ("two for blue"), not only stand beside it ("blue, two"). ``row`` is the way of saying
    by which points were found, ``sort`` what a kind is to the one whom it names (see ``sort_of``)."""

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
    sort: str = "award"


def sort_of(kind: str, strength: str) -> str:
    """What a kind is to the one whom it names: ``warning`` and ``penalty`` name the offender, where one ``goes out`` the
    point is the other's, an ``award`` is the named one's. Rows have ``part`` besides: a part of the body of the one who
    suffers it."""
    if kind in WARNINGS:
        return "warning"
    if kind in PENALTIES:
        return "penalty"
    return "goes out" if strength == "verb" else "award"
