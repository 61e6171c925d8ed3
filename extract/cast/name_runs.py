"""Marks the runs of words in a transcript that look like the names of persons and of teams."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Literal

from extract.cast.about import owns
from extract.cast.model import PLAIN_WORDS, CornerWords
from extract.cast.name_shapes import (
    in_colour,
    name_end,
    name_like,
    named_at,
    team_end,
    team_start,
    team_words,
)
from extract.cast.opponents import covered, faces
from extract.talk.soundalike import likeness
from extract.talk.word_lists import is_common, word_list
from extract.talk.words import TalkWords

#: A team in brackets has so many words at most, one that runs on to a mark so many more.
_BRACKETED, _TO_MARK = 7, 3
_CLOSING = frozenset({")", ","})
_SET_OFF = frozenset({",", ".", ")", "!", ";"})
#: A word that comes so often is taken for a surname.
_OFTEN = 3


@dataclass(frozen=True, slots=True)
class NameRun:
    """The words ``start`` to ``end`` (exclusive), taken for the name of a person or of a team."""

    kind: Literal["person", "team"]
    start: int
    end: int


class NameScan:
    """The name-like runs of a transcript's first ``end`` words, each taken for a person or a team. ``words`` are those
    that mean a corner."""

    def __init__(self, talk: TalkWords, end: int, words: CornerWords = PLAIN_WORDS) -> None:
        self.talk = talk
        self._colours = frozenset(colour for colour, _ in words.colours)
        self._facing = covered(talk)
        self.counts = Counter({n: len(at) for n, at in talk.distinct().items() if talk.word[at[0]]})
        self._often: dict[str, int] = {}
        self._by_letter: dict[str, list[str]] = {}
        for form in self.counts:
            if _may_vary(form):
                self._by_letter.setdefault(form[0], []).append(form)
        self.runs: list[NameRun] = []
        i = 0
        while i < end:
            i = self._step(i)
        self.people = [run for run in self.runs if run.kind == "person"]

    def often(self, word: str) -> int:
        """How often ``word`` comes in the whole talk, mishearings of it included."""
        if word not in self._often:
            self._often[word] = sum(self.counts[form] for form in {word, *self.variants(word)})
        return self._often[word]

    def variants(self, word: str) -> list[str]:
        """The words of the talk that may be ``word`` misheard, in order of the first of each."""
        return [form for form in self._by_letter.get(word[:1], ()) if _near(form, word)]

    def _step(self, i: int) -> int:
        """Adds the run at ``i``, if there is one, and says where to go on."""
        talk = self.talk
        start = 0 if i in self._facing else team_start(talk, i)
        end = team_end(talk, start) if start else 0
        if end > start and not self._brings_person(i, end):
            if not _after_place(talk, i):
                self.runs += (
                    [NameRun("team", start, end)] if talk.cased else self._split(start, end, linked=True)
                )
            return end
        return self._add_name(i) if name_like(talk, i) else i + 1

    def _add_name(self, i: int) -> int:
        """Adds the name that begins at ``i``, and says where it ends."""
        talk = self.talk
        j = name_end(talk, i)
        telling = not team_words().isdisjoint(talk.norm[i:j])
        if telling and talk.after(j) in word_list("teams", "of") and named_at(talk, j + 1):
            j = name_end(talk, j + 1)
        thing = talk.cased and not telling and talk.before(i) in word_list("teams", "articles")
        if thing or _after_place(talk, i):
            return j
        bracket = self._bracketed(i)
        if bracket or self._is_team(i, j) or (talk.cased and telling):
            end = bracket or (j if talk.cased else self._to_mark(j))
            self.runs.append(NameRun("team", i, end))
            return end
        self.runs += [NameRun("person", i, j)] if talk.cased else self._split(i, j, linked=False)
        return j

    def _behind_person(self, i: int, marks: Collection[str]) -> bool:
        """Whether a person's name and one of ``marks`` stand right before ``i``."""
        last = self.runs[-1] if self.runs else None
        return (
            last is not None and last.kind == "person" and last.end == i - 1 and self.talk.before(i) in marks
        )

    def _is_team(self, i: int, j: int) -> bool:
        """Whether a run without a telling word is a team: "N, T" or "T's N"."""
        talk = self.talk
        if _owns_name(talk, j):
            return True
        comma = talk.over(j, (",",), 1)
        if faces(talk, talk.over(comma, word_list("opponents", "possessives"), 1)):
            return False
        return self._behind_person(i, (",", "(")) and (comma > j or not in_colour(talk, j, self._colours))

    def _bracketed(self, i: int) -> int:
        """The end of what stands in brackets right after a person's name, from ``i``: "N (Cooper's Slip)"; else 0."""
        talk = self.talk
        if not self._behind_person(i, ("(",)):
            return 0
        ends = (j for j in range(i, min(i + _BRACKETED, len(talk))) if talk.lower[j] in _CLOSING)
        end = next(ends, 0)
        return end if self._colours.isdisjoint(talk.norm[i:end]) else 0

    def _to_mark(self, j: int) -> int:
        """The end of a team set off by marks, everyday words of it taken in: "N, Karst Hollow."."""
        talk, stop = self.talk, word_list("introductions", "stop")
        end = j
        while end < j + _TO_MARK - 1 and talk.after(end)[:1].isalpha() and talk.norm[end] not in stop:
            end += 1
        return end if talk.after(end) in _SET_OFF else j

    def _brings_person(self, i: int, reach: int) -> bool:
        """Whether the team link at ``i`` brings in an athlete, whose name ends at ``reach``: "with N in blue", "red singlet
        for N"."""
        talk = self.talk
        if talk.norm[i] in word_list("opponents", "companions"):
            return faces(talk, reach) or in_colour(talk, reach, self._colours)
        garment = (
            talk.norm[i] in word_list("introductions", "for_whom")
            and i > 1
            and talk.norm[i - 1] in word_list("colours", "athlete_after")
            and talk.norm[i - 2] in self._colours
        )
        start = talk.back_over(i - 2, word_list("colours", "definite"), 1) if garment else 0
        before = talk.before(start)
        clear = not talk.cased or talk.opens[start] or before in word_list("introductions", "before_garment")
        return garment and (clear or before == "")

    def _split(self, i: int, j: int, linked: bool) -> list[NameRun]:
        """Persons and teams of a run in lower-case captions, where no comma separates them: the word that comes
        again and again is a surname, the one before it the given name, and the rest is the team's. What is ``linked``
        begins with a word of a team."""
        talk = self.talk
        words = [k for k in range(i, j) if talk.word[k]]
        if len(words) > 1 and not linked and self._is_named(words[-2:]):
            return [*self._split(i, words[-2] + 1, linked), NameRun("person", words[-1], j)]
        telling = [talk.norm[k] in team_words() for k in words]
        names = [
            n for n in range(linked, len(words)) if not telling[n] and not is_common(talk.norm[words[n]])
        ]
        owner = _owns_name(talk, j)
        top = max(names, key=lambda n: self.often(talk.norm[words[n]]), default=None)
        if top is None or owner or self.often(talk.norm[words[top]]) < _OFTEN:
            return list(self._split_at_telling(i, j, words, telling, linked or owner))
        given = top > linked and words[top] - words[top - 1] <= 2 and not telling[top - 1]
        first, last = top - given, top + 1
        if not any(telling[last:]):
            if team_start(talk, j):
                last = len(words)
            elif not given:
                last = min(last + 1, len(words))  # the word that recurs is the given name
        while first > 0 and talk.lower[words[first] - 1] == "-":
            first -= 1
        while last < len(words) and talk.lower[words[last] - 1] == "-":
            last += 1
        runs = [NameRun("team", words[0], words[first - 1] + 1)] if first else []
        runs.append(NameRun("person", words[first], words[last - 1] + 1))
        return [*runs, NameRun("team", words[last], j)] if last < len(words) else runs

    def _is_named(self, words: list[int]) -> bool:
        """Whether the last of two words is the surname of somebody who has been named in full, and the other one is no name
        of theirs: they are named again."""
        other, surname = (self.talk.norm[k] for k in words)
        full = [
            self.talk.norm[run.start : run.end]
            for run in self.runs
            if run.end - run.start > 1 and self.talk.norm[run.end - 1] == surname
        ]
        return bool(full) and not any(other in names for names in full)

    def _split_at_telling(
        self, i: int, j: int, words: list[int], telling: list[bool], team: bool
    ) -> Iterator[NameRun]:
        """The same without a recurring word: the last word before a team's telling word is the team's own."""
        first = telling.index(True) if True in telling else None
        if team or (first is not None and first < 2):
            yield NameRun("team", i, j)
        elif first is None:
            yield NameRun("person", i, j)
        else:
            yield NameRun("person", i, words[first - 1])
            yield NameRun("team", words[first - 1], j)


def _owns_name(talk: TalkWords, j: int) -> bool:
    """Whether something with a name belongs to what ends before ``j``: "T's N"."""
    return owns(talk, j) and named_at(talk, j + 1)


def _after_place(talk: TalkWords, i: int) -> bool:
    """Whether the name at ``i`` is that of a place where something is."""
    if talk.before(i - 1) in word_list("introductions", "to_whom"):
        return False
    return talk.before(i) in word_list("introductions", "before_place")


def variant(form: str, word: str) -> bool:
    """Whether ``form`` may be ``word`` misheard."""
    return _may_vary(form) and form[0] == word[0] and _near(form, word)


def _may_vary(form: str) -> bool:
    return len(form) > 4 and not is_common(form)


def _near(form: str, word: str) -> bool:
    return abs(len(form) - len(word)) < 3 and likeness(form, word) >= 0.8
