"""What the finders of mentions share: the document with its numbers, terms and corners, and small look-ups."""

from __future__ import annotations

from bisect import bisect_left
from itertools import pairwise
from typing import TYPE_CHECKING

from extract.lexicon import small_words
from extract.mentions.context import Contexts
from extract.mentions.features import PHRASE_MARKS, Features
from extract.phrases.match import Kept, within
from extract.talk.document import TalkDocument
from extract.talk.numbers import Number, find_numbers, number_words
from extract.talk.terms import Terms

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from extract.cast.model import CornerRef
    from extract.lexicon import Lexicon
    from extract.phrases import Rows

#: After "oh": it is a cry.
_AFTER_CRY = small_words("after_cry")
#: Before "one" these make it a pronoun.
_NOT_ONE = small_words("not_one")
#: Before a colour, so that "one" behind it is the corner.
_BEFORE_COLOURS = small_words("before_colours")
#: Names of nought that are cries too.
_CRIES = number_words("cries")
#: A question that only asks for assent.
_TAGS = small_words("tags")
#: The words of the longest one; before a tag of fewer words than the shorter number something else must stand that far off.
_LONGEST_TAG, _SHORT_TAG = max(len(tag.split()) for tag in _TAGS), 3


#: No question goes on for more words.
_LONGEST_QUESTION = 60


def _bounds(numbers: Sequence[int]) -> dict[int, tuple[int, int]]:
    """The range of tokens of each number in a row in which equal numbers stand together."""
    starts = [0, *(i for i, (a, b) in enumerate(pairwise(numbers), 1) if a != b)]
    ends = [*starts[1:], len(numbers)]
    return {numbers[a]: (a, b) for a, b in zip(starts, ends, strict=True)} if numbers else {}


