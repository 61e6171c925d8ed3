"""Who holds the number said first in a score, as the words around have it."""

from __future__ import annotations

from extract.mentions.model import Tie
from extract.mentions.score_pairs import Pair
from extract.mentions.talk import Talk
from extract.mentions.whose import Owner, whose
from extract.rules.base import Corner, other

#: A pronoun, "us" or "the champion" ties less than a name.
_LESS = frozenset({"pronoun", "home", "role"})
_WEAKER: dict[Tie, Tie] = {"attached": "clause", "clause": "near", "near": "near", "none": "none"}


def holder_of(talk: Talk, pair: Pair) -> tuple[Corner | None, Tie]:
    """Who holds the first number, and how that is known."""
    owner = whose(talk, "score", pair.start, pair.end)
    if owner is None:
        return None, "none"
    corner, tie = _first(talk, pair, owner)
    return corner, _WEAKER[tie] if owner.ref.how in _LESS else tie


def _first(talk: Talk, pair: Pair, owner: Owner) -> tuple[Corner, Tie]:
    """Who holds the first number where a corner is named: the words of leading or trailing around decide, and without any
    the one named holds the number said first."""
    again = talk.value_at(owner.parts["again"][0]) if "again" in owner.parts else None
    if pair.pair[0] != pair.pair[1] and again in pair.pair:
        # "eight-six, Toll has six"
        return owner.corner if again == pair.pair[0] else other(owner.corner), owner.tie
    low_first = pair.pair[0] < pair.pair[1]
    end = max(pair.end, owner.ref.end) + owner.row.number("order")
    end = min(end, talk.segment(pair.end - 1)[1])
    if talk.said("trailing", owner.ref.end, end):
        return owner.corner if low_first else other(owner.corner), owner.tie
    if low_first and talk.said("leading", owner.ref.end, end):
        return other(owner.corner), owner.tie
    if low_first and owner.row.more.get("higher") and not talk.said("trail", pair.start - 3, end):
        return other(owner.corner), "clause"
    return owner.corner, owner.tie
