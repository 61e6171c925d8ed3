"""Marks the runs of words in a transcript that look like the names of persons and of teams."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

from extract.cast.model import PLAIN_WORDS, CornerWords
from extract.cast.opponents import covered, faces
from extract.rules.base import CORNERS
from extract.talk.soundalike import likeness
from extract.talk.word_lists import is_common, phrase_list, word_list
from extract.talk.words import Words

Kind = Literal["person", "team"]

_FILLER = re.compile(r"(.)\1\1|^[^aeiouy]+$")
_PLACE_BEFORE = frozenset({"at", "near", "inside", "to"})
#: A team in brackets has so many tokens at most.
_BRACKETED = 7
_SET_OFF = frozenset({",", ".", ")", "!", ";"})
_POSSESSIVE = frozenset({"his", "her", "their"})
#: A word that comes so often is taken for a surname.
_OFTEN = 3


@dataclass(frozen=True, slots=True)
class Run:
    kind: Kind
    start: int
    end: int


# -------------------------------------------------------------------------------------


class Scan:
    """The name-like runs of a transcript's first ``end`` tokens, each taken for a person or a team. ``words`` are those
    that mean a corner."""

    def __init__(self, talk: Words, end: int, words: CornerWords = PLAIN_WORDS) -> None:
        self.talk = talk
        self._colours = frozenset(colour for colour, _ in words.colours)
        self._facing = covered(talk)
        self.counts = Counter({n: len(at) for n, at in talk.distinct().items() if talk.word[at[0]]})
        self._often: dict[str, int] = {}
        self._by_letter: dict[str, list[str]] = {}
        for form in self.counts:
            if _may_vary(form):
                self._by_letter.setdefault(form[0], []).append(form)
        self.runs: list[Run] = []
        i, links = 0, link_starts()
        while i < end:
            i = self._step(i) if talk.norm[i] in links or name_like(talk, i) else i + 1

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
        link = 0 if i in self._facing else _team_link(talk, i)
        if link and (reach := _team_end(talk, link)) > link and not self._brings_person(i, reach):
            found = [Run("team", link, reach)] if talk.cased else self._split(link, reach, linked=True)
            self.runs += [] if _after_place(talk, i) else found
            return reach
        if not name_like(talk, i):
            return i + 1
        j = _run_end(talk, i)
        team = any(talk.norm[k] in _keywords() for k in range(i, j))
        if team and talk.after(j) == "of" and _named_at(talk, j + 1):
            j = _run_end(talk, j + 1)
        if _after_place(talk, i) or (talk.cased and talk.before(i) == "the" and not team):
            return j
        closed = self._bracketed(i)
        if closed:
            self.runs.append(Run("team", i, closed))
            return closed
        if not talk.cased:
            if self._is_team(i, j):
                j = self._to_mark(j)
                self.runs.append(Run("team", i, j))
            else:
                self.runs += self._split(i, j, linked=False)
        elif team or self._is_team(i, j):
            self.runs.append(Run("team", i, j))
        else:
            self.runs.append(Run("person", i, j))
        return j

    def _is_team(self, i: int, j: int) -> bool:
        """Whether a capitalised run without a telling word is a team: "N, T" or "T's N"."""
        talk, last = self.talk, self.runs[-1] if self.runs else None
        if _owns(talk, j):
            return True
        if faces(talk, j + (talk.after(j) == ",") + (talk.after(j + 1) in _POSSESSIVE)):
            return False
        behind = (
            last is not None and last.kind == "person" and last.end == i - 1 and talk.before(i) in {",", "("}
        )
        return behind and (talk.after(j) == "," or not self._in_colour(j))

    def _bracketed(self, i: int) -> int:
        """The end of what stands in brackets right after a person's name, from ``i``: "N (Cooper's Slip)"; else 0."""
        talk, last = self.talk, self.runs[-1] if self.runs else None
        if last is None or last.kind != "person" or last.end != i - 1 or talk.before(i) != "(":
            return 0
        ends = (j for j in range(i, min(i + _BRACKETED, len(talk))) if talk.lower[j] in (")", ","))
        end = next(ends, 0)
        return end if end and not self._colours.intersection(talk.norm[i:end]) else 0

    def _to_mark(self, j: int) -> int:
        """The end of a team set off by marks, everyday words of it taken in: "N, Karst Hollow."."""
        talk = self.talk
        for end in range(j, min(j + 3, len(talk))):
            if talk.after(end) in _SET_OFF:
                return end
            if not talk.after(end)[:1].isalpha() or talk.norm[end] in word_list("introductions", "stop"):
                break
        return j

    def _brings_person(self, i: int, reach: int) -> bool:
        """Whether the team link at ``i`` brings in an athlete, whose name ends at ``reach``: "with N in blue", "red singlet
        for N"."""
        talk = self.talk
        if talk.norm[i] in word_list("opponents", "companions"):
            return faces(talk, reach) or self._in_colour(reach)
        if talk.norm[i] not in word_list("introductions", "for_whom") or i < 2:
            return False
        garment = (
            talk.norm[i - 1] in word_list("colours", "athlete_after") and talk.norm[i - 2] in self._colours
        )
        start = i - 3 if talk.before(i - 2) == "the" else i - 2
        return garment and (talk.opens[start] or talk.before(start) in {",", "and", ""} or not talk.cased)

    def _in_colour(self, j: int) -> bool:
        return _in_colour(self.talk, j, self._colours)

    def _split(self, i: int, j: int, linked: bool) -> list[Run]:
        """Persons and teams of a run in lower-case captions, where no comma parts them: the word that comes
        again and again is a surname, the one before it the given name, and the rest is the team's."""
        talk = self.talk
        words = [k for k in range(i, j) if talk.word[k]]
        keywords = _keywords()
        if len(words) > 1 and not linked:
            # The surname again, of somebody who has been named in full; or the whole name again.
            own = [
                r for r in self.runs if r.end - r.start > 1 and talk.norm[r.end - 1] == talk.norm[words[-1]]
            ]
            if own and not any(talk.norm[words[-2]] in talk.norm[run.start : run.end] for run in own):
                return [*self._split(i, words[-2] + 1, linked), Run("person", words[-1], j)]
        names = [
            k
            for k in words[1 if linked else 0 :]
            if talk.norm[k] not in keywords and not is_common(talk.norm[k])
        ]
        owner = _owns(talk, j)
        top = max(names, key=lambda k: self.often(talk.norm[k]), default=-1)
        if top < 0 or owner or self.often(talk.norm[top]) < _OFTEN:
            return self._split_unheard(i, j, words, linked or owner)
        at = words.index(top)
        first = at
        if (
            at > (1 if linked else 0)
            and words[at - 1] >= top - 2
            and talk.norm[words[at - 1]] not in keywords
        ):
            first = at - 1
        last = at + 1
        if _team_link(talk, j) and not any(talk.norm[k] in keywords for k in words[last:]):
            last = len(words)
        elif at == first and len(words) > last and not any(talk.norm[k] in keywords for k in words[last:]):
            last += 1  # the word that recurs is the given name
        while first > 0 and talk.lower[words[first] - 1] == "-":
            first -= 1
        while last < len(words) and talk.lower[words[last] - 1] == "-":
            last += 1
        runs = [Run("team", words[0], words[first - 1] + 1)] if first else []
        runs.append(Run("person", words[first], words[last - 1] + 1))
        if last < len(words):
            runs.append(Run("team", words[last], j))
        return runs

    def _split_unheard(self, i: int, j: int, words: list[int], team: bool) -> list[Run]:
        """The same without a recurring word: the last word before a team's telling word is the team's own."""
        norm, keywords = self.talk.norm, _keywords()
        telling = [n for n, k in enumerate(words) if norm[k] in keywords]
        if team or (telling and telling[0] < 2):
            return [Run("team", i, j)]
        if telling:
            split = words[telling[0] - 1]
            return [Run("person", i, split), Run("team", split, j)]
        return [Run("person", i, j)]


