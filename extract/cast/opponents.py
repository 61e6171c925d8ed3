"""Finds who is set against whom: "A versus B", "her opponent is B", "with B opposite her"."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import PhraseTable, TalkWords

if TYPE_CHECKING:
    from extract.cast.model import NameRun

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
    return i in _starts(talk)


# Asked again for every pair of a colour and a name.
@lru_cache(maxsize=2)
def _starts(talk: TalkWords) -> frozenset[int]:
    places = talk.places(_links().firsts)
    return frozenset(i for i in places if _links().at(talk, i) is not None)


def covered(talk: TalkWords) -> frozenset[int]:
    """The positions of all such words."""
    return frozenset(i for link in _links().all(talk) for i in range(link.start, link.end))


def sets_apart(talk: TalkWords, low: int, high: int) -> bool:
    """Whether words between two positions set one athlete against another."""
    return not _starts(talk).isdisjoint(range(low, high))


def pairs(talk: TalkWords, people: Sequence[NameRun]) -> list[tuple[NameRun, NameRun]]:
    """The runs of ``people`` that the talk sets against one another, in order; the one named first comes first."""
    found = (_pair(talk, people, *link) for link in _links().all(talk))
    return [pair for pair in found if pair is not None]


def _pair(
    talk: TalkWords, people: Sequence[NameRun], start: int, end: int, sort: str
) -> tuple[NameRun, NameRun] | None:
    """The two that the words of a sort from ``start`` to ``end`` set against one another."""
    before, after = _around(people, start, end)
    reach = end + (_AFTER_VERB if sort == "verb" else _AFTER)
    near = after and after[0].start <= reach and not talk.parted(end, after[0].start)
    if sort == "beside" and not near:
        return _two(talk, before, parted=True)
    opens = sort == "beside" and (not before or talk.parted(before[-1].end, start))
    both = _two(talk, after) if opens else None
    return both or ((before[-1], after[0]) if near and before else None)


def _around(people: Sequence[NameRun], start: int, end: int) -> tuple[Sequence[NameRun], Sequence[NameRun]]:
    """The two runs next before the words ``start`` to ``end``, and next after them, as far as they are near."""
    at = bisect_left(people, end, key=lambda run: run.start)
    before = [run for run in people[max(at - 2, 0) : at] if 0 <= start - run.end <= _BEFORE]
    return before, [run for run in people[at : at + 2] if run.start - end <= _AFTER * 2]


def _two(talk: TalkWords, runs: Sequence[NameRun], parted: bool = False) -> tuple[NameRun, NameRun] | None:
    """Two runs, if there are two, in one sentence unless they may be ``parted``."""
    if len(runs) < 2 or (not parted and talk.parted(runs[0].end, runs[1].start)):
        return None
    return runs[0], runs[1]
