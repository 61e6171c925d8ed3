"""What a name of a person or a team looks like: which words may be of one, and where it ends."""

from __future__ import annotations

import re
from collections.abc import Collection
from functools import lru_cache, partial
from typing import Literal

from extract.rules.base import CORNERS
from extract.talk.word_lists import is_common, phrase_list, word_list
from extract.talk.words import PhraseTable, TalkWords

#: Sounds of hesitation: a letter thrice, or no vowel.
_FILLER = re.compile(rf"(.)\1\1|^[^{''.join(sorted(word_list('spelling', 'vowels')))}]+$")
#: Most words of a name; of a team's after what brings it in; of such a team in everyday words, and of these without a name.
_NAME, _TEAM, _EVERYDAY, _UNNAMED = 8, 7, 6, 3
_HYPHENS = frozenset({"-", "'"})

_introductions = partial(word_list, "introductions")


#: What a word may be by its letters: barred from any name, a name, a given name that is an everyday word too, another
#: everyday word, no word at all but a sound of hesitation.
_WordSort = Literal["barred", "name", "given", "common", "filler"]


@lru_cache(maxsize=1)
def _barred() -> frozenset[str]:
    """Words of no name."""
    plain = _introductions("never_names") | _introductions("stop")
    return plain.union(CORNERS, word_list("names", "trade") - team_words())


@lru_cache(maxsize=16384)
def _sort(norm: str) -> _WordSort:
    # "T3", "P2": no name ends with a figure.
    if norm in _barred() or len(norm) < 2 or norm[-1].isdigit():
        return "barred"
    if is_common(norm):
        return "given" if norm in word_list("names", "everyday_given") else "common"
    return "filler" if _FILLER.search(norm) else "name"


@lru_cache(maxsize=1)
def team_words() -> frozenset[str]:
    """Words that tell a team's name."""
    return word_list("teams", "generic") - _introductions("stop")


@lru_cache(maxsize=1)
def _team_parts() -> frozenset[str]:
    return team_words() | word_list("teams", "places")


@lru_cache(maxsize=1)
def team_links() -> PhraseTable[None]:
    """What brings in a team: "out of", "representing"."""
    return PhraseTable(dict.fromkeys(phrase_list("teams", "links")))


def name_like(talk: TalkWords, i: int) -> bool:
    """Whether the word at ``i`` looks like one of a name, by its letters and its place."""
    sort = _sort(talk.norm[i])
    if sort == "barred" or not talk.may_name(i):
        return False
    if sort == "name" or (talk.cased and (sort == "filler" or not talk.opens[i])):
        return True
    return (sort == "given" and _surname_at(talk, i + 1)) or _is_everyday_surname(talk, i)


def _is_everyday_surname(talk: TalkWords, i: int) -> bool:
    """Whether an everyday word is somebody's, by a colour and the capital that it has inside a sentence, too: "Quill in
    red"."""
    coloured = talk.cased and in_colour(talk, i + 1)
    return coloured and any(talk.cap[k] and not talk.opens[k] for k in talk.places([talk.norm[i]]))


def _surname_at(talk: TalkWords, i: int) -> bool:
    """Whether a word that may be a surname follows at ``i``; without capitals it may stand in the next line."""
    there = talk.is_word(i) or (i < len(talk) and not talk.cased)
    return there and talk.may_name(i) and not is_common(talk.norm[i])


def named_at(talk: TalkWords, i: int) -> bool:
    """Whether a word like one of a name stands at ``i``, in the same line as the one before it."""
    return talk.after(i) != "" and name_like(talk, i)


def name_end(talk: TalkWords, i: int) -> int:
    """The end of the run of name-like words that begins at ``i``; hyphens and particles may stand inside. In
    lower-case captions a name may run on into the next line."""
    j = i + 1
    while j < min(i + _NAME, len(talk)) and (more := _more_of_name(talk, i, j)):
        j += more
    return j


def full_end(talk: TalkWords, i: int) -> tuple[int, bool]:
    """The end of the name that begins at ``i``, "State University of N" to its end, and whether a word tells a team."""
    j = name_end(talk, i)
    telling = not team_words().isdisjoint(talk.norm[i:j])
    if telling and talk.after(j) in word_list("teams", "of") and named_at(talk, j + 1):
        j = name_end(talk, j + 1)
    return j, telling


