"""The words of a transcript laid out for matching, and the word lists that matching consults."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache
from itertools import chain
from typing import cast

from extract.lexicon.data import load_toml
from extract.talk.tokens import WordForm


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
    for ending, least, puts in (
        ("s", 5, ("",)),
        ("es", 6, ("",)),
        ("ed", 6, ("", "e")),
        ("ly", 6, ("",)),
        ("ness", 7, ("",)),
        ("ing", 7, ("", "e")),
        ("ies", 6, ("y",)),
        ("ied", 6, ("y",)),
    ):
        if len(word) >= least and word.endswith(ending):
            stem = word[: -len(ending)]
            if any(stem + put in common for put in puts):
                return True
    return False


class Words:
    """Words and marks as parallel lists, so that the matching loops touch no objects. White space is none of them.

    ``text``, ``lower``, ``norm``, ``word`` and ``cap`` are those of ``WordForm``. ``breaks`` are the positions at which a
    new line or cue begins. ``opens`` tells that a sentence or a cue begins at the word. ``capitals`` is how many begin
    with one. ``cased`` is whether capitals tell anything, ``notes`` whether it is telegraphic notes (many short cues,
    hardly a function word).
    """

    __slots__ = (
        "_places", "breaks", "cap", "capitals", "cased", "lower", "norm", "notes", "opens", "text", "word",
    )  # fmt: skip

    def __init__(self, forms: Sequence[WordForm]) -> None:
        """``forms`` are the tokens of a text, those of white space among them."""
        self.breaks: set[int] = set()
        self.opens: list[bool] = []
        opening = True
        for form in forms:
            if not form.space:
                self.opens.append(opening)
            elif form.breaks:
                self.breaks.add(len(self.opens))
            if form.then != "keeps":
                opening = form.then == "opens"
        kept = [form for form in forms if not form.space]
        self.text: list[str] = [form.text for form in kept]
        self.lower: list[str] = [form.lower for form in kept]
        self.norm: list[str] = [form.norm for form in kept]
        self.word: list[bool] = [form.word for form in kept]
        self.cap: list[bool] = [form.cap for form in kept]
        words = sum(self.word)
        self.capitals: int = sum(self.cap)
        self.cased: bool = self.capitals > 0.04 * max(words, 1)
        self._places: defaultdict[str, list[int]] = defaultdict(list)
        for i, norm in enumerate(self.norm):
            self._places[norm].append(i)
        function_words = word_list("names", "grammar")
        grammar = sum(map(function_words.__contains__, self.lower))
        self.notes: bool = words > 0 and self.cased and grammar < 0.24 * words

    def __len__(self) -> int:
        return len(self.text)

    def distinct(self) -> Mapping[str, list[int]]:
        """Each ``norm`` that there is, with the positions that have it, in order of the first."""
        return self._places

    def places(self, norms: Iterable[str]) -> list[int]:
        """The positions whose ``norm`` is one of ``norms``, each named once, in order."""
        found = [self._places[norm] for norm in norms if norm in self._places]
        return sorted(chain.from_iterable(found))

    def before(self, i: int) -> str:
        """The word before ``i`` in the same line, in small letters, or an empty string."""
        return self.lower[i - 1] if i > 0 and i not in self.breaks else ""

    def after(self, i: int) -> str:
        """The word at ``i`` in small letters, if it is in the same line as the one before it, or an empty string."""
        return self.lower[i] if i < len(self.lower) and i not in self.breaks else ""

    def broken(self, start: int, end: int) -> bool:
        """Whether a new line begins inside the words ``start`` to ``end`` (exclusive)."""
        return not self.breaks.isdisjoint(range(start + 1, end))

    def stand_at(self, i: int, words: Sequence[str], *, norm: bool = False) -> bool:
        """Whether ``words`` stand at ``i``, all in one line; with ``norm`` as those of ``norm``."""
        end = i + len(words)
        there = (self.norm if norm else self.lower)[max(i, 0) : end]
        return there == list(words) and not self.broken(i, end)
