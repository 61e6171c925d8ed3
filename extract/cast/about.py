"""What a reference to a corner speaks of: the athlete, the bench, or something the athlete has."""

from __future__ import annotations

from extract.cast.model import About
from extract.talk.word_lists import word_list
from extract.talk.words import TalkWords


def owns(talk: TalkWords, i: int) -> bool:
    """Whether the sign of possession stands at ``i``, in the line of the word before it."""
    return talk.after(i) in word_list("names", "possessive")


def about_what(talk: TalkWords, end: int) -> tuple[About, int]:
    """What a reference that ends at ``end`` speaks of, and where it ends with a bench noun taken in."""
    at = talk.over(end, word_list("bench", "owned"), 1)
    owned = at > end
    noun = talk.over(at, word_list("bench", "before_noun"), 1) if owned else at
    if talk.after(noun) in word_list("bench", "nouns"):
        return "bench", noun + 1
    if owned and talk.after(at)[:1].isalpha() and not _predicate(talk.after(at)):
        return "possessive", end
    return "athlete", end


def _predicate(word: str) -> bool:
    """Whether after "'s" the word shows that "is" or "has" is meant and nothing is owned."""
    endings = tuple(word_list("bench", "predicate_endings"))
    return word in word_list("bench", "predicates") or word.endswith(endings)
