"""Finds names that a caption misheard: one word for another, or a name broken into several words."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING

from rapidfuzz import fuzz, process

from extract.cast.name_forms import Form
from extract.rules.base import Corner, other
from extract.talk.soundalike import letters, likeness, sound
from extract.talk.word_lists import is_common
from extract.talk.words import Words

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

#: How like (0 to 1), from token, to token (exclusive), the form.
Guess = tuple[float, int, int, Form]


class Ear:
    """Compares the words of a transcript with the ``forms`` of a cast.

    ``taken`` marks the tokens that are matched already; it is read again at every call.
    """

    def __init__(self, talk: Words, forms: list[Form], taken: list[bool]) -> None:
        self.talk = talk
        self._taken = taken
        self._fuzzy = [
            ("".join(map(letters, form.words)), form)
            for form in forms
            if form.part != "demonym" and form.words[0] != "the" and len("".join(form.words)) > 2
        ]
        self._single_words: dict[str, list[Form]] = {}
        for form in forms:
            if len(form.words) == 1:
                self._single_words.setdefault(form.words[0], []).append(form)
        self._cache: dict[str, tuple[Form, float] | None] = {}

    def singles(self) -> Iterator[Guess]:
        """Single words that were probably meant for a name."""
        talk = self.talk
        # An everyday word stands for a name only beside the other part of that name.
        named = [i for i in talk.places(self._single_words) if self._taken[i]]
        for i in {j for k in named for j in self._beside_in_line(k)}:
            if talk.word[i] and not self._taken[i] and len(talk.norm[i]) > 3 and is_common(talk.norm[i]):
                found = self._beside(i)
                if found is not None:
                    yield found[1], i, i + 1, found[0]
        for norm, places in talk.distinct().items():
            if not talk.word[places[0]] or is_common(norm):
                continue
            best = self._cached(norm)
            if best is not None:
                yield from (
                    (best[1], i, i + 1, best[0])
                    for i in places
                    if not self._taken[i] and self._enough(i, best)
                )

    def _beside(self, i: int) -> tuple[Form, float] | None:
        """The name that the everyday word at ``i`` stands for, where it is beside the other part of it."""
        near = self._neighbour(i)
        best = self._best(self.talk.norm[i], only=near) if near else None
        return best if best and best[1] >= 0.8 and not best[0].common else None

    def _enough(self, i: int, best: tuple[Form, float]) -> bool:
        """Whether ``best``, the name most like the word at ``i``, is like enough for that place."""
        talk = self.talk
        near = self._neighbour(i) if len(talk.norm[i]) > 2 else None
        least = _LEAST.get(len(letters("".join(best[0].words))), _LEAST_LONG)
        if near and near == best[0].corner:
            least -= 0.14
        elif talk.cased and not talk.cap[i]:
            least = max(least, 0.9)
        elif best[0].part in ("team", "alias"):
            least += 0.02
        return best[1] >= least

    def _beside_in_line(self, i: int) -> Iterator[int]:
        if i > 0 and i not in self.talk.breaks:
            yield i - 1
        if i + 1 < len(self.talk) and i + 1 not in self.talk.breaks:
            yield i + 1

    def _neighbour(self, i: int) -> Corner | None:
        """The corner whose name stands right beside token ``i`` without being complete there."""
        for j in self._beside_in_line(i):
            if self._taken[j]:
                for form in self._single_words.get(self.talk.norm[j], ()):
                    if form.part == ("given" if j < i else "surname"):
                        return form.corner
        return None

    def _cached(self, norm: str) -> tuple[Form, float] | None:
        if norm not in self._cache:
            best = self._best(norm)
            if best is None and norm.endswith("s") and len(norm) > 4:
                best = self._best(norm[:-1], least=0.8)
            self._cache[norm] = best
        return self._cache[norm]

    def _best(self, heard: str, only: Corner | None = None, least: float = 0.6) -> tuple[Form, float] | None:
        """The form most like ``heard`` and how like, unless the other corner has one nearly as like."""
        size = len(letters(heard))
        tops: dict[Corner, tuple[float, Form]] = {}
        for target, form in self._fuzzy:
            if abs(len(target) - size) > 3 or (only and form.corner != only):
                continue
            score = likeness(heard, target)
            if score >= least and score > tops.get(form.corner, (0.0, form))[0]:
                tops[form.corner] = (score, form)
        if not tops:
            return None
        corner = max(tops, key=lambda c: tops[c][0])
        score, form = tops[corner]
        if other(corner) in tops and score - tops[other(corner)][0] < _MARGIN:
            return None
        return form, score

    def parts(self) -> Iterator[Guess]:
        """Names that were probably heard as several words, "dragon off" for Draganov."""
        stretches = list(self._stretches())
        likely = self._likely({joined for _, _, joined, everyday in stretches if everyday}, _LEAST_EVERYDAY)
        likely |= self._likely(
            {joined for _, _, joined, everyday in stretches if not everyday}, _LEAST_JOINED
        )
        for start, end, joined, everyday in stretches:
            if joined in likely:
                best = self._best(joined, least=_LEAST_JOINED)
                if best and self._plausible(best, start, end, everyday):
                    # A single misheard word explains the same sound more simply than two.
                    yield best[1] - 0.02 * (end - start - 1), start, end, best[0]

    def _stretches(self) -> Iterator[tuple[int, int, str, bool]]:
        """Two to four words that may be a name by their first sound and their length: where they stand, joined, and
        whether all of them are everyday words."""
        norm, taken, word, breaks = self.talk.norm, self._taken, self.talk.word, self.talk.breaks
        sizes = [len(target) for target, _ in self._fuzzy]
        shortest, longest = max(min(sizes, default=0) - 3, 5), max(sizes, default=0) + 3
        onsets = {sound(target)[:1] for target, _ in self._fuzzy}
        distinct = self.talk.distinct()
        everyday = {norm for norm in distinct if len(norm) < 3 or is_common(norm)}
        for i in self.talk.places(n for n in distinct if n in {"a", "an"} or sound(n)[:1] in onsets):
            if taken[i] or not word[i]:
                continue
            joined, plain = norm[i], norm[i] in everyday
            for j in range(i + 1, min(i + 4, len(norm))):
                if taken[j] or not word[j] or j in breaks:
                    break
                joined += norm[j]
                if len(joined) > longest:
                    break
                plain = plain and norm[j] in everyday
                if len(joined) >= shortest:
                    yield i, j + 1, joined, plain

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

    def _plausible(self, best: tuple[Form, float], start: int, end: int, everyday: bool) -> bool:
        form, score = best
        target = "".join(form.words)
        if len(form.words) == end - start:
            return score >= (0.88 if everyday else _LEAST_PARTS)
        if everyday:
            return score >= (0.9 if len(target) < 7 else _LEAST_EVERYDAY) and len(target) > 5
        if form.corner in (self._neighbour(start), self._neighbour(end - 1)):
            return score >= 0.64
        return len(target) > 4 and score >= _LEAST_PARTS
