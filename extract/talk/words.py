"""The words of a transcript laid out for matching, and phrases found among them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import chain, compress
from typing import Generic, NamedTuple, TypeVar

from extract.talk.tokens import WordForm, is_hard
from extract.talk.word_lists import word_list

Value = TypeVar("Value")


class TalkWords:
    """Words and marks as parallel lists, so that the matching loops touch no objects. White space is none of them.

    ``text``, ``lower``, ``norm``, ``word`` and ``cap`` are those of ``WordForm``. ``breaks`` are the positions at which a
    new line or cue begins. ``opens`` tells that a sentence or a cue begins at the word. ``capitals`` is how many begin
    with one. ``cased`` is whether capitals tell anything, ``terse`` whether there is hardly a function word, ``notes``
    whether it is telegraphic notes: terse, and not the captions of a recogniser, which have no capitals.
    """

    __slots__ = (
        "_places", "breaks", "cap", "capitals", "cased", "lower", "norm", "notes", "opens", "terse",
        "text", "word",
    )  # fmt: skip

    def __init__(self, forms: Sequence[WordForm]) -> None:
        """``forms`` are the tokens of a text, those of white space among them."""
        columns = zip(*forms, strict=True) if forms else ((),) * len(WordForm._fields)
        text, lower, norm, space, word, cap, breaks, then = columns
        opens, opening = [], True
        for effect in then:
            opens.append(opening)
            if effect != "keeps":
                opening = effect == "opens"
        kept = [not blank for blank in space]
        blanks = (i for i, blank in enumerate(space) if blank)
        self.breaks: set[int] = {i - before for before, i in enumerate(blanks) if breaks[i]}
        self.text: list[str] = list(compress(text, kept))
        self.lower: list[str] = list(compress(lower, kept))
        self.norm: list[str] = list(compress(norm, kept))
        self.word: list[bool] = list(compress(word, kept))
        self.cap: list[bool] = list(compress(cap, kept))
        self.opens: list[bool] = list(compress(opens, kept))
        words = sum(self.word)
        self.capitals: int = sum(self.cap)
        self.cased: bool = self.capitals > 0.04 * max(words, 1)
        self._places: defaultdict[str, list[int]] = defaultdict(list)
        for i, form in enumerate(self.norm):
            self._places[form].append(i)
        function_words = word_list("names", "grammar")
        grammar = sum(map(function_words.__contains__, self.lower))
        self.terse: bool = grammar < 0.24 * words
        self.notes: bool = self.cased and self.terse

    def since(self, first: int) -> TalkWords:
        """The words from a position on. What is told by the whole talk stays as it is."""
        out = object.__new__(TalkWords)
        out.breaks = {i - first for i in self.breaks if i > first}
        out.text, out.lower, out.norm = self.text[first:], self.lower[first:], self.norm[first:]
        out.word, out.cap, out.opens = self.word[first:], self.cap[first:], self.opens[first:]
        out.capitals, out.cased, out.terse, out.notes = self.capitals, self.cased, self.terse, self.notes
        out._places = defaultdict(list)
        for i, form in enumerate(out.norm):
            out._places[form].append(i)
        return out

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

    def may_name(self, i: int) -> bool:
        """Whether the word at ``i`` is written as a name: with a capital, where these tell anything."""
        return self.word[i] and (self.cap[i] or not self.cased)

    def is_word(self, i: int) -> bool:
        """Whether a word, no mark or figure, is at ``i``, in the line of the one before it."""
        return i < len(self.word) and self.word[i] and i not in self.breaks

    def single_capitals(self) -> list[int]:
        """The positions of capital letters that stand alone."""
        return [i for i, text in enumerate(self.text) if len(text) == 1 and text.isupper()]

    def broken(self, start: int, end: int) -> bool:
        """Whether a new line begins inside the words ``start`` to ``end`` (exclusive)."""
        return not self.breaks.isdisjoint(range(start + 1, end))

    def stand_at(self, i: int, words: list[str]) -> bool:
        """Whether ``words`` stand at ``i``, all in one line."""
        end = i + len(words)
        return self.norm[max(i, 0) : end] == words and not self.broken(i, end)

    def parted(self, start: int, end: int) -> bool:
        """Whether a sentence ends between two positions."""
        return any(map(is_hard, self.lower[start:end]))

    def over(self, i: int, words: Collection[str], most: int = 99) -> int:
        """The position after those of ``words`` that stand at ``i``, in the line of the word before ``i``."""
        end = i + most
        while i < end and self.after(i) in words:
            i += 1
        return i

    def back_over(self, i: int, words: Collection[str], most: int = 99) -> int:
        """The position of the first of those ``words`` that stand right before ``i``, in its line."""
        first = i - most
        while i > first and self.before(i) in words:
            i -= 1
        return i


class PhrasePlace(NamedTuple, Generic[Value]):
    """Where a phrase of a table stands, its end exclusive, and what it has there."""

    start: int
    end: int
    value: Value


class PhraseTable(Generic[Value]):
    """Phrases, each with a value, found where they stand in one line; of several that begin alike the longest."""

    def __init__(self, phrases: Mapping[str, Value]) -> None:
        """The words of a phrase are separated by blanks, as are marks and clitics: "red - hot", "she 's"."""
        self._by_first: dict[str, list[tuple[list[str], Value]]] = {}
        for words, value in sorted(((p.split(), v) for p, v in phrases.items()), key=lambda p: -len(p[0])):
            self._by_first.setdefault(words[0], []).append((words, value))

    @property
    def firsts(self) -> frozenset[str]:
        """The first words of all phrases."""
        return frozenset(self._by_first)

    def at(self, talk: TalkWords, i: int) -> PhrasePlace[Value] | None:
        """The phrase that begins at ``i``."""
        begun = self._by_first.get(talk.norm[i], ()) if i < len(talk.norm) else ()
        for words, value in begun:
            if talk.stand_at(i, words):
                return PhrasePlace(i, i + len(words), value)
        return None

    def all(self, talk: TalkWords) -> Iterator[PhrasePlace[Value]]:
        """All phrases in order; none overlaps another."""
        end = 0
        for i in talk.places(self._by_first):
            found = self.at(talk, i) if i >= end else None
            if found is not None:
                end = found.end
                yield found
