"""How alike two written words are to the ear: names that a caption misheard are found by it."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import cast

from rapidfuzz import fuzz
from rapidfuzz.distance import Levenshtein

from extract.talk.word_lists import table, table_of

_REPEAT = re.compile(r"(.)\1+")
_NOT_LETTER = re.compile(r"[^a-z]")


@lru_cache(maxsize=16384)
def letters(word: str) -> str:
    """``word`` in lower case, its accents and everything but letters dropped.

    >>> letters("O'Brádaigh")
    'obradaigh'
    """
    plain = word.lower() if word.isascii() else unicodedata.normalize("NFKD", word.lower())
    return _NOT_LETTER.sub("", plain)


@lru_cache(maxsize=16384)
def sound(word: str) -> str:
    """A rough phonetic key of ``word``; what an English ear confuses has the same or nearly the same key.

    >>> sound("Vasilov") == sound("Vasiloff")
    True
    """
    key = letters(word)
    key = _spoken().get(key, key)
    for pattern, to in _rules():
        key = pattern.sub(to, key)
    return _REPEAT.sub(r"\1", key)


@lru_cache(maxsize=16384)
def consonants(word: str) -> str:
    """What a recogniser keeps of a name when it writes other words for it: the first sound, and the consonants after it.

    Vowels are alike, and so are sibilants, and at the beginning those sounds that lips make, and y and j.

    >>> consonants("Yorish") == consonants("Joris"), consonants("Far Conan") == consonants("Varkonen")
    (True, True)
    """
    kept = sound(letters(word))
    for pattern, to in _skeleton():
        kept = pattern.sub(to, kept)
    return kept


def likeness(heard: str, name: str) -> float:
    """How likely ``heard`` is ``name`` misheard, from 0 to 1 (the same letters).

    Spelling and sound count half each: mishearings by a recogniser keep the sound, slips of typing the
    letters.
    """
    a, b = letters(heard), letters(name)
    if not a or not b:
        return float(heard.lower() == name.lower())  # another script, or nothing
    if a == b:
        return 1.0
    spelled = fuzz.ratio(a, b) / 100
    sounded = Levenshtein.normalized_similarity(sound(heard), sound(name))
    return 0.5 * spelled + 0.5 * float(sounded)


@lru_cache(maxsize=1)
def _rules() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Letters to sounds, in the order in which they are read."""
    return _patterns("sounds")


@lru_cache(maxsize=1)
def _skeleton() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Sounds to those that are kept."""
    return _patterns("kept")


def _patterns(key: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    rows = cast("list[tuple[str, str]]", table_of("spelling")[key])
    return tuple((re.compile(pattern), to) for pattern, to in rows)


@lru_cache(maxsize=1)
def _spoken() -> dict[str, str]:
    return table("spoken")
