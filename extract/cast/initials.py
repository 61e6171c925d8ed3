"""Finds where single letters in typed notes stand for the two athletes: "K td", "B again"."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import product

from extract.cast.model import Cast, CornerRef, Person
from extract.cast.name_forms import name_words
from extract.rules.base import CORNERS, Corner
from extract.talk.word_lists import word_list
from extract.talk.words import TalkWords

#: Each letter must stand so often before it is taken for a name.
_OFTEN = 3


def initial_refs(talk: TalkWords, cast: Cast, taken: Sequence[CornerRef]) -> list[CornerRef]:
    """Single capitals that are the initials of the two: one of each, both often. Those that are taken stay."""
    if not talk.notes:
        return []
    held = {i for ref in taken for i in range(ref.start, ref.end)}
    body = word_list("colours", "body")
    places = [i for i in talk.single_capitals() if i not in held and talk.after(i + 1) not in body]
    corners = _chosen(Counter(talk.text[i] for i in places), cast)
    return [
        CornerRef(i, i + 1, corners[talk.text[i]], "name", 0.85) for i in places if talk.text[i] in corners
    ]


def _chosen(counts: Mapping[str, int], cast: Cast) -> dict[str, Corner]:
    """The letters that stand for the two: those of their initials that come most often together."""
    pairs = [pair for pair in product(initials(cast.red), initials(cast.blue)) if len({*pair}) > 1]
    often = [pair for pair in pairs if min(counts[mark] for mark in pair) >= _OFTEN]
    best = max(often, key=lambda pair: (counts[pair[0]] + counts[pair[1]], pair), default=())
    return dict(zip(best, CORNERS, strict=False))


def initials(person: Person) -> set[str]:
    """The first letters of an athlete's names."""
    return {word[0].upper() for word in name_words(person.name)}
