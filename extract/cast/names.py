"""Finds the names, teams and nicknames of a cast in a transcript, misheard ones included."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from extract.cast.abbreviations import Abbreviations
from extract.cast.about import about_what, owns
from extract.cast.misheard import CERTAIN, MisheardNames, NameGuess
from extract.cast.model import Cast, CornerRef, How
from extract.cast.name_forms import NameForm, diminutives, forms_of, given_and_surname, short_form
from extract.rules.base import CORNERS, Corner
from extract.talk.numbers import may_begin
from extract.talk.word_lists import is_common, word_list
from extract.talk.words import TalkWords

_CALLED = frozenset({",", "!"})
_PEOPLE = frozenset({"name", "nickname"})
#: What is left of the belief in a name whose apostrophe is missing, and in an everyday word that is used as a name.
_NO_APOSTROPHE, _EVERYDAY = 0.97, 0.8


@dataclass(frozen=True, slots=True)
class NameRef:
    """A match before it is made a CornerRef: the form that was matched, and how."""

    start: int
    end: int
    form: NameForm
    how: How
    confidence: float


class Names:
    """The matcher of one cast over one transcript. ``refs`` are in order and do not overlap."""

    def __init__(self, talk: TalkWords, cast: Cast) -> None:
        self._talk = talk
        self._forms = forms_of(cast)
        self._people = [(corner, *given_and_surname(cast.person(corner).name)) for corner in CORNERS]
        self._by_first: dict[str, list[NameForm]] = {}
        for form in sorted(self._forms, key=lambda f: -len(f.words)):
            self._by_first.setdefault(form.words[0], []).append(form)
        self._taken = [False] * len(talk)
        self._refs: list[NameRef] = []
        misheard = MisheardNames(talk, self._forms, self._taken)
        self._add(self._exact())
        self._add(self._short(Abbreviations(talk, cast, self._forms)))
        parts = sorted(misheard.parts(), key=_best_first)
        self._add(map(_guessed, (part for part in parts if part.score >= CERTAIN)))
        self._add(self._nicknames())
        self._add(map(_guessed, sorted([*parts, *misheard.singles()], key=_best_first)))
        self.refs = self._joined(sorted(self._refs, key=lambda ref: ref.start))

    def _add(self, refs: Iterable[NameRef]) -> None:
        """Adds those that stand where no other stands."""
        for ref in refs:
            if not any(self._taken[ref.start : ref.end]):
                self._refs.append(ref)
                self._taken[ref.start : ref.end] = [True] * (ref.end - ref.start)

    def _exact(self) -> Iterator[NameRef]:
        end = 0
        for i in self._talk.places(n for n in self._talk.distinct() if self._beginning(n)[0]):
            forms, sure = self._beginning(self._talk.norm[i])
            found = (self._match(form, i, sure) for form in forms) if i >= end else iter(())
            ref = next((ref for ref in found if ref is not None), None)
            if ref is not None:
                yield ref
                end = ref.end

    def _beginning(self, norm: str) -> tuple[list[NameForm], float]:
        """The forms that begin with a word, and how surely it is theirs."""
        forms = self._by_first.get(norm)
        if forms is None and len(norm) > 4 and norm[:-1] in self._by_first:
            # Captions drop the apostrophe of "Varkady's".
            owner = norm.endswith(tuple(word_list("names", "owner_endings"))) and not is_common(norm)
            forms = [form for form in self._by_first[norm[:-1]] if owner and len(form.words) == 1]
            return forms, _NO_APOSTROPHE
        return forms or [], 1.0

    def _match(self, form: NameForm, i: int, sure: float) -> NameRef | None:
        """The reference by a form whose first word stands at ``i``."""
        talk, end = self._talk, i + 1
        for word in form.words[1:]:
            # A name may run on into the next line.
            end = talk.over(end, ("-",))
            if end >= len(talk) or talk.norm[end] != word:
                return None
            end += 1
        if form.common and not self._as_given(form, i, end):
            if not self._is_name(i, end, form):
                return None
            sure *= 1.0 if talk.cased and len(form.words) > 1 else _EVERYDAY
        return NameRef(i, end, form, form.how, round(form.confidence * sure, 3))

    def _as_given(self, form: NameForm, i: int, end: int) -> bool:
        """Whether an alias stands here letter by letter as it was given, in a text in which capitals tell something."""
        talk = self._talk
        if not form.written or not talk.cased:
            return False
        # Without a clitic, as in ``norm``.
        shown = [talk.text[k].strip(".")[: len(talk.norm[k])] for k in range(i, end) if talk.word[k]]
        return shown == list(form.written)

    def _is_name(self, i: int, end: int, form: NameForm) -> bool:
        """Whether an everyday word at ``i`` is meant as the name that it also is."""
        talk = self._talk
        if form.part == "team" and self._is_home(form, i, end):
            return True
        if len(form.words) > 1:
            return talk.cap[end - 1] if talk.cased else form.words[0] not in word_list("teams", "articles")
        if talk.cased and not (talk.cap[i] and talk.opens[i]):
            return talk.cap[i]
        if not talk.cased and (form.part == "team" or talk.before(i) in word_list("names", "determiners")):
            return False
        return owns(talk, end) or (form.part != "team" and self._is_subject(i, end, form))

    def _is_home(self, form: NameForm, i: int, end: int) -> bool:
        """Whether the words of a team at ``i`` are where an athlete is from: "the man from the harbour"."""
        articles, lower = word_list("teams", "articles"), self._talk.lower
        start = i if form.words[0] in articles else i - 1
        if start < 3:
            return False
        article, noun, of, again = lower[start - 3 : start + 1]
        person = article in articles and noun in word_list("colours", "athlete_before")
        return person and of in word_list("teams", "home_of") and again in articles and self._is_whole(end)

    def _is_whole(self, end: int) -> bool:
        """Whether what stands at ``end`` makes nothing else of the words before it: no mark, number or small word does."""
        after = self._talk.after(end)
        small = after in word_list("names", "grammar") or after in word_list("teams", "after")
        return small or not after[:1].isalpha() or may_begin(after)

    def _is_subject(self, i: int, end: int, form: NameForm) -> bool:
        """Whether somebody does something, or is called, at ``i``: "Page shoots", "come on, Grace!"."""
        talk, before, after = self._talk, self._talk.before(i), self._talk.after(end)
        does = len(after) > 3 and after.endswith(tuple(word_list("names", "verb_endings")))
        if talk.cased:
            # "Grace." is an answer, or a call.
            alone = after == "." and talk.opens[i]
            return does or ((after in _CALLED or alone) and form.part != "surname")
        return (does or after == "") and (before == "" or before in word_list("names", "before_name"))

    def _short(self, abbreviations: Abbreviations) -> Iterator[NameRef]:
        for i in abbreviations.places():
            found = abbreviations.at(i) if self._talk.word[i] and not self._taken[i] else None
            if found is not None:
                form, sure = found
                yield NameRef(i, i + 1, form, form.how, sure)

    def _nicknames(self) -> Iterator[NameRef]:
        """Short forms of the given names and surnames, where they are used as a name."""
        talk = self._talk
        for norm, places in talk.distinct().items():
            common = is_common(norm)
            # An everyday word is heard as a short form of a given name alone.
            if len(norm) < 3 or (common and not (talk.cased and self._cut_from_given(norm))):
                continue
            used = [i for i in places if self._is_used(i, common)]
            found = self._nickname(norm) if used else None
            if found is not None:
                yield from (NameRef(i, i + 1, found[0], "nickname", found[1]) for i in used)

    def _is_used(self, i: int, common: bool) -> bool:
        """Whether the word at ``i`` is used as a name by its capital; an everyday word opens a sentence too."""
        talk = self._talk
        if self._taken[i] or not talk.may_name(i):
            return False
        return not (common and talk.opens[i]) or talk.after(i + 1) in _CALLED

    def _cut_from_given(self, word: str) -> bool:
        return any(given.startswith(word) or word in diminutives(given) for _, given, _ in self._people)

    def _nickname(self, word: str) -> tuple[NameForm, float] | None:
        """Whose nickname a word is, unless it may be either's, and how well it fits."""
        fits: dict[Corner, float] = {}
        for corner, given, surname in self._people:
            cuts = [0.9 * short_form(word, part) for part in surname]
            score = (
                0.85 if word in diminutives(given) else max(short_form(word, given, ends=True), *cuts, 0.0)
            )
            if score >= (0.85 if is_common(word) else 0.001):
                fits[corner] = score
        if len(fits) != 1:
            return None
        ((corner, score),) = fits.items()
        form = next((f for f in self._forms if f.corner == corner and f.how == "name"), None)
        return (form, round(score, 3)) if form else None

    def _joined(self, refs: Iterable[NameRef]) -> list[NameRef]:
        """Given name and surname, or initial and surname, in one reference."""
        out: list[NameRef] = []
        for ref in refs:
            if out and self._completes(out[-1], ref):
                first = out.pop()
                confidence = round(1 - (1 - first.confidence) * (1 - ref.confidence), 3)
                ref = replace(ref, start=first.start, how="name", confidence=min(confidence, 0.99))
            out.append(ref)
        return out

    def _completes(self, first: NameRef, ref: NameRef) -> bool:
        """Whether two references stand together as the names of one person."""
        between = self._talk.lower[first.end : ref.start]
        if between not in ([], ["-"]) or first.form.corner != ref.form.corner or first.form == ref.form:
            return False
        begins = first.form.part == "given" or first.how == "nickname" or ref.form.part == "surname"
        ends = ref.how == "nickname" or ref.form.part not in ("given", "whole")
        return {first.how, ref.how} <= _PEOPLE and begins and ends


def _best_first(guess: NameGuess) -> tuple[float, int]:
    return -guess.score, guess.start


def _guessed(guess: NameGuess) -> NameRef:
    confidence = round(min(guess.form.confidence, 0.5 + 0.5 * guess.score), 3)
    return NameRef(guess.start, guess.end, guess.form, guess.form.how, confidence)


def to_corner_ref(talk: TalkWords, ref: NameRef) -> CornerRef:
    """The public reference: the bench behind a name found, and the confidence lowered for it."""
    about, end = about_what(talk, ref.end)
    confidence = min(ref.confidence, 0.8) if about == "bench" else ref.confidence
    return CornerRef(ref.start, max(ref.end, end), ref.form.corner, ref.how, confidence, about)
