"""What a reference to a corner speaks of: the athlete, the bench, or something the athlete has."""

from __future__ import annotations

from extract.cast.model import About
from extract.talk.word_lists import word_list
from extract.talk.words import Words


def about_what(talk: Words, end: int) -> tuple[About, int]:
    """What a reference that ends at ``end`` speaks of, and where it ends with a bench noun taken in."""
    nouns = word_list("bench", "nouns")
    at, owned = end, False
    if talk.after(at) in {"'s", "'"}:
        owned, at = True, at + 1
    word = talk.after(at)
    if word in nouns:
        return "bench", at + 1
    if owned and word in {"own", "whole", "entire"} and talk.after(at + 1) in nouns:
        return "bench", at + 2
    if owned and word[:1].isalpha() and not _predicate(word):
        return "possessive", end
    return "athlete", end


def _predicate(word: str) -> bool:
    """Whether after "'s" the word shows that "is" or "has" is meant and nothing is owned."""
    known = word in word_list("bench", "predicates")
    return known or word[:1].isdigit() or word.endswith(("ing", "ed", "n't"))