@lru_cache(maxsize=1)
def _keywords() -> frozenset[str]:
    return word_list("teams", "generic") - word_list("introductions", "stop") - {"and"}


class _Sort(NamedTuple):
    """What a word in small letters may be: ``barred`` from any name, a ``given`` name that is an everyday word too, an
    everyday word, no word at all but a sound of hesitation."""

    barred: bool
    given: bool
    common: bool
    filler: bool


@lru_cache(maxsize=16384)
def _sort(norm: str) -> _Sort:
    barred = (
        norm in CORNERS
        or len(norm) < 2
        or norm in word_list("introductions", "never_names")
        or norm in word_list("introductions", "stop")
        or (norm in word_list("names", "trade") and norm not in _keywords())
    )
    filler = _FILLER.search(norm) is not None
    return _Sort(barred, norm in word_list("names", "everyday_given"), is_common(norm), filler)


def name_like(talk: Words, i: int) -> bool:
    """Whether the word at ``i`` looks like one of a name, by its letters and its place."""
    if not talk.word[i] or (talk.cased and not talk.cap[i]) or talk.norm[i][-1:].isdigit():
        # "T3", "P2": no name ends with a figure.
        return False
    barred, given, common, filler = _sort(talk.norm[i])
    if barred:
        return False
    if talk.cased:
        if not (talk.opens[i] and common):
            return True
        if given and talk.after(i + 1) and talk.cap[i + 1] and not is_common(talk.norm[i + 1]):
            return True
        # "Quill in red": an everyday word, but for the capital that it has inside a sentence, too.
        return _in_colour(talk, i + 1) and any(
            talk.cap[k] and not talk.opens[k] for k in talk.places([talk.norm[i]])
        )
    if given and i + 1 < len(talk) and talk.word[i + 1] and not is_common(talk.norm[i + 1]):
        return True
    return not common and not filler


