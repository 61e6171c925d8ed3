"""Finds who is set against whom: "A versus B", "her opponent is B", "with B opposite her"."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import PhraseTable, TalkWords

if TYPE_CHECKING:
    from extract.cast.name_runs import NameRun

#: Words and marks that may lie between a name and what sets it against another, before it and after it.
_BEFORE, _AFTER = 24, 8
#: A name follows a verb of wrestling within so many words.
_AFTER_VERB = 2


@lru_cache(maxsize=1)
def _links() -> PhraseTable[str]:
    """What sets one against another, and of which sort it is; of two sorts the freer one."""
    sorts = {"verb": word_list("opponents", "verbs")} | {
        sort: phrase_list("opponents", sort) for sort in ("between", "beside")
    }
    return PhraseTable({phrase: sort for sort, phrases in sorts.items() for phrase in phrases})


def faces(talk: TalkWords, i: int) -> bool:
    """Whether words that set one athlete against another begin at ``i``."""
    return _links().at(talk, i) is not None


def covered(talk: TalkWords) -> frozenset[int]:
    """The positions of all such words."""
    return frozenset(i for link in _links().all(talk) for i in range(link.start, link.end))


def sets_apart(talk: TalkWords, low: int, high: int) -> bool:
    """Whether words between two positions set one athlete against another."""
    return any(faces(talk, i) for i in range(low, high))


def pairs(talk: TalkWords, people: Sequence[NameRun]) -> list[tuple[NameRun, NameRun]]:
    """The runs of ``people`` that the talk sets against one another, in order; the one named first comes first."""
    found = (_pair(talk, people, *link) for link in _links().all(talk))
    return [pair for pair in found if pair is not None]


def _pair(
    talk: TalkWords, people: Sequence[NameRun], start: int, end: int, sort: str
) -> tuple[NameRun, NameRun] | None:
    at = bisect_left(people, end, key=lambda run: run.start)
    before = [run for run in people[max(at - 2, 0) : at] if 0 <= start - run.end <= _BEFORE]
    after = [run for run in people[at : at + 2] if run.start - end <= _AFTER * 2]
    near = bool(after) and after[0].start - end <= (_AFTER_VERB if sort == "verb" else _AFTER)
    across = (*before[-1:], *after[:1]) if near and not talk.parted(end, after[0].start) else ()
    if sort == "beside":
        opens = not before or talk.parted(before[-1].end, start)
        if opens and across and len(after) > 1 and not talk.parted(after[0].end, after[1].start):
            return after[0], after[1]
    if len(across) > 1:
        return across[0], across[1]
    return (before[0], before[1]) if sort == "beside" and len(before) > 1 else None
