"""The words of the talk around a mention, and the talk as passages.

Most of live talk is not about what happens now: it tells of another bout, of what might come, of the rules. No single
phrase says so, but the words do, those of the segment itself and of the segments beside it. Each distinct word is a sign
("said was", "beside year"); what it weighs is fitted on labelled bouts, and a word that was seldom seen there weighs
nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from extract.mentions.model import BESIDE_SIGN, SAID_SIGN, Passage

if TYPE_CHECKING:
    from extract.mentions.talk import Talk

#: Stands for every name of somebody who wrestles: who it is tells nothing.
_CORNER = "(corner)"


class Contexts:
    """The context of each segment of a talk, worked out when it is first asked for. It does not hold the talk, so that
    neither keeps the other alive."""

    def __init__(self) -> None:
        self._words: dict[int, frozenset[str]] = {}
        self._signs: dict[int, tuple[str, ...]] = {}

    def at(self, talk: Talk, i: int) -> tuple[str, ...]:
        """The signs for a mention that begins at word ``i``."""
        start, end = talk.segment(i)
        found = self._signs.get(start)
        if found is None:
            found = self._signs[start] = word_signs(
                self.said(talk, start, end), self.beside(talk, start, end)
            )
        return found

    def said(self, talk: Talk, start: int, end: int) -> frozenset[str]:
        """The distinct words of a segment, every name as the same one."""
        found = self._words.get(start)
        if found is None:
            words: set[str] = set()
            for i in range(start, end):
                ref = talk.ref_at(i)
                words.add(talk.words[i] if ref is None or ref.how == "pronoun" else _CORNER)
            found = self._words[start] = frozenset(words)
        return found

    def beside(self, talk: Talk, start: int, end: int) -> frozenset[str]:
        """The distinct words of the segments before and after one."""
        return self._at(talk, start - 1) | self._at(talk, end)

    def _at(self, talk: Talk, i: int) -> frozenset[str]:
        return self.said(talk, *talk.segment(i)) if 0 <= i < len(talk) else frozenset()


def word_signs(said: frozenset[str], beside: frozenset[str]) -> tuple[str, ...]:
    """Words of a segment and of those beside it as signs."""
    return (*map(SAID_SIGN.__add__, sorted(said)), *map(BESIDE_SIGN.__add__, sorted(beside)))


def find_passages(talk: Talk) -> Iterator[Passage]:
    """The whole talk, segment by segment."""
    start = 0
    while start < len(talk):
        end = talk.segment(start)[1]
        until = talk.time(end) if end < len(talk) else talk.document.cues[-1].end
        t = talk.time(start)
        said, beside = talk.contexts.said(talk, start, end), talk.contexts.beside(talk, start, end)
        yield Passage(start, end, t, max(until, t), said, beside)
        start = end