def _named_at(talk: Words, i: int) -> bool:
    """Whether a word like one of a name stands at ``i``, in the same line as the one before it."""
    return talk.after(i) != "" and name_like(talk, i)


def _owns(talk: Words, j: int) -> bool:
    """Whether something with a name belongs to what ends before ``j``: "T's N"."""
    return talk.after(j) == "'s" and _named_at(talk, j + 1)


def _after_place(talk: Words, i: int) -> bool:
    if talk.before(i) == "to" and talk.before(i - 1) in word_list("introductions", "to_whom"):
        return False
    return talk.before(i) in _PLACE_BEFORE


def _run_end(talk: Words, i: int) -> int:
    """The end of the run of name-like words that begins at ``i``; hyphens and particles may stand inside. In
    lower-case captions a name may run on into the next line."""
    particles = word_list("names", "particles")
    j = i + 1
    while j < len(talk) and j - i < 8:
        if j in talk.breaks and (talk.cased or not _goes_on(talk, i, j)):
            break
        ahead = _named_at(talk, j + 1)
        inside = talk.lower[j] in {"-", "'"} or talk.norm[j] in particles
        if talk.word[j] and talk.norm[j] in talk.norm[i:j]:
            break  # "A B versus C D, D in red" without the comma
        if name_like(talk, j) or (talk.norm[j] in _keywords() and (talk.cap[j] or not talk.cased)):
            j += 1
        elif talk.norm[j - 1] in particles and talk.word[j] and not _sort(talk.norm[j]).barred:
            j += 1  # "van der Moor", whatever a moor may be
        elif ahead and inside:
            j += 2
        else:
            break
    return j


def _goes_on(talk: Words, i: int, j: int) -> bool:
    """Whether a name from ``i`` runs on over the line end before ``j`` after its first word, or a team's common part does:
    "wrestling / club"."""
    return (j == i + 1 and name_like(talk, j)) or {talk.norm[j - 1], talk.norm[j]} <= _keywords()


def _team_link(talk: Words, i: int) -> int:
    """The position after a team link such as "out of the" at ``i``, or 0."""
    if i >= len(talk) or talk.norm[i] not in link_starts():
        return 0
    for link in phrase_list("teams", "links"):
        words = link.split()
        if talk.stand_at(i, words, norm=True):
            at = i + len(words)
            if talk.cased and at in talk.breaks:
                continue
            if at < len(talk) and talk.lower[at] == "the":
                at += 1
            if at < len(talk) and talk.norm[at] not in CORNERS:
                return at
    return 0


@lru_cache(maxsize=1)
def link_starts() -> frozenset[str]:
    return frozenset(link.split()[0] for link in phrase_list("teams", "links"))


def _team_end(talk: Words, i: int) -> int:
    """The end of the team name that begins at ``i`` behind a link; ``i`` itself when none does."""
    j = i
    keywords = _keywords() | word_list("teams", "places")
    while j < len(talk) and j - i < 7 and (j == i or j not in talk.breaks or (not talk.cased and j - i == 1)):
        norm = talk.norm[j]
        named = name_like(talk, j) and not (j > i and talk.opens[j])
        inner = norm == "of" and j > i and talk.norm[j - 1] in keywords
        known = norm in keywords and (j > i or talk.cap[j] or talk.norm[j + 1 : j + 2] == ["of"])
        if not (named or inner or known or (norm == "-" and j > i)):
            break
        j += 1
    while j > i and talk.norm[j - 1] in {"of", "-"}:
        j -= 1
    if j > i or talk.cased:
        return j
    # Lower-case captions: a team of everyday words, as far as the next line, colour or function word. A name
    # may follow at once: the caller splits it off.
    while (
        j < len(talk)
        and j - i < 6
        and talk.word[j]
        and (j == i or j not in talk.breaks)
        and talk.norm[j] not in word_list("introductions", "stop")
        and talk.norm[j] not in CORNERS
    ):
        everyday = not name_like(talk, j)
        if everyday and (j - i >= 3 or any(name_like(talk, k) for k in range(i, j))):
            break
        j += 1
    place = j > i + 1 and talk.norm[j - 1] in keywords
    ends = (
        j >= len(talk)
        or j in talk.breaks
        or talk.norm[j] in {"and", "in", "is", "against"}
        or talk.lower[j] in ".,"
    )
    return j if place or ends or any(name_like(talk, k) for k in range(i, j)) else i


def _in_colour(talk: Words, j: int, colours: Collection[str] = CORNERS) -> bool:
    """Whether "in red" and the like follows at ``j``."""
    near = talk.norm[j : j + 4]
    return "in" in near and any(word in colours for word in near[near.index("in") :])


def variant(form: str, word: str) -> bool:
    """Whether ``form`` may be ``word`` misheard."""
    return _may_vary(form) and form[0] == word[0] and _near(form, word)


def _may_vary(form: str) -> bool:
    return len(form) > 4 and not is_common(form)


def _near(form: str, word: str) -> bool:
    return abs(len(form) - len(word)) < 3 and likeness(form, word) >= 0.8
