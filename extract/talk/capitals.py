"""Takes the capitals from what is written in them throughout, where they tell nothing.

Captions of a broadcast are often so, and so may be what one of several speakers says.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from extract.talk.word_lists import word_list

#: A cue of fewer words may be shouted in a talk that is written otherwise: "TWO RED!"
_FEWEST = 3
_WORD = re.compile(r"[^\W\d_]{2,}")
#: A capital by itself, which may stand for somebody where it is no word.
_ALONE = re.compile(r"(?<!\S)[^\W\d_](?![^\s,:;!?)])")
_SENTENCE = re.compile(r"[^.!?…\n]+")
_OPENING = re.compile(r"(?:\A|[.!?…]\s+)[^\w\s]*[^\W\d_]")
#: Cues with less than this share of the words do not tell how the rest would be written.
_TELLING = 0.2
#: From such a share of function words on a text is talk, however it is written; a longer word is no code.
_SPOKEN, _CODE = 0.12, 4


def plain_capitals(texts: Sequence[str], *, typed: bool = False) -> list[str]:
    """The texts of a talk's cues, those that are all in capitals in small letters. Each stays as long as it was.

    What is ``typed`` may be a sheet full of codes, which stays as it is. Where other cues are not in capitals, the
    capitals are put as these have them: at the start of a sentence, and to the words that they write with one inside a
    sentence.

    >>> plain_capitals(["TWO FOR RED, TAKEDOWN R"])
    ['two for red, takedown R']
    """
    words = [_WORD.findall(text) for text in texts]
    loud = [sum(map(str.isupper, line)) for line in words]
    total = sum(map(len, words))
    mostly = 2 * sum(loud) > total
    if typed and mostly and not _is_talk(words):
        return list(texts)
    least = 1 if mostly else _FEWEST
    taken = [len(line) >= least and 2 * n > len(line) for n, line in zip(loud, words, strict=True)]
    if not any(taken):
        return list(texts)
    named = _named_in([text for text, capital in zip(texts, taken, strict=True) if not capital], total)
    return [_small(text, named) if capital else text for text, capital in zip(texts, taken, strict=True)]


def _named_in(others: Sequence[str], total: int) -> frozenset[str] | None:
    """The words that have a capital in ``others``, where these are enough to tell how ``total`` words would be written."""
    telling = sum(len(_WORD.findall(text)) for text in others) >= _TELLING * total
    return _named(others) if telling else None


def _is_talk(words: Sequence[Sequence[str]]) -> bool:
    """Whether words that are mostly in capitals are talk, or names written out, and no sheet full of codes."""
    grammar = word_list("names", "grammar")
    total = sum(map(len, words))
    spoken = sum(word.lower() in grammar for line in words for word in line)
    long = sum(word.isupper() and len(word) > _CODE for line in words for word in line)
    return spoken > _SPOKEN * total or 2 * long > total


def _named(texts: Iterable[str]) -> frozenset[str]:
    """The words, in small letters, that mostly have a capital inside a sentence."""
    capital: Counter[str] = Counter()
    for text in texts:
        for sentence in _SENTENCE.findall(text):
            for word in _WORD.findall(sentence)[1:]:
                capital[word.lower()] += 1 if word[0].isupper() else -1
    return frozenset(word for word, more in capital.items() if more > 0)


def _small(text: str, named: frozenset[str] | None = None) -> str:
    """The text in small letters; with words that are ``named`` its sentences and those have a capital."""
    plain = word_list("spelling", "letter_words")
    kept = {found.start() for found in _ALONE.finditer(text) if found[0].lower() not in plain}
    if named is not None:
        kept |= {found.start() for found in _WORD.finditer(text) if found[0].lower() in named}
        kept |= {found.end() - 1 for found in _OPENING.finditer(text)}
    return "".join(char if at in kept else _small_letter(char) for at, char in enumerate(text))


def _small_letter(char: str) -> str:
    """The small letter, where it is as long: that of a dotted capital I is not."""
    small = char.lower()
    return small if len(small) == 1 else char
