"""Finds the names, teams and nicknames of a cast in a transcript, misheard ones included."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from extract.cast.about import about_what
from extract.cast.misheard import CERTAIN, Ear, Guess
from extract.cast.model import Cast, CornerRef, How
from extract.cast.name_forms import (
    Form,
    diminutives,
    forms_of,
    given_and_surname,
    name_words,
    short_form,
)
from extract.rules.base import CORNERS, Corner, other
from extract.talk.soundalike import letters
from extract.talk.word_lists import is_common, word_list
from extract.talk.words import Words

_ABBREVIATION = re.compile(r"^([a-z]{1,3})'([a-z]{2,})$")
#: Letters that are words, or short for a corner, a takedown, a reversal.
_NO_INITIALS = frozenset({"A", "I", "R", "B", "T"})
#: So often a letter must stand alone to be somebody's initial.
_OFTEN = 4
#: So often a code of some letters must come to be somebody's name.
_AGAIN = 3
_CONTRACTED = frozenset({"ll", "re", "ve", "em", "til", "cause", "am", "all", "know", "clock"})


@dataclass(frozen=True, slots=True)
class NameRef:
    """A match before it is made a CornerRef: the form that was matched, and how."""

    start: int
    end: int
    form: Form
    how: How
    confidence: float


class Names:
    """The matcher of one cast over one transcript. ``refs`` are in order and do not overlap."""

    def __init__(self, talk: Words, cast: Cast) -> None:
        self.talk = talk
        self.forms = forms_of(cast)
        self._cast = cast
        self._people = [(corner, *given_and_surname(cast.person(corner).name)) for corner in CORNERS]
        self._by_first: dict[str, list[Form]] = {}
        for form in sorted(self.forms, key=lambda f: -len(f.words)):
            self._by_first.setdefault(form.words[0], []).append(form)
        self._taken = [False] * len(talk)
        self._ear = Ear(talk, self.forms, self._taken)
        refs = list(self._exact())
        self._take(refs)
        refs += self._short()
        parts = sorted(self._ear.parts(), key=lambda c: (-c[0], c[1]))
        refs += self._best_first([part for part in parts if part[0] >= CERTAIN])
        refs += self._nicknames()
        refs += self._misheard(parts)
        self.refs: list[NameRef] = self._joined(sorted(refs, key=lambda ref: ref.start))

    def _take(self, refs: list[NameRef]) -> None:
        for ref in refs:
            for i in range(ref.start, ref.end):
                self._taken[i] = True

    def _exact(self) -> Iterator[NameRef]:
        begins = self._by_first
        end = 0
        for i in self.talk.places(n for n in self.talk.distinct() if n in begins or n[:-1] in begins):
            found = self._exact_at(i) if i >= end else None
            if found is not None:
                yield found
                end = found.end

    def _exact_at(self, i: int) -> NameRef | None:
        norm = self.talk.norm[i]
        bare, penalty = norm, 1.0
        forms = self._by_first.get(norm)
        if forms is None and norm[-1:] == "s" and len(norm) > 4 and not is_common(norm):
            # Captions drop the apostrophe of "Varkady's".
            bare, penalty = norm[:-1], 0.97
            forms = [form for form in self._by_first.get(bare, ()) if len(form.words) == 1]
        for form in forms or ():
            end = self._follow(form, i, bare)
            given = bool(end) and self._as_given(form, i, end)
            if end and (not form.common or given or self._is_name(i, end, form)):
                sure = (
                    0.8
                    if form.common and not given and not (self.talk.cased and len(form.words) > 1)
                    else 1.0
                )
                return NameRef(i, end, form, form.how, round(form.confidence * penalty * sure, 3))
        return None

    def _follow(self, form: Form, i: int, first: str) -> int:
        """The end of ``form`` if the talk goes on with it at ``i``, or 0."""
        talk, at = self.talk, i
        for k, word in enumerate(form.words):
            if k:
                at += 1
                # A name may run on into the next line.
                while talk.after(at) == "-":
                    at += 1
            if at >= len(talk) or (talk.norm[at] if k else first) != word:
                return 0
        return at + 1

    def _as_given(self, form: Form, i: int, end: int) -> bool:
        """Whether an alias stands here letter by letter as it was given, in a text in which capitals tell something."""
        talk = self.talk
        if not form.written or not talk.cased:
            return False
        shown = [talk.text[k].strip(".") for k in range(i, end) if talk.word[k]]
        return [word.removesuffix("'s") for word in shown] == list(form.written)

    def _is_name(self, i: int, end: int, form: Form) -> bool:
        """Whether an everyday word at ``i`` is meant as the name that it also is."""
        talk = self.talk
        before, after = talk.before(i), talk.after(end)
        if len(form.words) > 1 and (form.words[0] != "the" or (talk.cased and talk.cap[end - 1])):
            return not talk.cased or talk.cap[end - 1]
        if form.words[0] == "the":
            return False
        if talk.cased:
            if not talk.cap[i]:
                return False
            if not talk.opens[i]:
                return True
            if form.part == "team":
                return after == "'s"
            called = after in {",", "!"} and form.part != "surname"
            return after == "'s" or called or (after.endswith("s") and len(after) > 3)
        if before in word_list("names", "determiners") or form.part == "team":
            return False
        return after == "'s" or (
            before
            in {"for", "to", "takedown", "escape", "reversal", "nothing", "from", "points", "by", "over", ""}
            and (after == "" or (after.endswith("s") and len(after) > 3))
        )

    def _short(self) -> list[NameRef]:
        """Abbreviations: "V'dy" for Varkady anywhere; "Var." and "Vrkdy" and initials in telegraphic
        notes."""
        talk, refs = self.talk, []
        initials = self._initials() if talk.notes else {}
        cut = [norm for norm in talk.distinct() if "'" in norm and _ABBREVIATION.match(norm)]
        for i in range(len(talk)) if talk.notes else talk.places(cut):
            norm = talk.norm[i]
            if self._taken[i] or not talk.word[i]:
                continue
            form: Form | None = None
            confidence = 0.9
            match = _ABBREVIATION.match(norm)
            if match and match[2] not in _CONTRACTED and (talk.cap[i] or not talk.cased):
                form = self._only(partial(_clipped, match[1], match[2]))
            elif talk.notes and talk.text[i].rstrip(".") in initials:
                corner = initials[talk.text[i].rstrip(".")]
                form = next(f for f in self.forms if f.corner == corner and f.part in ("whole", "surname"))
                confidence = 0.75
            elif talk.notes and talk.cap[i] and not is_common(norm.rstrip(".")) and len(norm.rstrip(".")) > 2:
                stem, point = norm.rstrip("."), norm.endswith(".") or talk.after(i + 1) == "."
                form = self._only(partial(_begins, stem))
                confidence = 0.88 if point else 0.8
                if form is None:
                    form = self._only(partial(_skeleton, stem))
            if form is None and talk.notes and self._is_code(i):
                form, confidence = self._only(partial(_letters_of, norm)), 0.8
            if form:
                refs.append(NameRef(i, i + 1, form, form.how, confidence))
        self._take(refs)
        return refs

    def _is_code(self, i: int) -> bool:
        """Whether a token is one of a few capitals that come again and again, as a sheet has for a name: "OAK", "WBN"."""
        talk = self.talk
        text, norm = talk.text[i], talk.norm[i]
        if not (talk.cased and text.isupper() and text.isalpha() and 3 <= len(text) <= 4):
            return False
        barred = (
            norm in CORNERS or norm in word_list("names", "trade") or norm in word_list("names", "grammar")
        )
        return not barred and talk.text.count(text) >= _AGAIN

    def _only(self, test: Callable[[str], bool]) -> Form | None:
        """The form with a word that passes ``test``, when such forms all speak of one corner."""
        hits = [
            form
            for form in self.forms
            if form.part in ("surname", "given", "team")
            and any(test(letters(word)) for word in form.words if letters(word))
        ]
        if not hits or len({form.corner for form in hits}) > 1:
            return None
        return min(hits, key=lambda form: ("surname", "given", "team").index(form.part))

    def _initials(self) -> dict[str, Corner]:
        """The initials that notes use for the two: those of their whole names, or else one letter for each."""
        return self._whole_initials() or self._single_initials()

    def _single_initials(self) -> dict[str, Corner]:
        """ "P shot, O sprawl": a letter that only one of them has for an initial, and that stands alone often."""
        texts = self.talk.text
        marks: dict[str, Corner] = {}
        for corner in CORNERS:
            own = {word[0].upper() for word in name_words(self._cast.person(corner).name)}
            rival = {word[0].upper() for word in name_words(self._cast.person(other(corner)).name)}
            letters_ = own - rival - _NO_INITIALS
            most = max(letters_, key=texts.count, default=None)
            if most is None or texts.count(most) < _OFTEN:
                return {}
            marks[most] = corner
        return marks

    def _whole_initials(self) -> dict[str, Corner]:
        marks: dict[str, Corner] = {}
        for corner in CORNERS:
            words = name_words(self._cast.person(corner).name)
            if len(words) > 1:
                mark = "".join(word[0] for word in words).upper()
                if mark in marks or mark.lower() in word_list("names", "trade") or is_common(mark.lower()):
                    return {}
                marks[mark] = corner
        texts = self.talk.text
        return marks if len(marks) == 2 and all(texts.count(mark) > 1 for mark in marks) else {}

    def _misheard(self, parts: list[Guess]) -> list[NameRef]:
        return self._best_first(sorted([*parts, *self._ear.singles()], key=lambda c: (-c[0], c[1])))

    def _best_first(self, candidates: list[Guess]) -> list[NameRef]:
        refs = []
        for score, start, end, form in candidates:
            if not any(self._taken[start:end]):
                confidence = round(min(form.confidence, 0.5 + 0.5 * score), 3)
                ref = NameRef(start, end, form, form.how, confidence)
                self._take([ref])
                refs.append(ref)
        return refs

    def _nicknames(self) -> list[NameRef]:
        """Short forms of the given names and surnames, where they are used as a name."""
        talk = self.talk
        refs: list[NameRef] = []
        for norm, places in talk.distinct().items():
            common = is_common(norm)
            # An everyday word is heard as a short form of a given name alone.
            if len(norm) < 3 or (common and not (talk.cased and self._cut_from_given(norm))):
                continue
            used = [
                i
                for i in places
                if not self._taken[i]
                and talk.word[i]
                and (talk.cap[i] or not talk.cased)
                and not (common and talk.opens[i] and talk.after(i + 1) not in {",", "!"})
            ]
            hit = self._nickname(norm) if used else None
            if hit is not None:
                refs += [NameRef(i, i + 1, hit[0], "nickname", hit[1]) for i in used]
        self._take(refs)
        return refs

    def _cut_from_given(self, word: str) -> bool:
        return any(given.startswith(word) or word in diminutives(given) for _, given, _ in self._people)

    def _nickname(self, word: str) -> tuple[Form, float] | None:
        found: dict[Corner, float] = {}
        for corner, given, surname in self._people:
            cuts = [0.9 * short_form(word, part) for part in surname]
            score = max(short_form(word, given, ends=True), *cuts, 0.0)
            if word in diminutives(given):
                score = 0.85
            if is_common(word) and score < 0.85:
                score = 0.0
            if score:
                found[corner] = score
        if len(found) != 1:
            return None
        corner, score = found.popitem()
        form = next((f for f in self.forms if f.corner == corner and f.how == "name"), None)
        return (form, round(score, 3)) if form else None

    def _joined(self, refs: list[NameRef]) -> list[NameRef]:
        """Given name and surname, or initial and surname, in one reference."""
        out: list[NameRef] = []
        people = ("name", "nickname")
        for ref in refs:
            last = out[-1] if out else None
            if (
                last
                and last.form.corner == ref.form.corner
                and last.form != ref.form
                and last.how in people
                and ref.how in people
                and (ref.start == last.end or self.talk.lower[last.end : ref.start] == ["-"])
                and (last.form.part == "given" or last.how == "nickname" or ref.form.part == "surname")
                and (ref.how == "nickname" or ref.form.part not in ("given", "whole"))
            ):
                confidence = round(1 - (1 - last.confidence) * (1 - ref.confidence), 3)
                out[-1] = NameRef(last.start, ref.end, ref.form, "name", min(confidence, 0.99))
            else:
                out.append(ref)
        return out


def _clipped(start: str, end: str, word: str) -> bool:
    return word.startswith(start) and word.endswith(end) and len(word) > len(start) + len(end)


def _begins(start: str, word: str) -> bool:
    return word.startswith(start) and len(word) > len(start) + 1


def _letters_of(some: str, word: str) -> bool:
    """Whether a word begins as ``some`` and has its letters in their order."""
    rest = iter(word)
    return word[:1] == some[:1] and len(word) > len(some) and all(letter in rest for letter in some)


def _skeleton(consonants: str, word: str) -> bool:
    return word[0] == consonants[0] and re.sub("[aeiouy]", "", word[1:]) == consonants[1:]


def to_corner_ref(talk: Words, ref: NameRef) -> CornerRef:
    """The public reference: the bench behind a name found, and the confidence lowered for it."""
    about, end = about_what(talk, ref.end)
    confidence = ref.confidence
    if about == "bench":
        confidence = min(confidence, 0.8)
    return CornerRef(ref.start, max(ref.end, end), ref.form.corner, ref.how, confidence, about)
