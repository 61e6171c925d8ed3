"""Who "the home man" or "the top seed" is, where the talk sets it beside one athlete's name."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import lru_cache
from itertools import product

from extract.cast.model import CornerRef
from extract.rules.base import Corner
from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import PhraseTable, TalkWords


@lru_cache(maxsize=1)
def _roles() -> PhraseTable[tuple[str, bool]]:
    """Each role with a key that is the same for its variants, and whether an article has to stand before it."""
    home = product(word_list("roles", "home"), word_list("roles", "nouns"))
    seeds = product(word_list("roles", "seed_numbers"), word_list("roles", "seeds"))
    return PhraseTable(
        {f"{word} {noun}": ("home", False) for word, noun in home}
        | {f"{number} {noun}": (number, False) for number, noun in seeds}
        | {
            title: (key, True)
            for titles in phrase_list("roles", "titles")
            for key, title in _variants(titles)
        }
    )


def _variants(titles: str) -> list[tuple[str, str]]:
    variants = titles.split(" / ")
    return [(variants[0], variant) for variant in variants]


def role_refs(talk: TalkWords, refs: Iterable[CornerRef]) -> list[CornerRef]:
    """Roles as references, each where the talk sets it beside one athlete only."""
    athletes = [ref for ref in refs if ref.how in ("name", "nickname") and ref.about == "athlete"]
    starts, ends = {ref.start: ref.corner for ref in athletes}, {ref.end: ref.corner for ref in athletes}
    found: list[tuple[str, int, int]] = []
    corners: defaultdict[str, set[Corner]] = defaultdict(set)
    for i, end, (key, needs_article) in _roles().all(talk):
        if not needs_article or talk.before(i) in word_list("roles", "articles"):
            start = talk.back_over(i, word_list("roles", "before"))
            found.append((key, start, end))
            corners[key] |= _beside(talk, start, end, starts, ends)
    return [
        CornerRef(start, end, min(corners[key]), "role", 0.8)
        for key, start, end in found
        if len(corners[key]) == 1
    ]


def _beside(
    talk: TalkWords, start: int, end: int, starts: dict[int, Corner], ends: dict[int, Corner]
) -> set[Corner]:
    """Whose name stands in apposition to the role at ``start`` to ``end``; nobody's where that may be either."""
    for at, names in ((start, ends), (end, starts)):
        if at in names and at not in talk.breaks:
            return {names[at]}
    before = ends.get(start - 1) if talk.before(start) in word_list("roles", "after_name") else None
    after = starts.get(end + 1) if talk.after(end) in word_list("roles", "before_name") else None
    if before is None and talk.before(start) in word_list("roles", "is"):
        return set()  # said of a pronoun; the name behind begins something new
    found = {corner for corner in (before, after) if corner}
    return found if len(found) == 1 else set()
