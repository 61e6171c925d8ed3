"""Finds names that a caption misheard: one word for another, or a name broken into several words."""

from __future__ import annotations

from collections.abc import Iterator

from extract.mentions.cast_forms import Form
from extract.mentions.soundalike import letters, likeness, sound
from extract.mentions.words import Words, is_common
from extract.rules.base import Corner, other

#: Least likeness of a misheard word to a name of so many letters; short names have too many neighbours. These
#: were set on misheard names of the project's own and on transcripts in which the names do not occur.
_LEAST = {3: 0.95, 4: 0.86, 5: 0.8}
_LEAST_LONG = 0.74
_LEAST_PARTS = 0.8
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

    def single(self, i: int) -> tuple[Form, float] | None:
        talk, norm = self.talk, self.talk.norm[i]
        known = is_common(norm)
        near = self._neighbour(i) if (known or len(norm) > 2) else None
        if known:
            # An everyday word stands for a name only beside the other part of that name.
            if near is None or len(norm) < 4:
                return None
            best = self._best(norm, only=near)
            return best if best and best[1] >= 0.8 and not best[0].common else None
        best = self._cached(norm)
        if best is None:
            return None
        least = _LEAST.get(len(letters("".join(best[0].words))), _LEAST_LONG)
        if near and near == best[0].corner:
            least -= 0.14
        elif talk.cased and not talk.cap[i]:
            least = max(least, 0.9)
        elif best[0].part in ("team", "alias"):
            least += 0.02
        return best if best[1] >= least else None

    def _neighbour(self, i: int) -> Corner | None:
        """The corner whose name stands right beside token ``i`` without being complete there."""
        for j in (i - 1, i + 1):
            if 0 <= j < len(self.talk) and self._taken[j]:
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
        talk = self.talk
        longest = max((len(target) for target, _ in self._fuzzy), default=0) + 3
        onsets = {sound(target)[:1] for target, form in self._fuzzy}
        for i in range(len(talk)):
            if self._taken[i] or not talk.word[i]:
                continue
            if talk.norm[i] not in {"a", "an"} and sound(talk.norm[i])[:1] not in onsets:
                continue
            joined, everyday = talk.norm[i], is_common(talk.norm[i]) or len(talk.norm[i]) < 3
            for j in range(i + 1, min(i + 4, len(talk))):
                if self._taken[j] or not talk.word[j]:
                    break
                joined += talk.norm[j]
                everyday = everyday and (is_common(talk.norm[j]) or len(talk.norm[j]) < 3)
                size = len(joined)
                if size > longest:
                    break
                if size < 5:
                    continue
                best = self._best(joined, least=0.66)
                if best and self._plausible(best, i, j + 1, everyday):
                    # A single misheard word explains the same sound more simply than two.
                    yield best[1] - 0.02 * (j - i), i, j + 1, best[0]

    def _plausible(self, best: tuple[Form, float], start: int, end: int, everyday: bool) -> bool:
        form, score = best
        target = "".join(form.words)
        if len(form.words) == end - start:
            return score >= (0.88 if everyday else _LEAST_PARTS)
        if everyday:
            return score >= (0.9 if len(target) < 7 else 0.84) and len(target) > 5
        if form.corner in (self._neighbour(start), self._neighbour(end - 1)):
            return score >= 0.64
        return len(target) > 4 and score >= _LEAST_PARTS
