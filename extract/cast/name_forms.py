"""The forms under which an athlete or a team may be spoken of, from the name as it is written out."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from extract.cast.model import Cast, How, Person
from extract.rules.base import CORNERS, Corner
from extract.talk.soundalike import letters, sound
from extract.talk.word_lists import is_common, table, word_list
from extract.transcript.plain import PLAIN

Part = Literal["given", "surname", "whole", "alias", "team", "demonym"]

_SPLIT = re.compile(r"[\s\-/]+")


@dataclass(frozen=True, slots=True)
class NameForm:
    """One way to name a corner: its ``words`` in lower case and in order, hyphens left out.

    ``common`` is set when every word is everyday English, so that the form needs capitals or context. ``written`` are the
    words of an alias with a capital in it as it was given: written so, it is meant, whatever else the word may be.
    """

    words: tuple[str, ...]
    corner: Corner
    how: How
    part: Part
    confidence: float
    common: bool
    written: tuple[str, ...] = ()


def name_words(name: str) -> list[str]:
    """The words of a name in lower case, hyphenated halves apart, "Surname, Given" turned round.

    >>> name_words("Oster-Vale, Mira")
    ['mira', 'oster', 'vale']
    """
    if "," in name:
        last, _, first = name.partition(",")
        name = f"{first} {last}"
    words = _SPLIT.split(name.translate(PLAIN).strip())
    return [word.lower().strip(".") for word in words if word.strip(".")]


def given_and_surname(name: str) -> tuple[str, tuple[str, ...]]:
    """The given name and the surname's words; a single word counts as surname.

    >>> given_and_surname("Anna van der Molen")
    ('anna', ('van', 'der', 'molen'))
    """
    words = name_words(name)
    if len(words) < 2:
        return "", tuple(words)
    return words[0], tuple(words[1:])


def distinctive(team: str) -> tuple[str, ...]:
    """The words of a team name that no other team is likely to have.

    >>> distinctive("the Republic of Brennia")
    ('brennia',)
    """
    generic = word_list("teams", "generic")
    return tuple(word for word in name_words(team) if word not in generic)


def forms_of(cast: Cast) -> list[NameForm]:
    """Every form of both athletes and teams; forms that both sides share are left out."""
    out: dict[tuple[str, ...], NameForm] = {}
    shared: set[tuple[str, ...]] = set()
    for corner in CORNERS:
        for form in (
            *_person_forms(cast.person(corner), corner),
            *_team_forms(cast.person(corner).team, corner),
        ):
            known = out.get(form.words)
            if known is None:
                out[form.words] = form
            elif known.corner != form.corner:
                shared.add(form.words)
            elif known.confidence < form.confidence:
                out[form.words] = form
    # A colour alone is the corner of that colour, whatever the team of Blue Ridge thinks.
    return [form for form in out.values() if form.words not in shared and not set(form.words) <= set(CORNERS)]


def _form(words: tuple[str, ...], corner: Corner, how: How, part: Part, confidence: float) -> NameForm:
    common = all(is_common(word) or len(word) < 3 for word in words)
    return NameForm(words, corner, how, part, confidence, common)


def _person_forms(person: Person, corner: Corner) -> list[NameForm]:
    given, surname = given_and_surname(person.name)
    particles = word_list("names", "particles")
    rows: list[tuple[tuple[str, ...], Part, float]] = []
    if given:
        rows += [((given, *surname), "whole", 0.99), ((given,), "given", 0.95)]
    rows.append((surname, "surname", 0.98))
    for before, word in pairwise((given, *surname)):
        if word not in particles and len(word) > 2:
            rows.append(((word,), "surname", 0.95))
            if before in particles and before != given:
                rows.append(((before, word), "surname", 0.97))
    if len(surname) > 1:
        rows.append((("".join(surname),), "surname", 0.96))
    forms = [_form(words, corner, "name", part, sure) for words, part, sure in rows if words]
    return [*forms, *(_alias_form(alias, corner) for alias in person.aliases if name_words(alias))]


def _alias_form(alias: str, corner: Corner) -> NameForm:
    form = _form(tuple(name_words(alias)), corner, "nickname", "alias", 0.92)
    return form if alias.islower() else replace(form, written=tuple(_written(alias)))


def _written(alias: str) -> list[str]:
    return [word.replace("’", "'").strip(".") for word in _SPLIT.split(alias.strip()) if word.strip(".")]


def _team_forms(team: str, corner: Corner) -> list[NameForm]:
    words, own, articles = tuple(name_words(team)), distinctive(team), word_list("teams", "articles")
    bare = words[1:] if len(words) > 1 and words[0] in articles else words
    place = own[-1:] if own and own[-1] in word_list("teams", "places") else ()
    rows = {own: 0.9, bare: 0.92}
    if len(own) > 1:
        rows |= {own[:1]: 0.85} | {(article, *place): 0.75 for article in articles if place}
    short = "".join(word[0] for word in words)
    if bare == words and len(short) > 2 and not is_common(short):
        rows[short,] = 0.8
    forms = [_form(form, corner, "team", "team", sure) for form, sure in rows.items() if form]
    people = demonyms(own[-1]) if own and not place else ()
    return [*forms, *(_form((word,), corner, "team", "demonym", 0.85) for word in people)]


def demonyms(place: str) -> list[str]:
    """What the people of ``place`` may be called.

    >>> "brennian" in demonyms("Brennia"), "holmers" in demonyms("holm")
    (True, True)
    """
    word = letters(place)
    if len(word) < 4:
        return []
    vowels = word_list("spelling", "vowels")
    stems = {word, word.rstrip("".join(vowels))}
    found = {stem + ending for stem in stems for ending in word_list("teams", "demonyms") if len(stem) > 2}
    if word[-1] not in vowels - word_list("spelling", "half_vowels"):
        found -= {word + ending for ending in word_list("teams", "demonyms_after_vowel")}
    return sorted(form for form in found if form != word and not is_common(form))


@lru_cache(maxsize=4096)
def diminutives(given: str) -> tuple[str, ...]:
    """Short forms of a given name that are no cut of it, from the lexicon."""
    return tuple(table("diminutives").get(given, "").split())


def short_form(word: str, name: str, ends: bool = False) -> float:
    """How well ``word`` is a short form cut from ``name``, from its end too if ``ends``: 0 for not at all.

    A name that lost a single letter was misheard rather than cut.
    """
    if len(name) < 4 or len(word) >= len(name) + 2 or word == name:
        return 0.0
    if _is_cut(word, name):
        return 0.72 + 0.03 * min(len(word), 5)
    if ends and len(word) >= 4 and name.endswith(word):
        return 0.82
    if ends and _is_inner(word, name):
        return 0.75
    if _is_diminutive(word, name):
        return 0.8
    return 0.72 if len(word) < len(name) and _sounds_cut(sound(word), sound(name)) else 0.0


def _is_cut(word: str, name: str) -> bool:
    return len(word) >= 3 and name.startswith(word) and (len(name) - len(word) > 1 or len(word) == 3)


def _sounds_cut(short: str, full: str) -> bool:
    return 3 <= len(short) <= len(full) - 2 and full.startswith(short)


def _is_inner(word: str, name: str) -> bool:
    """Whether a word is a name without its first vowel and its ending, "Liz" for Elizabeth."""
    inner = name[:1] in word_list("spelling", "vowels") and name.startswith(word, 1)
    return inner and len(word) >= 3 and word[0] not in word_list("spelling", "vowels")


def _is_diminutive(word: str, name: str) -> bool:
    """Whether a word is a name cut short with an ending of endearment: "Maggers" for Magda."""
    stem = _endearments().sub("", word)
    undoubled = stem[:-1] if len(stem) > 3 and stem[-1] == stem[-2] else stem
    cut = len(undoubled) >= 3 and stem != word and name.startswith(undoubled)
    return cut and word[:1] == name[0] and len(name) - len(undoubled) > 1


@lru_cache(maxsize=1)
def _endearments() -> re.Pattern[str]:
    return re.compile(f"(?:{'|'.join(sorted(word_list('names', 'endearments')))})$")
