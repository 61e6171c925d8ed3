"""The forms under which an athlete or a team may be spoken of, from the name as it is written out."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from extract.cast.model import Cast, How, Person
from extract.rules.base import CORNERS, Corner
from extract.talk.soundalike import letters, sound
from extract.talk.word_lists import is_common, table, word_list
from extract.transcript.plain import PLAIN

Part = Literal["given", "surname", "whole", "alias", "team", "demonym"]

_DIMINUTIVE = re.compile(r"(?:ie|ey|y|i|o|a|s|ers|ster)$")
_SPLIT = re.compile(r"[\s\-/]+")


@dataclass(frozen=True, slots=True)
class Form:
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


def forms_of(cast: Cast) -> list[Form]:
    """Every form of both athletes and teams; forms that both sides share are left out."""
    out: dict[tuple[str, ...], Form] = {}
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


def _form(words: tuple[str, ...], corner: Corner, how: How, part: Part, confidence: float) -> Form:
    common = all(is_common(word) or len(word) < 3 for word in words)
    return Form(words, corner, how, part, confidence, common)


def _person_forms(person: Person, corner: Corner) -> list[Form]:
    forms: list[Form] = []
    given, surname = given_and_surname(person.name)
    particles = word_list("names", "particles")
    if given:
        forms.append(_form((given, *surname), corner, "name", "whole", 0.99))
        forms.append(_form((given,), corner, "name", "given", 0.95))
    if surname:
        forms.append(_form(surname, corner, "name", "surname", 0.98))
        for k, word in enumerate(surname):
            if word in particles or len(word) < 3:
                continue
            forms.append(_form((word,), corner, "name", "surname", 0.95))
            if k and surname[k - 1] in particles:
                forms.append(_form((surname[k - 1], word), corner, "name", "surname", 0.97))
        if len(surname) > 1:
            forms.append(_form(("".join(surname),), corner, "name", "surname", 0.96))
    for alias in person.aliases:
        words = tuple(name_words(alias))
        if words:
            form = _form(words, corner, "nickname", "alias", 0.92)
            forms.append(form if alias.islower() else replace(form, written=tuple(_written(alias))))
    return forms


def _written(alias: str) -> list[str]:
    return [word.replace("’", "'").strip(".") for word in _SPLIT.split(alias.strip()) if word.strip(".")]


def _team_forms(team: str, corner: Corner) -> list[Form]:
    words = tuple(name_words(team))
    if not words:
        return []
    bare = words[1:] if words[0] == "the" and len(words) > 1 else words
    own = distinctive(team)
    forms = [_form(bare, corner, "team", "team", 0.92)]
    if own and own != bare:
        forms.append(_form(own, corner, "team", "team", 0.9))
    if len(own) > 1:
        forms.append(_form(own[:1], corner, "team", "team", 0.85))
    if len(own) > 1 and own[-1] in word_list("teams", "places"):
        forms.append(_form(("the", own[-1]), corner, "team", "team", 0.75))
    if own and own[-1] not in word_list("teams", "places"):
        forms += [_form((word,), corner, "team", "demonym", 0.85) for word in demonyms(own[-1])]
    if len(words) > 1 and words[0] != "the":
        short = "".join(word[0] for word in words)
        if len(short) >= 3 and not is_common(short):
            forms.append(_form((short,), corner, "team", "team", 0.8))
    return forms


def demonyms(place: str) -> list[str]:
    """What the people of ``place`` may be called.

    >>> "brennian" in demonyms("Brennia"), "holmers" in demonyms("holm")
    (True, True)
    """
    word = letters(place)
    stems = {word, re.sub(r"[aeiouy]+$", "", word)}
    if len(word) < 4:
        return []
    found = {stem + ending for stem in stems for ending in word_list("teams", "demonyms") if len(stem) > 2}
    # "n" and "ns" suit only a place that ends in a vowel.
    if word[-1] not in "aeiou":
        found -= {word + "n", word + "ns"}
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
    if name.startswith(word) and len(word) >= 3 and (len(name) - len(word) > 1 or len(word) == 3):
        return 0.72 + 0.03 * min(len(word), 5)
    if ends and len(word) >= 4 and name.endswith(word):
        return 0.82
    if word[:1] == name[0]:
        stem = _DIMINUTIVE.sub("", word)
        undoubled = stem[:-1] if len(stem) > 3 and stem[-1] == stem[-2] else stem
        cut = len(undoubled) >= 3 and stem != word and name.startswith(undoubled)
        if cut and len(name) - len(undoubled) > 1:
            return 0.8
    short, full = sound(word), sound(name)
    if 3 <= len(short) <= len(full) - 2 and len(word) < len(name) and full.startswith(short):
        return 0.72
    return 0.0
