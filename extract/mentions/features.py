"""The features of the words of a talk, as rows name them (see ``extract/lexicon/features.py``)."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING

from extract.lexicon import small_words
from extract.lexicon.entries import ROLES
from extract.lexicon.features import RANGE
from extract.talk.numbers import Number

if TYPE_CHECKING:
    from extract.cast.model import CornerRef
    from extract.talk.document import TalkDocument
    from extract.talk.terms import Terms


#: Marks at which a phrase may begin or end.
PHRASE_MARKS = frozenset({",", ":", "-", "(", ")", '"', "'", "[", "]"})
_COLON = re.compile(r"\d{1,2}:\d")
#: So few places are put together one by one.
_FEW = 12
_PLAIN = frozenset({"figure", "word", "zero"})


def set_of(places: Collection[int], size: int) -> int:
    """A set of places as a number with a bit for each."""
    if len(places) < _FEW:
        few = 0
        for i in places:
            few |= 1 << i
        return few
    bits = bytearray(size // 8 + 1)
    for i in places:
        bits[i >> 3] |= 1 << (i & 7)
    return int.from_bytes(bits, "little")


class Features:
    """The features of a talk, each worked out when it is first asked for."""

    def __init__(
        self,
        document: TalkDocument,
        terms: Terms,
        numbers: Sequence[Number],
        number_at: Mapping[int, int],
        refs: Sequence[CornerRef],
        ref_at: Mapping[int, CornerRef],
        segments: Mapping[int, tuple[int, int]],
        segment_of: Sequence[int],
    ) -> None:
        """``number_at`` has the position in ``numbers`` of the number over a word, ``ref_at`` the reference over it;
        ``segments`` are the first word of each and the place after its last, ``segment_of`` is the segment of each word."""
        self._document = document
        self._terms_of = terms
        self._numbered = numbers
        self._refs = refs
        self._bounds = segments
        self._segment_of = segment_of
        self._words = document.lower
        self._size = len(self._words)
        self._all = (1 << (self._size + 1)) - 1
        self._ref_at = ref_at
        self._number_at = number_at
        self._masks: dict[str, int] = {"any": self._all >> 1}
        self._stretches: dict[str, tuple[tuple[int, int], ...]] = {}
        self._where: dict[str, list[int]] = {}
        for i, word in enumerate(self._words):
            self._where.setdefault(word, []).append(i)

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
        if feature.startswith("corner"):
            return self._ref_at[i].corner if i in self._ref_at else None
        if feature.startswith("number"):
            return self._numbered[self._number_at[i]].value if i in self._number_at else None
        term = self._terms_of.at(feature.partition(":")[0], i)
        return term.entry.value if term is not None else self._words[i]

    def _found(self, feature: str) -> int:
        if feature[:1] == '"':
            return set_of(self._where.get(feature[1:], ()), self._size)
        name, _, value = feature.partition(":")
        places = _PLACES.get(name)
        if places is not None:
            return set_of(places(self, value), self._size)
        bits = 0
        for length, begins in self.stretches(feature):
            for k in range(length):
                bits |= begins << k
        return bits

    def _marks(self, _: str) -> Collection[int]:
        return [i for word, found in self._where.items() if not word[:1].isalnum() for i in found]

    def _hard_ends(self, _: str) -> Collection[int]:
        return [i for i, hard in enumerate(self._document.hard) if hard]

    def _openings(self, _: str) -> Collection[int]:
        """Where a phrase may begin; the end of the talk counts as such a place."""
        stops = self._stops()
        return {0, self._size, *(i + 1 for i in stops), *self._lines("")}

    def _closings(self, _: str) -> Collection[int]:
        return {self._size, *self._stops(), *self._lines("")}

    def _stops(self) -> list[int]:
        """The words that end a phrase: marks, and ends of a sentence."""
        marks = [i for word in PHRASE_MARKS for i in self._where.get(word, ())]
        return [*marks, *self._hard_ends("")]

    def _segments(self, _: str) -> Collection[int]:
        starts = (start for start, _ in self._bounds.values())
        return {0, *starts, self._size}

    def _lines(self, _: str) -> Collection[int]:
        cues = self._document.cue_of
        return [i for i in range(1, self._size) if cues[i] != cues[i - 1]]

    def _turns(self, _: str) -> Collection[int]:
        return self._document.turns

    def _if_notes(self, _: str) -> Collection[int]:
        return range(self._size + 1) if self._document.notes else ()

    def _if_punctuated(self, _: str) -> Collection[int]:
        return range(self._size + 1) if self._document.punctuated else ()

    def _behind_suffix(self, letters: str) -> Collection[int]:
        return [i + 1 for word, found in self._where.items() if word.endswith(letters) for i in found]

    def _silences(self, seconds: str) -> Collection[int]:
        return list(self._document.silences(int(seconds)))

    def _spans(self, feature: str) -> Iterable[tuple[int, int]]:
        name, _, value = feature.partition(":")
        if name in _WAYS:
            return _WAYS[name](self, value if name in ("corner", "number") else name)
        if name in ROLES:
            return self._terms(name, value)
        return self._said(_phrases(name))

    def _corners(self, sort: str) -> Iterator[tuple[int, int]]:
        """References to a corner of a sort. One that runs over the end of a segment counts in each: a name may be
        broken by
        a caption."""
        for ref in self._refs:
            if not sort or sort in (ref.corner, ref.how, ref.about):
                start = ref.start
                while start < ref.end:
                    stop = min(ref.end, self._bounds[self._segment_of[start]][1])
                    yield start, stop
                    start = stop

    def _numbers(self, sort: str) -> Iterable[tuple[int, int]]:
        """The numbers of a sort: all, those between two values, those with a sign before them, those of a form."""
        numbers: Iterable[Number] = self._numbered
        values = RANGE.fullmatch(sort)
        if values is not None:
            least, most = int(values[1]), int(values[2])
            numbers = (n for n in numbers if least <= n.value <= most)
        elif sort == "signed":
            numbers = (n for n in numbers if self._words[n.start][0] == "+")
        elif sort == "plain":
            numbers = (n for n in numbers if n.form in _PLAIN)
        elif sort:
            numbers = (n for n in numbers if n.form == sort)
        return ((n.start, n.end) for n in numbers)

    def _links(self, name: str) -> Iterator[tuple[int, int]]:
        words = small_words("links" if name == "link" else "links_after")
        for word in words:
            yield from ((i, i + 1) for i in self._where.get(word, ()) if i not in self._ref_at)
        yield from ((i, i + 1) for i in self._where.get(".", ()) if not self._document.hard_end(i))

    def _leading(self, _: str) -> Iterable[tuple[int, int]]:
        terms = self._terms_of
        return ((t.start, t.end) for t in terms.all("lead") if not terms.at("not_lead", t.start))

    def _trailing(self, _: str) -> Iterable[tuple[int, int]]:
        terms = self._terms_of
        trails = (t for t in terms.all("trail") if t.entry.strength != "loose")
        return ((t.start, t.end) for t in trails if not terms.at("not_trail", t.start))

    def _colon_pairs(self, _: str) -> Iterable[tuple[int, int]]:
        pairs = (found for word, found in self._where.items() if _COLON.fullmatch(word))
        return ((i, i + 1) for found in pairs for i in found)

    def _terms(self, role: str, sorts: str) -> Iterable[tuple[int, int]]:
        """The terms of a role with all of some values, strengths or scopes."""
        terms = self._terms_of.all(role)
        if not sorts:
            return ((t.start, t.end) for t in terms)
        wanted = sorts.split(":")
        told = (t for t in terms if {t.entry.value, t.entry.strength, t.entry.scope}.issuperset(wanted))
        return ((t.start, t.end) for t in told)

    def _said(self, phrases: Iterable[tuple[str, list[str]]]) -> Iterator[tuple[int, int]]:
        """Where phrases of small words are said."""
        for first, others in phrases:
            for i in self._where.get(first, ()):
                end = i + 1 + len(others)
                if not others or self._words[i + 1 : end] == others:
                    yield i, end


#: How words or places of a name are found, and how stretches.
_PLACES: Mapping[str, Callable[[Features, str], Collection[int]]] = {
    "mark": Features._marks,
    "hard_end": Features._hard_ends,
    "opens": Features._openings,
    "closes": Features._closings,
    "segment": Features._segments,
    "line": Features._lines,
    "turn": Features._turns,
    "notes": Features._if_notes,
    "punctuated": Features._if_punctuated,
    "suffix": Features._behind_suffix,
    "pause": Features._silences,
}
_WAYS: Mapping[str, Callable[[Features, str], Iterable[tuple[int, int]]]] = {
    "corner": Features._corners,
    "number": Features._numbers,
    "link": Features._links,
    "link_after": Features._links,
    "leading": Features._leading,
    "trailing": Features._trailing,
    "colon_pair": Features._colon_pairs,
}


@cache
def _phrases(name: str) -> tuple[tuple[str, list[str]], ...]:
    """The phrases of a set of small words: the first word of each, and the others."""
    split = (phrase.split() or [""] for phrase in small_words(name))
    return tuple((first, others) for first, *others in split)
