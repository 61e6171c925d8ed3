"""How alike two written words are to the ear: names that a caption misheard are found by it."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from rapidfuzz import fuzz
from rapidfuzz.distance import Levenshtein

from extract.talk.words import table

# Letters to sounds, first match first. Voiced and unvoiced stops and sibilants fall together, since captions
# mix them; vowels keep only front (i) and back (a), since unstressed ones are a guess anyway.
_RULES: tuple[tuple[str, str], ...] = (
    (r"^(?:kn|gn|pn)", "n"),
    (r"^wr", "r"),
    (r"^ps", "s"),
    (r"^x", "s"),
    (r"mb$", "m"),
    (r"(?<=[aeiouy][bcdfgklmnpstvxz])e$", ""),
    (r"tch|sch|sh|ch|zh|j", "x"),
    (r"ph|v", "f"),
    (r"(?<=[aeiou])gh", ""),
    (r"gh", "k"),
    (r"dge?(?=[eiy])", "x"),
    (r"dz|ts|tz|th?z", "s"),
    (r"th|d", "t"),
    (r"ck|cc(?![eiy])|cq|q|g|c(?![eiy])", "k"),
    (r"c|z", "s"),
    (r"b", "p"),
    (r"(?:er|or|ar|ir|our|re|ah)$", "a"),
    (r"^y", "i"),
    (r"(?<!^)[wh]", ""),
    (r"ee|ea|ie|ei|ey|ai|ay|[eiy]+", "i"),
    (r"[aou]+", "a"),
)
_COMPILED = tuple((re.compile(pattern), sound) for pattern, sound in _RULES)
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
    for pattern, to in _COMPILED:
        key = pattern.sub(to, key)
    return _REPEAT.sub(r"\1", key)


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
def _spoken() -> dict[str, str]:
    return table("spoken")