def _more_of_name(talk: TalkWords, i: int, j: int) -> int:
    """How many words at ``j`` belong to the name that began at ``i``."""
    norm, particles = talk.norm, word_list("names", "particles")
    if j in talk.breaks and not _runs_on(talk, i, j):
        return 0
    if talk.word[j] and norm[j] in norm[i:j]:
        return 0  # "A B versus C D, D in red" without the comma
    if name_like(talk, j) or (norm[j] in team_words() and talk.may_name(j)):
        return 1
    if norm[j - 1] in particles and talk.word[j] and _sort(norm[j]) != "barred":
        return 1  # "van der Moor", whatever a moor may be
    inside = talk.lower[j] in _HYPHENS or norm[j] in particles
    return 2 if inside and named_at(talk, j + 1) else 0


def _runs_on(talk: TalkWords, i: int, j: int) -> bool:
    """Whether a name from ``i`` runs on over the line end before ``j``, in captions without capitals: after its first word,
    or as a team's common part does, "wrestling / club"."""
    if talk.cased:
        return False
    return (j == i + 1 and name_like(talk, j)) or {talk.norm[j - 1], talk.norm[j]} <= team_words()


def team_start(talk: TalkWords, i: int) -> int:
    """The position after a team link such as "out of the" at ``i``, or 0."""
    link = team_links().at(talk, i)
    if link is None or link.end >= len(talk) or (talk.cased and link.end in talk.breaks):
        return 0
    at = link.end + (talk.lower[link.end] in word_list("teams", "articles"))
    return at if at < len(talk) and talk.norm[at] not in CORNERS else 0


def team_end(talk: TalkWords, i: int) -> int:
    """The end of the team name that begins at ``i`` behind a link; ``i`` itself when none does."""
    j = i
    while j < min(i + _TEAM, len(talk)) and _is_of_team(talk, i, j):
        j += 1
    while j > i and (talk.norm[j - 1] == "-" or talk.norm[j - 1] in word_list("teams", "of")):
        j -= 1
    return j if j > i or talk.cased else _everyday_team_end(talk, i)


def _is_of_team(talk: TalkWords, i: int, j: int) -> bool:
    """Whether the word at ``j`` belongs to the team name that began at ``i``."""
    if j == i:
        return _begins_team(talk, i)
    if j in talk.breaks and (talk.cased or j > i + 1):
        return False
    norm, parts = talk.norm[j], _team_parts()
    inside = norm == "-" or norm in parts or (norm in word_list("teams", "of") and talk.norm[j - 1] in parts)
    return inside or (name_like(talk, j) and not talk.opens[j])


def _begins_team(talk: TalkWords, i: int) -> bool:
    """Whether a team's name begins at ``i`` behind a link: "the University of N"."""
    telling = talk.norm[i] in _team_parts()
    of = word_list("teams", "of").issuperset(talk.norm[i + 1 : i + 2])
    return (telling and (talk.cap[i] or of)) or name_like(talk, i)


def _everyday_team_end(talk: TalkWords, i: int) -> int:
    """The end of a team of everyday words in lower-case captions, as far as the next line, colour or function word. A
    name may follow at once: the caller splits it off."""
    j, named = i, False
    while j < min(i + _EVERYDAY, len(talk)) and _goes_on(talk, i, j):
        like = name_like(talk, j)
        if not like and (named or j - i >= _UNNAMED):
            break
        named = named or like
        j += 1
    place = j > i + 1 and talk.norm[j - 1] in _team_parts()
    ends = talk.after(j) in {"", ".", ","} or talk.norm[j] in word_list("teams", "after")
    return j if named or place or ends else i


def _goes_on(talk: TalkWords, i: int, j: int) -> bool:
    stops = talk.norm[j] in _introductions("stop") or talk.norm[j] in CORNERS
    return talk.word[j] and not stops and (j == i or j not in talk.breaks)


def in_colour(talk: TalkWords, j: int, colours: Collection[str] = CORNERS) -> bool:
    """Whether "in red" and the like follows at ``j``."""
    near = talk.norm[j : j + 4]
    ins = [k for k, word in enumerate(near) if word in word_list("colours", "in")]
    return bool(ins) and any(word in colours for word in near[ins[0] :])