class Talk:
    """A document with all that the finders look at.

    A segment is the stretch in which words belong together: a clause where there is punctuation, a cue where there
    is none. ``taken`` holds the numbers (by position in ``numbers``) that a finder has already read as something,
    ``marked`` the words that are marks of a score sheet; ``colours`` are the words for the two corners. ``fitted`` are
    the ids of the rows that were found in it, or that fitted where they were asked. ``contexts`` are the words around a
    mention.
    """

    def __init__(
        self,
        document: TalkDocument,
        lexicon: Lexicon,
        refs: Sequence[CornerRef],
        colours: Sequence[str] = ("red", "blue"),
    ) -> None:
        self.document = document
        self.lexicon = lexicon
        self.words = document.lower
        self.colours = tuple(colours)
        self.terms = Terms(document.lower, lexicon, self._note_starts() if document.notes else ())
        self.numbers = [n for n in find_numbers(self.words, document.turns) if self._counts(n)]
        self.refs = sorted(refs, key=lambda r: r.start)
        self.taken: set[int] = set()
        self.marked: set[int] = set()
        self._ref_starts = [r.start for r in self.refs]
        self._ref_at = {i: ref for ref in self.refs for i in range(ref.start, ref.end)}
        self._number_at = {
            i: k for k, number in enumerate(self.numbers) for i in range(number.start, number.end)
        }
        self.kept = Kept()
        self.fitted: set[str] = set()
        ids = document.clause if document.punctuated else document.cue_of
        self.segment_of = ids
        self._bounds = _bounds(ids)
        self._features = Features(
            document, self.terms, self.numbers, self._number_at, self.refs, self._ref_at, self._bounds, ids
        )
        self.contexts = Contexts()
        self._clauses = self._bounds if document.punctuated else _bounds(document.clause)

    def _note_starts(self) -> frozenset[int]:
        cues = self.document.cue_of
        return frozenset(i for i in range(1, len(cues)) if cues[i] != cues[i - 1])

    def _counts(self, number: Number) -> bool:
        """Whether a word that can be a number is one here: "oh" only right after another number, and not the "one"
        of "this one"."""
        i = number.start
        word = self.words[i]
        before = self.words[i - 1] if i else ""
        if word in _CRIES:
            if not i or self.document.cue_of[i] != self.document.cue_of[i - 1]:
                return False
            if self.words[i + 1 : i + 2] and self.words[i + 1] in _AFTER_CRY:
                return False
            earlier = self.words[i - 2 : i - 1] if before == "-" else [before]
            return bool(earlier) and bool(find_numbers(earlier))
        if number.form != "word" or number.value != 1:
            return True
        # "the blue one" is a corner.
        coloured = before in self.colours and i > 1 and self.words[i - 2] in _BEFORE_COLOURS
        return before not in _NOT_ONE and not (coloured and not find_numbers(self.words[i + 1 : i + 2]))

    def __len__(self) -> int:
        return len(self.words)

    def segment(self, i: int) -> tuple[int, int]:
        """Token range of the segment that token ``i`` stands in."""
        return self._bounds[self.segment_of[i]]

    @property
    def rows(self) -> Rows:
        """The ways of saying that are looked for."""
        return self.lexicon.rows

    def mask(self, feature: str) -> int:
        """The words that have a feature, or the places (see ``Features``)."""
        return self._features.mask(feature)

    def stretches(self, feature: str) -> tuple[tuple[int, int], ...]:
        """The stretches of a feature, by their length (see ``Features``)."""
        return self._features.stretches(feature)

    def meaning(self, feature: str, i: int) -> object:
        """What a stretch of a feature that begins at word ``i`` means."""
        return self._features.meaning(feature, i)

    def said(self, feature: str, a: int, b: int) -> bool:
        """Whether one of the words from ``a`` to ``b`` (exclusive) has a feature."""
        return within(self.mask(feature), max(a, 0), b)

    def number_at(self, i: int) -> int | None:
        """Position in ``numbers`` of the number that covers token ``i``."""
        return self._number_at.get(i)

    def value_at(self, i: int) -> int:
        """The value of the number at word ``i``, which is one, or of the two figures of "4:1" as those of 41."""
        k = self._number_at.get(i)
        return self.numbers[k].value if k is not None else int(self.words[i].replace(":", ""))

    def time(self, i: int) -> float:
        """Seconds of recording at which token ``i`` begins."""
        return self.document.time(min(i, len(self.words) - 1))

    def between(self, a: int, b: int) -> str:
        """The words from token ``a`` to ``b`` (exclusive), joined by a space."""
        return " ".join(self.words[max(a, 0) : b])

    def refs_within(self, a: int, b: int) -> Iterator[CornerRef]:
        """Corner references that begin in the token range, in order."""
        for k in range(bisect_left(self._ref_starts, max(a, 0)), len(self.refs)):
            if self.refs[k].start >= b:
                return
            yield self.refs[k]

    def ref_at(self, i: int) -> CornerRef | None:
        """The corner reference that covers token ``i``."""
        return self._ref_at.get(i)

    def previous_word(self, i: int) -> str:
        """The word before ``i``, or "" at the start of its segment."""
        if i <= 0 or i > len(self.words):
            return ""
        if i < len(self.words) and self.segment_of[i] != self.segment_of[i - 1]:
            return ""
        return self.words[i - 1]

    def opens(self, i: int) -> bool:
        """Whether a phrase may begin at word ``i``."""
        if i <= 0:
            return True
        before = self.words[i - 1]
        return (
            before in PHRASE_MARKS
            or self.document.hard_end(i - 1)
            or self.document.cue_of[i] != self.document.cue_of[i - 1]
        )

    def lines(self, a: int, b: int) -> int:
        """How many captions begin between words ``a`` and ``b``."""
        return (
            self.document.cue_of[min(b, len(self.words) - 1)]
            - self.document.cue_of[min(a, len(self.words) - 1)]
        )

    def turned(self, a: int, b: int) -> bool:
        """Whether another speaker begins after word ``a`` and before word ``b``, or at it."""
        return any(i in self.document.turns for i in range(a + 1, b + 1))

    def asked(self, i: int) -> bool:
        """Whether the clause of token ``i`` ends with a question mark. A tag ("it's four-one, is it?") asks nothing."""
        stop = self._clauses[self.document.clause[i]][1] - 1
        if stop - i > _LONGEST_QUESTION or "?" not in self.words[stop]:
            return False
        tags = (n for n in range(1, _LONGEST_TAG + 1) if " ".join(self.words[stop - n : stop]) in _TAGS)
        return not any(stop - max(n, _SHORT_TAG) > i for n in tags)

    def free(self, number: Number) -> bool:
        """Whether nobody has read this number yet."""
        k = self._number_at.get(number.start)
        return k is not None and k not in self.taken

    def take(self, start: int, end: int) -> None:
        """Marks the numbers in a token range as read."""
        for i in range(start, end):
            k = self._number_at.get(i)
            if k is not None:
                self.taken.add(k)
