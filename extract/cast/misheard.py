"""Finds names that a caption misheard: one word for another, or a name broken into several words."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING, NamedTuple

from rapidfuzz import fuzz, process

from extract.cast.about import owns
from extract.cast.name_forms import NameForm
from extract.rules.base import Corner, other
from extract.talk.numbers import may_begin
from extract.talk.soundalike import consonants, letters, likeness, sound
from extract.talk.word_lists import is_common, word_list
from extract.talk.words import TalkWords

if TYPE_CHECKING:
    import numpy as np

#: Least likeness of a misheard word to a name of so many letters; short names have too many neighbours. These
#: were set on misheard names of the project's own and on transcripts in which the names do not occur.
_LEAST = {3: 0.95, 4: 0.86, 5: 0.8}
_LEAST_LONG = 0.74
_LEAST_PARTS = 0.8
#: Least likeness of several words to a name: of any, and of everyday words alone (to the longest names).
_LEAST_JOINED, _LEAST_EVERYDAY = 0.66, 0.84
#: From this likeness on several words are surely one name.
CERTAIN = 0.9
#: A word that is nearly as like a name of the other corner stands for neither.
_MARGIN = 0.05
#: What is added to the likeness to a person's name, up to the last, where so many consonants are the same, in words at
#: least so alike.
_SAME_CONSONANTS, _CONSONANTS, _ALIKE, _NEAREST = 0.15, 3, 0.55, 0.98
#: Everyday words that stand for a name again and again do so this often; in places of names once in so many times.
_RECURS, _IN_PLACE = 3, 3
#: A name is broken into so many words at most.
_MOST_PARTS = 4
#: The length of a word and that of a name differ by so many letters at most.
_LETTERS_OFF = 3
#: The forms by which a person is called.
_PERSONAL = frozenset({"given", "surname", "whole"})


class NameGuess(NamedTuple):
    """A place taken for a form of a name, and how like (0 to 1) it is."""

    score: float
    start: int
    end: int
    form: NameForm


class MisheardNames:
    """Compares the words of a transcript with the ``forms`` of a cast.

    ``taken`` marks the words that are matched already; it is read again at every call.
    """

    def __init__(self, talk: TalkWords, forms: list[NameForm], taken: list[bool]) -> None:
        self._talk = talk
        self._taken = taken
        articles = word_list("teams", "articles")
        self._fuzzy = [
            ("".join(map(letters, form.words)), form)
            for form in forms
            if form.part != "demonym" and form.words[0] not in articles and len("".join(form.words)) > 2
        ]
        self._single_words: dict[str, list[NameForm]] = {}
        for form in forms:
            if len(form.words) == 1:
                self._single_words.setdefault(form.words[0], []).append(form)

    def singles(self) -> Iterator[NameGuess]:
        """Single words that were probably meant for a name."""
        yield from self._everyday_singles()
        yield from self._everyday_names()
        for norm, places in self._talk.distinct().items():
            best = None if is_common(norm) or not self._talk.word[places[0]] else self._best_of_word(norm)
            if best is not None:
                free = (i for i in places if not self._taken[i] and self._is_enough(i, *best))
                yield from (NameGuess(best[1], i, i + 1, best[0]) for i in free)

    def _everyday_singles(self) -> Iterator[NameGuess]:
        """Everyday words that were meant for a name: they stand beside the other part of it."""
        norm = self._talk.norm
        named = [i for i in self._talk.places(self._single_words) if self._taken[i]]
        beside = {j for k in named for j in self._neighbours(k) if self._talk.word[j] and not self._taken[j]}
        for i in (i for i in beside if len(norm[i]) > 3 and is_common(norm[i])):
            corner = self._begun_beside(i)
            best = self._best(norm[i], only=corner, least=0.8) if corner else None
            said = best is not None and best[0].words[0] in {norm[j] for j in self._neighbours(i)}
            if best is not None and not best[0].common and not said:
                yield NameGuess(best[1], i, i + 1, best[0])

    def _everyday_names(self) -> Iterator[NameGuess]:
        """Everyday words with the consonants of a name that have a capital inside a sentence, or stand in places of names
        again and again."""
        kept = {
            consonants(target) for target, form in self._fuzzy if form.part in _PERSONAL and not form.common
        }
        kept = {sounds for sounds in kept if len(sounds) >= _CONSONANTS}
        for norm, places in self._talk.distinct().items():
            if len(norm) < 4 or not is_common(norm) or consonants(norm) not in kept:
                continue
            used = self._used_as_name(places)
            best = self._best(norm, least=0.7) if used else None
            if best is not None and best[0].part in _PERSONAL and not best[0].common:
                yield from (NameGuess(best[1], i, i + 1, best[0]) for i in used if not self._taken[i])

    def _used_as_name(self, places: list[int]) -> list[int]:
        """Those places of an everyday word at which it is used as a name."""
        talk = self._talk
        free = [i for i in places if talk.before(i) not in word_list("names", "determiners")]
        written = [i for i in free if talk.cased and talk.cap[i] and not talk.opens[i]]
        determined = len(free) < len(places)
        if determined or may_begin(talk.norm[places[0]]) or len(places) < _RECURS:
            return written
        standing = sum(map(self._stands_as_name, places))
        return places if standing * _IN_PLACE >= len(places) else written

    def _stands_as_name(self, i: int) -> bool:
        """Whether a word stands where names do: before a verb of somebody, or after a word that brings one in."""
        after = self._talk.after(i + 1)
        does = len(after) > 3 and after.endswith(tuple(word_list("names", "verb_endings")))
        return does or owns(self._talk, i + 1) or self._talk.before(i) in word_list("names", "before_name")

    def _is_enough(self, i: int, form: NameForm, score: float) -> bool:
        """Whether a form is like enough for its place at ``i``."""
        talk = self._talk
        least = _LEAST.get(len(letters("".join(form.words))), _LEAST_LONG)
        if len(talk.norm[i]) > 2 and self._begun_beside(i) == form.corner:
            least -= 0.14
        elif talk.cased and not talk.cap[i]:
            least = max(least, 0.9)
        elif form.part in ("team", "alias"):
            least += 0.02
        elif len(talk.distinct()[talk.norm[i]]) >= _RECURS:
            least -= 0.06
        return score >= least

    def _neighbours(self, i: int) -> list[int]:
        """The positions beside ``i`` in its line."""
        return [*([i - 1] if self._talk.before(i) else []), *([i + 1] if self._talk.after(i + 1) else [])]

    def _begun_beside(self, i: int) -> Corner | None:
        """The corner whose name stands right beside ``i`` without being complete there."""
        for j in self._neighbours(i):
            for form in self._single_words.get(self._talk.norm[j], ()) if self._taken[j] else ():
                if form.part == ("given" if j < i else "surname"):
                    return form.corner
        return None

    def _best_of_word(self, norm: str) -> tuple[NameForm, float] | None:
        best = self._best(norm)
        if best is None and len(norm) > 4 and norm.endswith(tuple(word_list("names", "owner_endings"))):
            best = self._best(norm[:-1], least=0.8)
        return best

    def _best(
        self, heard: str, only: Corner | None = None, least: float = 0.6
    ) -> tuple[NameForm, float] | None:
        """The form most like ``heard`` and how like, unless the other corner has one nearly as like."""
        size = len(letters(heard))
        tops: dict[Corner, tuple[float, NameForm]] = {}
        for target, form in self._fuzzy:
            if abs(len(target) - size) <= _LETTERS_OFF and only in (None, form.corner):
                score = _nearness(heard, target, form)
                if score >= least and score > tops.get(form.corner, (0.0, form))[0]:
                    tops[form.corner] = (score, form)
        if not tops:
            return None
        corner = max(tops, key=lambda c: tops[c][0])
        score, form = tops[corner]
        if other(corner) in tops and score - tops[other(corner)][0] < _MARGIN:
            return None
        return form, score

    def parts(self) -> Iterator[NameGuess]:
        """Names that were probably heard as several words, "dragon off" for Draganov."""
        stretches = list(self._stretches())
        likely = self._likely({joined for _, _, joined, everyday in stretches if everyday}, _LEAST_EVERYDAY)
        likely |= self._likely(
            {joined for _, _, joined, everyday in stretches if not everyday}, _LEAST_JOINED
        )
        for start, end, joined, everyday in stretches:
            best = self._best(joined, least=_LEAST_JOINED) if joined in likely else None
            if (
                best
                and self._is_plausible(*best, start, end, everyday)
                and not self._is_less(*best, start, end)
            ):
                # A single misheard word explains the same sound more simply than two.
                yield NameGuess(best[1] - 0.02 * (end - start - 1), start, end, best[0])

    def _is_less(self, form: NameForm, score: float, start: int, end: int) -> bool:
        """Whether two words are a name and a small word beside it, which adds next to nothing to it."""
        first, last = self._talk.norm[start], self._talk.norm[end - 1]
        grammar, target = word_list("names", "grammar"), "".join(map(letters, form.words))
        if end - start != 2 or len(form.words) > 1 or (first in grammar) == (last in grammar):
            return False
        return _nearness(first if last in grammar else last, target, form) >= min(score - 0.1, 0.8)

    def _stretches(self) -> Iterator[tuple[int, int, str, bool]]:
        """Two to four words that may be a name by their first sound and their length: where they stand, joined, and
        whether all of them are everyday words."""
        talk, taken = self._talk, self._taken
        sizes = [len(target) for target, _ in self._fuzzy] or [0]
        shortest, longest = max(min(sizes) - _LETTERS_OFF, 5), max(sizes) + _LETTERS_OFF
        everyday = {norm for norm in talk.distinct() if len(norm) < 3 or is_common(norm)}
        for i in talk.places(self._onsets()):
            joined, plain = "", True
            for j in range(i, min(i + _MOST_PARTS, len(talk))):
                joined += talk.norm[j]
                if taken[j] or not talk.word[j] or len(joined) > longest or (j > i and j in talk.breaks):
                    break
                plain = plain and talk.norm[j] in everyday
                if j > i and len(joined) >= shortest:
                    yield i, j + 1, joined, plain

    def _onsets(self) -> list[str]:
        """The words of the talk that may begin a name by their first sound."""
        sounds = {sound(target)[:1] for target, _ in self._fuzzy}
        any_onset = word_list("names", "any_onset")
        return [norm for norm in self._talk.distinct() if norm in any_onset or sound(norm)[:1] in sounds]

    def _likely(self, heard: Collection[str], least: float) -> set[str]:
        """Those of many that may be as like as ``least`` to a name: half of a likeness is the spelling."""
        if not heard or not self._fuzzy:
            return set()
        written = [letters(word) for word in heard]
        targets = [target for target, _ in self._fuzzy]
        # A little less, for the rounding.
        spelled: np.ndarray[tuple[int, int], np.dtype[np.float32]] = process.cdist(
            written, targets, scorer=fuzz.ratio, score_cutoff=200 * least - 100.5
        )
        return {word for word, row in zip(heard, spelled.max(axis=1).tolist(), strict=True) if row}

    def _is_plausible(self, form: NameForm, score: float, start: int, end: int, everyday: bool) -> bool:
        """Whether several words may be a form."""
        size = len("".join(form.words))
        if len(form.words) == end - start:
            return score >= (0.88 if everyday else _LEAST_PARTS)
        if everyday:
            return score >= (0.9 if size < 7 else _LEAST_EVERYDAY) and size > 5
        if form.corner in (self._begun_beside(start), self._begun_beside(end - 1)):
            return score >= 0.64
        return size > 4 and score >= _LEAST_PARTS


def _nearness(heard: str, target: str, form: NameForm) -> float:
    """How like what was heard is to a form; words with the consonants of a person's name are nearer than their letters."""
    score = likeness(heard, target)
    if not _ALIKE <= score < _NEAREST or form.part not in _PERSONAL:
        return score
    kept = consonants(target)
    same = sound(heard) == sound(target) or (len(kept) >= _CONSONANTS and consonants(heard) == kept)
    return min(score + _SAME_CONSONANTS, _NEAREST) if same and len(target) > _CONSONANTS else score
