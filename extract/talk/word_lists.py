"""The word lists that the reading of words consults: the cast lexicon, and the words that everybody uses."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import cast

from extract.lexicon.data import load_toml


@cache
def word_list(section: str, key: str) -> frozenset[str]:
    """The blank-separated words under ``key`` of ``section`` in the cast lexicon."""
    return frozenset(str(table_of(section)[key]).split())


@cache
def phrase_list(section: str, key: str) -> tuple[str, ...]:
    """The phrases under ``key`` of ``section`` in the cast lexicon, in order."""
    return tuple(str(x) for x in cast("list[object]", table_of(section)[key]))


def table_of(section: str) -> dict[str, object]:
    """``section`` of the cast lexicon as it stands."""
    return cast("dict[str, object]", load_toml("talk/cast")[section])


@cache
def table(section: str) -> dict[str, str]:
    """``section`` of the cast lexicon, all of whose values are strings. Treat it as read only."""
    return {key: str(value) for key, value in table_of(section).items()}


@lru_cache(maxsize=1)
def _common() -> frozenset[str]:
    return frozenset(str(load_toml("talk/common_words")["words"]).split()) | word_list("names", "trade")


@lru_cache(maxsize=16384)
def is_common(word: str) -> bool:
    """Whether ``word`` (lower case) is everyday English or talk of the trade, regular inflections included.

    >>> is_common("wrestles"), is_common("varkady")
    (True, False)
    """
    common = _common()
    if word in common:
        return True
    return any(
        len(word) >= least and word.endswith(ending) and word.removesuffix(ending) + put in common
        for ending, least, put in _inflections()
    )


@lru_cache(maxsize=1)
def _inflections() -> tuple[tuple[str, int, str], ...]:
    """Each ending, the least letters of a word that has it, and what stands in its place in the plain word."""
    rows = cast("list[tuple[str, int, str]]", table_of("spelling")["inflections"])
    return tuple((ending, least, put) for ending, least, put in rows)
