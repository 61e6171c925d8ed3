"""The words of a transcript laid out for matching."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain

from extract.talk.tokens import WordForm
from extract.talk.word_lists import word_list


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
