"""Finds words again, in a recording that may have been captioned again since somebody decided on them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from rapidfuzz import fuzz

from extract.decisions.model import QuotedWords
from extract.mentions.model import ScoreMention

if TYPE_CHECKING:
    from extract.mentions import Heard, Mention, TalkDocument

#: Words may have moved by this many seconds.
_MOVED_S = 8.0
#: Words this close to the moment, in seconds, may be the same in another spelling ("4-3" for "four three").
_SAME_MOMENT_S = 1.0
#: Likeness (0 to 1) from which on words are the same, and at the same moment.
_ALIKE, _ALIKE_AT_ONCE = 0.5, 0.3


class Need(NamedTuple):
    """The ``k``-th of the words that a decision about ``what`` is based on. ``said`` is the score that was heard in
    them, if any."""

    decision: str
    what: str
    k: int
    words: QuotedWords
    said: tuple[int, int] | None = None


def bind(needs: Sequence[Need], heard: Heard, sorts: tuple[type[Mention], ...]) -> dict[tuple[str, int], int]:
    """The position of the mention, of one of these sorts, that each of the words now is. A mention belongs to no more
    than one decision on events and one on challenges, the likest first."""
    if not needs:
        return {}
    places = [(k, m, heard.place(m).text) for k, m in enumerate(heard.mentions) if isinstance(m, sorts)]
    pairs: list[tuple[float, int, Need]] = []
    for need in needs:
        for k, mention, text in places:
            gap = abs(mention.t - need.words.t)
            alike = _likeness(text, need.words.text)
            same = isinstance(mention, ScoreMention) and need.said in mention.values()
            at_once = gap <= _SAME_MOMENT_S and (same or alike >= _ALIKE_AT_ONCE)
            if at_once or (gap <= _MOVED_S and alike >= _ALIKE):
                pairs.append((gap / _MOVED_S - alike, k, need))
    bound: dict[tuple[str, int], int] = {}
    taken: set[tuple[str, int]] = set()
    for _, k, need in sorted(pairs, key=lambda pair: pair[:2]):
        key = need.decision, need.k
        if key not in bound and (need.what, k) not in taken:
            bound[key] = k
            taken.add((need.what, k))
    return bound


def find_words(words: QuotedWords, document: TalkDocument) -> tuple[int, int] | None:
    """The place of words that were not heard as anything, as positions in the document's words (end exclusive)."""
    near = [i for i in range(len(document)) if abs(document.time(i) - words.t) <= _MOVED_S]
    length = len(words.text.split())
    best: tuple[float, int, int] | None = None
    for i in near:
        for j in range(i + 1, min(i + max(2 * length, 2), len(document)) + 1):
            if document.cue_of[j - 1] != document.cue_of[i]:
                break
            gap = abs(document.time(i) - words.t)
            alike = _likeness(" ".join(document.lower[i:j]), words.text)
            if alike >= _ALIKE and (best is None or alike - gap / _MOVED_S > best[0]):
                best = (alike - gap / _MOVED_S, i, j)
    return None if best is None else best[1:]


def _likeness(one: str, other: str) -> float:
    return fuzz.ratio(_plain(one), _plain(other)) / 100


def _plain(text: str) -> str:
    """Words without capitals and marks: "Four-three!" is "four three"."""
    return " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())
