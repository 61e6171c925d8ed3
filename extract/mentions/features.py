"""The features of the words of a talk, as rows name them (see ``extract/lexicon/features.py``)."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from typing import TYPE_CHECKING

from extract.lexicon import small_words
from extract.lexicon.entries import ROLES
from extract.lexicon.features import PAUSE, RANGE
from extract.talk.numbers import Number

if TYPE_CHECKING:
    from extract.cast.model import CornerRef
    from extract.mentions.talk import Talk

_COLON = re.compile(r"\d{1,2}:\d")
_PLAIN = frozenset({"figure", "word", "zero"})


def set_of(places: Iterable[int], size: int) -> int:
    """A set of places as a number with a bit for each."""
    bits = bytearray(size // 8 + 1)
    for i in places:
        bits[i >> 3] |= 1 << (i & 7)
    return int.from_bytes(bits, "little")


class Features:
    """The features of a talk, each worked out when it is first asked for."""

    def __init__(self, talk: Talk) -> None:
        self._talk = talk
        self._size = len(talk.words)
        self._all = (1 << (self._size + 1)) - 1
        self._masks: dict[str, int] = {}
        self._stretches: dict[str, tuple[tuple[int, int], ...]] = {}
        self._where: defaultdict[str, list[int]] | None = None

    def mask(self, feature: str) -> int:
        """The words that have a feature, each word of a stretch; or the places."""
        found = self._masks.get(feature)
        if found is None:
            found = self._masks[feature] = self._found(feature)
        return found

    def stretches(self, feature: str) -> tuple[tuple[int, int], ...]:
        """For each length, the longest first, the words at which a stretch of the feature begins."""
        found = self._stretches.get(feature)
        if found is None:
            lengths: defaultdict[int, list[int]] = defaultdict(list)
            for start, end in self._spans(feature):
                lengths[end - start].append(start)
            found = self._stretches[feature] = tuple(
                (length, set_of(lengths[length], self._size)) for length in sorted(lengths, reverse=True)
            )
        return found

    def meaning(self, feature: str, i: int) -> object:
        """What a stretch of a feature that begins at word ``i`` means: a corner, a value, the words themselves."""
        talk = self._talk
        if feature.startswith("corner"):
            ref = talk.ref_at(i)
            return ref.corner if ref is not None else None
        if feature.startswith("number"):
            k = talk.number_at(i)
            return talk.numbers[k].value if k is not None else None
        term = talk.terms.at(feature.partition(":")[0], i)
        return term.entry.value if term is not None else talk.words[i]

    def _found(self, feature: str) -> int:
        if feature[:1] == '"':
            return set_of(self._places(feature[1:]), self._size)
        talk, document = self._talk, self._talk.document
        inside = range(self._size)
        match feature:
            case "any":
                return self._all >> 1
            case "mark":
                return set_of((i for i in inside if not talk.words[i][:1].isalnum()), self._size)
            case "hard_end":
                return set_of((i for i in inside if document.hard_end(i)), self._size)
            case "opens":
                return set_of(
                    (i for i in range(self._size + 1) if i == self._size or talk.opens(i)), self._size
                )
            case "closes":
                return set_of((i for i in range(self._size + 1) if talk.closes(i)), self._size)
            case "segment":
                cuts = (i for i in range(1, self._size) if talk.segment_of[i] != talk.segment_of[i - 1])
                return set_of((0, *cuts, self._size), self._size)
            case "line":
                return set_of((i for i in range(1, self._size) if talk.lines(i - 1, i)), self._size)
            case "turn":
                return set_of(document.turns, self._size)
            case "notes":
                return self._all if document.notes else 0
            case "punctuated":
                return self._all if document.punctuated else 0
        if feature.startswith("suffix:"):
            letters = feature.removeprefix("suffix:")
            return set_of((i + 1 for i in inside if talk.words[i].endswith(letters)), self._size)
        pause = PAUSE.fullmatch(feature)
        if pause is not None:
            return set_of(document.silences(int(pause[1])), self._size)
        bits = 0
        for length, begins in self.stretches(feature):
            for k in range(length):
                bits |= begins << k
        return bits

    def _places(self, word: str) -> list[int]:
        if self._where is None:
            self._where = defaultdict(list)
            for i, each in enumerate(self._talk.words):
                self._where[each].append(i)
        return self._where.get(word, [])

    def _spans(self, feature: str) -> Iterator[tuple[int, int]]:
        talk = self._talk
        name, _, value = feature.partition(":")
        if name == "corner":
            for ref in talk.refs:
                if not value or _is_corner(ref, value):
                    yield from self._in_segments(ref.start, ref.end)
        elif name == "number":
            yield from ((n.start, n.end) for n in self._numbers(value))
        elif name in ("link", "link_after"):
            words = small_words("links" if name == "link" else "links_after")
            yield from ((i, i + 1) for i in self._words(words) if talk.ref_at(i) is None)
            yield from ((i, i + 1) for i in self._places(".") if not talk.document.hard_end(i))
        elif name == "leading":
            leads = talk.terms.all("lead")
            yield from ((t.start, t.end) for t in leads if not talk.terms.at("not_lead", t.start))
        elif name == "trailing":
            trails = (t for t in talk.terms.all("trail") if t.entry.strength != "loose")
            yield from ((t.start, t.end) for t in trails if not talk.terms.at("not_trail", t.start))
        elif name == "colon_pair":
            yield from ((i, i + 1) for i, word in enumerate(talk.words) if _COLON.fullmatch(word))
        elif name in ROLES:
            yield from (
                (t.start, t.end)
                for t in talk.terms.all(name)
                if not value or {t.entry.value, t.entry.strength, t.entry.scope}.issuperset(value.split(":"))
            )
        else:
            yield from self._said(_phrases(name))

    def _in_segments(self, start: int, end: int) -> Iterator[tuple[int, int]]:
        """The pieces of a stretch that runs over the end of a segment, one for each: a name may be broken by a
        caption."""
        while start < end:
            stop = min(end, self._talk.segment(start)[1])
            yield start, stop
            start = stop

    def _words(self, words: Iterable[str]) -> Iterator[int]:
        for word in words:
            yield from self._places(word)

    def _numbers(self, sort: str) -> Iterable[Number]:
        """The numbers of a sort: all, those between two values, those with a sign before them, those of a form."""
        numbers = self._talk.numbers
        values = RANGE.fullmatch(sort)
        if values is not None:
            least, most = int(values[1]), int(values[2])
            return [n for n in numbers if least <= n.value <= most]
        if sort == "signed":
            return [n for n in numbers if self._talk.words[n.start][0] == "+"]
        if sort == "plain":
            return [n for n in numbers if n.form in _PLAIN]
        return [n for n in numbers if n.form == sort] if sort else numbers

    def _said(self, phrases: Iterable[tuple[str, list[str]]]) -> Iterator[tuple[int, int]]:
        """Where phrases of small words are said."""
        for first, others in phrases:
            for i in self._places(first):
                end = i + 1 + len(others)
                if self._talk.words[i + 1 : end] == others:
                    yield i, end


def _is_corner(ref: CornerRef, sort: str) -> bool:
    return sort in (ref.corner, ref.how, ref.about)


@cache
def _phrases(name: str) -> tuple[tuple[str, list[str]], ...]:
    """The phrases of a set of small words: the first word of each, and the others."""
    split = (phrase.split() or [""] for phrase in small_words(name))
    return tuple((first, others) for first, *others in split)
