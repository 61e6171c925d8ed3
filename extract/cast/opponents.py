"""Finds who is set against whom: "A versus B", "her opponent is B", "with B opposite her"."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import Words

if TYPE_CHECKING:
    from extract.cast.name_runs import Run

#: Words and marks that may lie between a name and what sets it against another, before it and after it.
_BEFORE, _AFTER = 24, 8


def pairs(talk: Words, people: Sequence[Run]) -> list[tuple[Run, Run]]:
    """The runs of ``people`` that the talk sets against one another, in order; the one named first comes first."""
    return [pair for link in _links(talk) if (pair := _pair(talk, people, *link)) is not None]


def faces(talk: Words, i: int) -> bool:
    """Whether words that set one athlete against another begin at ``i``."""
    return _link_at(talk, i) is not None


def covered(talk: Words) -> frozenset[int]:
    """The tokens of all such words."""
    return frozenset(i for start, end, _ in _links(talk) for i in range(start, end))


def parts(talk: Words, low: int, high: int) -> bool:
    """Whether words between two positions set one athlete against another."""
    return any(_link_at(talk, i) is not None for i in range(low, high))


def _links(talk: Words) -> Iterator[tuple[int, int, str]]:
    """Where such words stand, and of which sort they are; of two sorts the freer one."""
    end = 0
    for i in talk.places(_firsts()):
        found = _link_at(talk, i) if i >= end else None
        if found is not None:
            end = found[0]
            yield i, *found


def _link_at(talk: Words, i: int) -> tuple[int, str] | None:
    for words, sort in _phrases().get(talk.lower[i], ()) if i < len(talk) else ():
        if talk.stand_at(i, words):
            return i + len(words), sort
    return None


@lru_cache(maxsize=1)
def _phrases() -> dict[str, list[tuple[tuple[str, ...], str]]]:
    """The phrases by their first word, the longest first."""
    found: dict[tuple[str, ...], str] = {(verb,): "verb" for verb in word_list("opponents", "verbs")}
    for sort in ("between", "beside"):
        found |= {tuple(phrase.split()): sort for phrase in phrase_list("opponents", sort)}
    out: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for words in sorted(found, key=len, reverse=True):
        out.setdefault(words[0], []).append((words, found[words]))
    return out


@lru_cache(maxsize=1)
def _firsts() -> frozenset[str]:
    return frozenset(_phrases())


def _pair(talk: Words, people: Sequence[Run], start: int, end: int, sort: str) -> tuple[Run, Run] | None:
    at = bisect_left(people, end, key=lambda run: run.start)
    before = [run for run in people[max(at - 2, 0) : at] if run.end <= start and start - run.end <= _BEFORE]
    after = [run for run in people[at : at + 2] if run.start - end <= _AFTER * 2]
    near = bool(after) and after[0].start - end <= _AFTER and not _broken(talk, end, after[0].start)
    if sort == "verb":
        return (before[-1], after[0]) if before and after and after[0].start <= end + 2 else None
    opens = not before or _broken(talk, before[-1].end, start)
    both_after = near and len(after) > 1 and not _broken(talk, after[0].end, after[1].start)
    if sort == "beside" and opens and both_after and after[1].start - end <= _AFTER * 2:
        return after[0], after[1]
    if before and near:
        return before[-1], after[0]
    if sort == "beside" and len(before) > 1:
        return before[0], before[1]
    return None


def _broken(talk: Words, low: int, high: int) -> bool:
    """Whether a sentence ends between two positions."""
    ends = word_list("introductions", "breaks")
    return any(talk.lower[i] in ends for i in range(low, high))
