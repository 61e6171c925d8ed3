"""Finds names that were shortened in writing: "V'dy" for Varkady anywhere; in typed notes "Var.", "Vrkdy", initials."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import partial

from extract.cast.model import Cast
from extract.cast.name_forms import NameForm, name_words
from extract.rules.base import CORNERS, Corner, other
from extract.talk.soundalike import letters
from extract.talk.word_lists import is_common, word_list
from extract.talk.words import TalkWords

_APOSTROPHE = re.compile(r"([a-z]{1,3})'([a-z]{2,})")
#: So often a letter must stand alone, and initials together, to be somebody's.
_OFTEN, _TWICE = 4, 2
#: A code of so many letters must come so often to be somebody's name.
_CODE, _AGAIN = (3, 4), 3
#: The first letters of a name, where they are used for it.
_BEGINNING = range(2, 6)
#: The parts of a name that are shortened, the likeliest first.
_PARTS = ("surname", "given", "team")


class Abbreviations:
    """The shortened names of a talk; ``forms`` are those of its cast."""

    def __init__(self, talk: TalkWords, cast: Cast, forms: list[NameForm]) -> None:
        self._talk = talk
        self._forms = forms
        self._words = {corner: name_words(cast.person(corner).name) for corner in CORNERS}
        self._initials = (
            (self._whole_initials() or self._beginnings() or self._single_initials()) if talk.notes else {}
        )

    def places(self) -> Iterable[int]:
        """Where a shortened name may stand."""
        talk = self._talk
        cut = (norm for norm in talk.distinct() if "'" in norm and _APOSTROPHE.match(norm))
        return range(len(talk)) if talk.notes else talk.places(cut)

    def at(self, i: int) -> tuple[NameForm, float] | None:
        """The form that is shortened to the word at ``i``, and how surely."""
        talk, norm = self._talk, self._talk.norm[i]
        cut = _APOSTROPHE.match(norm)
        if cut and cut[2] not in word_list("names", "contracted") and talk.may_name(i):
            return self._only(0.9, partial(_clipped, cut[1], cut[2]))
        corner = self._initials.get(talk.norm[i].rstrip("."))
        if corner:
            parts = ("whole", "surname")
            return next(form for form in self._forms if form.corner == corner and form.part in parts), 0.75
        return self._noted(i, norm) if talk.notes else None

    def _noted(self, i: int, norm: str) -> tuple[NameForm, float] | None:
        talk, stem, found = self._talk, norm.rstrip("."), None
        if talk.cap[i] and len(stem) > 2 and not is_common(stem):
            sure = 0.88 if stem != norm or talk.after(i + 1) == "." else 0.8
            found = self._only(sure, partial(_begins, stem)) or self._only(sure, partial(_skeleton, stem))
        if found is None and self._is_code(i):
            found = self._only(0.8, partial(_letters_of, norm))
        return found

    def _is_code(self, i: int) -> bool:
        """Whether a word is one of a few capitals that come again and again, as a sheet has for a name: "OAK", "WBN"."""
        text, norm = self._talk.text[i], self._talk.norm[i]
        if not (self._talk.cased and text.isupper() and text.isalpha() and len(text) in _CODE):
            return False
        known = word_list("names", "trade") | word_list("names", "grammar") | set(CORNERS)
        return norm not in known and self._talk.text.count(text) >= _AGAIN

    def _only(self, sure: float, test: Callable[[str], bool]) -> tuple[NameForm, float] | None:
        """The form with a word that passes ``test``, when such forms all speak of one corner."""
        hits = [
            form
            for form in self._forms
            if form.part in _PARTS and any(test(letters(word)) for word in form.words if letters(word))
        ]
        if len({form.corner for form in hits}) != 1:
            return None
        return min(hits, key=lambda form: _PARTS.index(form.part)), sure

    def _single_initials(self) -> dict[str, Corner]:
        """ "P shot, O sprawl": a letter that only one of them has for an initial, and that stands alone often."""
        own = {corner: {word[0] for word in words} for corner, words in self._words.items()}
        marks: dict[str, Corner] = {}
        for corner in CORNERS:
            chosen = own[corner] - own[other(corner)] - word_list("names", "no_initials")
            mark = max(sorted(chosen), key=self._alone, default="")
            if not mark or self._alone(mark) < _OFTEN:
                return {}
            marks[mark] = corner
        return marks

    def _alone(self, letter: str) -> int:
        """How often a letter stands alone: as a capital, or, where notes are in small letters, as the first word of one."""
        talk = self._talk
        places = talk.distinct().get(letter, ())
        return max(sum(talk.text[i].isupper() for i in places), sum(talk.opens[i] for i in places))

    def _beginnings(self) -> dict[str, Corner]:
        """ "il 2 mar 1": for each of them the first letters of a name, the given one too, that come again and again."""
        marks: dict[str, Corner] = {}
        for norm, places in self._talk.distinct().items():
            if len(norm) not in _BEGINNING or not norm.isalpha() or len(places) < _AGAIN:
                continue
            mean = {
                corner
                for corner, words in self._words.items()
                if any(word.startswith(norm) and word != norm for word in words)
            }
            opening = sum(self._talk.opens[i] for i in places)
            if len(mean) == 1 and not (is_common(norm) and (_is_plain(norm) or opening < _AGAIN)):
                marks[norm] = mean.pop()
        return marks if len({*marks.values()}) == len(CORNERS) else {}

    def _whole_initials(self) -> dict[str, Corner]:
        """ "AV shot", "av shot": the initials of their names, of the whole or of the first two, in either order."""
        marks: dict[str, Corner] = {}
        for corner, words in self._words.items():
            first = [word[0] for word in words]
            forms = {"".join(first), "".join(first[:2]), "".join([*first[1:], *first[:1]])}
            known = word_list("names", "trade") | set(CORNERS)
            fit = sorted(
                form for form in forms if len(form) > 1 and form not in known and not is_common(form)
            )
            mark = max(fit, key=self._times, default="")
            if mark and self._times(mark) >= _TWICE:
                marks[mark] = corner
        return marks if len(marks) == len(CORNERS) else {}

    def _times(self, norm: str) -> int:
        return len(self._talk.distinct().get(norm, ()))


def _is_plain(word: str) -> bool:
    """Whether a word is too usual in notes of a bout to be somebody's name."""
    return word in CORNERS or any(word in word_list("names", sort) for sort in ("trade", "grammar"))


def _clipped(start: str, end: str, word: str) -> bool:
    return word.startswith(start) and word.endswith(end) and len(word) > len(start) + len(end)


def _begins(start: str, word: str) -> bool:
    return word.startswith(start) and len(word) > len(start) + 1


def _letters_of(some: str, word: str) -> bool:
    """Whether a word begins as ``some`` and has its letters in their order."""
    rest = iter(word)
    return word[:1] == some[:1] and len(word) > len(some) and all(letter in rest for letter in some)


def _skeleton(consonants: str, word: str) -> bool:
    vowels = word_list("spelling", "vowels")
    return word[0] + "".join(letter for letter in word[1:] if letter not in vowels) == consonants
