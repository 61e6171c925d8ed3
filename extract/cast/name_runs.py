"""Marks the runs of words in a transcript that look like the names of persons and of teams."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from extract.cast.about import owns
from extract.cast.model import PLAIN_WORDS, CornerWords, NameRun
from extract.cast.name_shapes import (
    full_end,
    in_colour,
    name_like,
    named_at,
    team_end,
    team_links,
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
        i, links = 0, team_links().firsts
        while i < end:
            i = self._step(i) if talk.norm[i] in links or name_like(talk, i) else i + 1
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
        j, telling = full_end(talk, i)
        thing = talk.cased and not telling and talk.before(i) in word_list("teams", "articles")
        if thing or _after_place(talk, i):
            return j
        bracket = self._bracketed(i)
        if bracket or self._is_team(i, j) or (talk.cased and telling):
            j = bracket or (j if talk.cased else self._to_mark(j))
            self.runs.append(NameRun("team", i, j))
        else:
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
        while end < j + _TO_MARK - 1 and talk.is_word(end) and talk.norm[end] not in stop:
            end += 1
        return end if talk.after(end) in _SET_OFF else j

    def _brings_person(self, i: int, reach: int) -> bool:
        """Whether the team link at ``i`` brings in an athlete, whose name ends at ``reach``: "with N in blue", "red singlet
        for N"."""
        talk = self.talk
        if talk.norm[i] in word_list("opponents", "companions"):
            return faces(talk, reach) or in_colour(talk, reach, self._colours)
        garment, colour = talk.norm[max(i - 1, 0)], talk.norm[max(i - 2, 0)]
        worn = colour in self._colours and garment in word_list("colours", "athlete_after")
        if not worn or talk.norm[i] not in word_list("introductions", "for_whom"):
            return False
        start = talk.back_over(i - 2, word_list("colours", "definite"), 1)
        before = word_list("introductions", "before_garment")
        return not talk.cased or talk.opens[start] or talk.before(start) in before

    def _split(self, i: int, j: int, linked: bool) -> list[NameRun]:
        """Persons and teams of a run in lower-case captions, where no comma separates them: the word that comes
        again and again is a surname, the one before it the given name, and the rest is the team's. What is ``linked``
        begins with a word of a team."""
        talk = self.talk
        words = self._words(i, j)
        if len(words) > 1 and not linked and self._is_named(words[-2].start, words[-1].stop - 1):
            return [*self._split(i, words[-2].stop, linked), NameRun("person", words[-1].start, j)]
        norms = [talk.norm[word.start : word.stop] for word in words]
        telling = [not team_words().isdisjoint(norm) for norm in norms]
        often = [
            0
            if telling[n] or n < linked
            else max((self.often(w) for w in norm if not is_common(w)), default=0)
            for n, norm in enumerate(norms)
        ]
        owner = _owns_name(talk, j)
        if owner or max(often, default=0) < _OFTEN:
            return list(self._split_at_telling(i, j, words, telling, linked or owner))
        top = often.index(max(often))
        given = top > linked and words[top].start - words[top - 1].stop < 2 and not telling[top - 1]
        first, last = top - given, top + 1
        if not any(telling[last:]):
            # Without a given name before it the word that recurs is the given name.
            last = len(words) if team_start(talk, j) else min(last + (not given), len(words))
        runs = [NameRun("team", i, words[first - 1].stop)] if first else []
        runs.append(NameRun("person", words[first].start, words[last - 1].stop))
        return [*runs, NameRun("team", words[last].start, j)] if last < len(words) else runs

    def _words(self, i: int, j: int) -> list[range]:
        """The words of a run, each with those that a hyphen ties to it."""
        out: list[range] = []
        for k in range(i, j):
            if self.talk.word[k]:
                tied = bool(out) and self.talk.lower[k - 1] == "-"
                out.append(range(out.pop().start if tied else k, k + 1))
        return out

    def _is_named(self, other: int, surname: int) -> bool:
        """Whether somebody has been named in full who has one word for a surname, and not another for a name: they are
        named again."""
        norm = self.talk.norm
        names = [norm[run.start : run.end] for run in self.runs if run.end - run.start > 1]
        full = [name for name in names if name[-1] == norm[surname]]
        return bool(full) and not any(norm[other] in name for name in full)

    def _split_at_telling(
        self, i: int, j: int, words: list[range], telling: list[bool], team: bool
    ) -> Iterator[NameRun]:
        """The same without a recurring word: the last word before a team's telling word is the team's own."""
        first = telling.index(True) if True in telling else None
        if team or (first is not None and first < 2):
            yield NameRun("team", i, j)
        elif first is None:
            yield NameRun("person", i, j)
        else:
            yield NameRun("person", i, words[first - 1].start)
            yield NameRun("team", words[first - 1].start, j)


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
