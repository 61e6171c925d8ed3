"""Finds where single letters in typed notes stand for the two athletes: "K td", "B again"."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from extract.cast.model import Cast, CornerRef, Person
from extract.cast.name_forms import given_and_surname
from extract.rules.base import Corner
from extract.talk.word_lists import word_list
from extract.talk.words import Words

#: Each letter must stand so often before it is taken for a name.
_OFTEN = 3


def initial_refs(talk: Words, cast: Cast, taken: Sequence[CornerRef]) -> list[CornerRef]:
    """Single capitals that are the initials of the two: one of each, both often. Those that are taken stay."""
    if not talk.notes:
        return []
    held = {i for ref in taken for i in range(ref.start, ref.end)}
    places = [i for i, text in enumerate(talk.text) if len(text) == 1 and text.isupper() and i not in held]
    places = [i for i in places if talk.after(i + 1) not in word_list("colours", "body")]
    counts = Counter(talk.text[i] for i in places)
    pairs = [
        (counts[red] + counts[blue], red, blue)
        for red in _initials(cast.red)
        for blue in _initials(cast.blue)
        if red != blue and min(counts[red], counts[blue]) >= _OFTEN
    ]
    if not pairs:
        return []
    _, red, blue = max(pairs)
    corners: dict[str, Corner] = {red: "red", blue: "blue"}
    return [
        CornerRef(i, i + 1, corners[talk.text[i]], "name", 0.85) for i in places if talk.text[i] in corners
    ]


def _initials(person: Person) -> set[str]:
    given, family = given_and_surname(person.name)
    return {part[0].upper() for part in (given, *family) if part}
