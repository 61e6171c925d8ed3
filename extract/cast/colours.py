"""Finds where a colour word means a corner."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import cast

from extract.cast.about import about_what
from extract.cast.model import About, CornerRef, CornerWords
from extract.rules.base import CORNERS, Corner
from extract.talk.word_lists import is_common, phrase_list, table_of, word_list
from extract.talk.words import Words

_ARTICLES = frozenset({"the", "a", "an", "that", "this", "our", "your"})

#: So many lines with one letter and a code ("R td2") show alone that the letter is a corner's, where no other initial
#: begins a line.
_HEADS = 3
_LETTERED = frozenset({"mat", "pool", "group", "'"})
_MARKS = frozenset({"", ".", ",", "!", "?", ";", ":", "...", "…", "-", "/", "(", ")", "+"})


@lru_cache(maxsize=1)
def _idioms() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(phrase.split()) for phrase in phrase_list("colours", "idioms"))


@lru_cache(maxsize=1)
def _homophones() -> dict[str, str]:
    return dict(cast("dict[str, str]", table_of("colours")["homophones"]))


@lru_cache(maxsize=1)
def _shortened() -> dict[str, str]:
    return dict(cast("dict[str, str]", table_of("colours")["shortened"]))


def colour_refs(talk: Words, words: CornerWords) -> list[CornerRef]:
    """Every place where a colour or a side stands for a corner, in order."""
    colours = dict(words.colours)
    if talk.notes:
        written = colours
        colours = {
            short: written[whole] for short, whole in _shortened().items() if whole in written
        } | written
    refs = [*_written(talk, colours, frozenset(words.lamps)), *_sides(talk, dict(words.sides))]
    refs += (
        _letters(talk, {colour[0].upper(): corner for colour, corner in words.colours}) if talk.notes else ()
    )
    return sorted(refs, key=lambda ref: ref.start)


def _written(talk: Words, colours: Mapping[str, Corner], lamps: frozenset[str]) -> Iterator[CornerRef]:
    homophones = {word: colours[colour] for word, colour in _homophones().items() if colour in colours}
    plurals = [f"{colour}s" for colour in colours]
    for i in talk.places({*colours, *plurals, *homophones}):
        norm = talk.norm[i]
        if norm in colours:
            if talk.after(i + 1) in lamps or not is_thing(talk, i):
                yield _phrase(talk, i, colours[norm], 0.97)
        elif norm[-1:] == "s" and norm[:-1] in colours:
            if talk.before(i) not in _ARTICLES:
                yield _phrase(talk, i, colours[norm[:-1]], 0.8)
        elif norm in homophones and talk.lower[i] == norm:
            ends = talk.after(i + 1) in _MARKS or talk.after(i + 1) in ("singlet", "corner")
            before = talk.before(i)
            article = before == "the" and talk.after(i + 1) in ("singlet", "corner")
            if ends and (article or before in word_list("colours", "homophone_before")):
                yield _phrase(talk, i, homophones[norm], 0.6)


def _sides(talk: Words, sides: Mapping[str, Corner]) -> Iterator[CornerRef]:
    """ "Touch left", "from the right": a side after a word that makes it a corner, and no arm or foot after it."""
    for i in talk.places(sides):
        if talk.before(i) in word_list("sides", "before") and talk.after(i + 1) not in word_list(
            "colours", "body"
        ):
            yield CornerRef(i, i + 1, sides[talk.norm[i]], "colour", 0.9)


def is_thing(talk: Words, i: int) -> bool:
    """Whether the colour at ``i`` describes some thing, or stands in a set phrase."""
    after, before = talk.after(i + 1), talk.before(i)
    own = after in word_list("colours", "athlete_after") or after in word_list("bench", "nouns")
    if talk.cap[i] and not talk.opens[i] and after and talk.cap[i + 1] and not own:
        return not talk.notes  # part of some name
    if after == "-" and talk.after(i + 2) in word_list("colours", "thing_after"):
        return True
    if after in word_list("colours", "thing_after") or before in word_list("colours", "thing_before"):
        # "blue lights him up": a verb with an object is no thing.
        return not (after.endswith("s") and talk.after(i + 2) in {"him", "her", "it", "up", "them", "his"})
    for idiom in _idioms():
        for k, word in enumerate(idiom):
            if word == talk.norm[i] and talk.stand_at(i - k, idiom):
                return True
    return False


def _phrase(talk: Words, i: int, corner: Corner, confidence: float) -> CornerRef:
    """The reference widened to the phrase, "the man in the blue singlet", with what it is about."""
    start, end = i, i + 1
    about: About = "athlete"
    noun = talk.after(end)
    # "red one" is a score or a count unless an article shows "one" to be the athlete.
    if noun in word_list("colours", "athlete_after") and (noun != "one" or talk.before(i) in _ARTICLES):
        end += 0 if _is_verb(talk, end) else 1
    if talk.lower[end - 1] == "corner":
        # In an introduction "the red corner" is the athlete, and a referee's "caution, red corner" too.
        named = talk.after(end)[:1].isalpha() and not is_common(talk.after(end))
        about = "athlete" if named or talk.after(end) in {",", ":", ".", ""} else "bench"
        tail, reach = about_what(talk, end)
        about = tail if tail == "bench" else about
        end = max(end, reach)
    else:
        about, end = about_what(talk, end)
    if start and talk.before(start) == "the":
        start -= 1
    elif talk.before(start) in {"a", "an"} and end == i + 1:
        confidence = min(confidence, 0.8)
    if talk.before(start) == "in":
        start -= 1
        if talk.before(start) in word_list("colours", "athlete_before"):
            start -= 1
            if talk.before(start) in _ARTICLES:
                start -= 1
    if about == "bench":
        confidence = min(confidence, 0.9)
    return CornerRef(start, end, corner, "colour", round(confidence, 3), about)


def _is_verb(talk: Words, i: int) -> bool:
    """Whether the noun at ``i`` is used as a verb: "blue suits up", "red gears up"."""
    return talk.after(i + 1) in {"up", "down"} and talk.lower[i] in {"gear", "suit", "side"}


def _letters(talk: Words, letters: Mapping[str, Corner]) -> Iterator[CornerRef]:
    """ "R" and "B" in telegraphic notes, where both stand for corners; "R arm" is a right arm."""
    hits: list[tuple[int, Corner]] = []
    for i, text in enumerate(talk.text):
        # The tokenizer keeps a full stop with a single letter; before a capital it marks an initial.
        letter, initial = text[:1], text[1:] == "." and talk.after(i + 1) and talk.cap[i + 1]
        if letter not in letters or text[1:] not in ("", ".") or initial:
            continue
        if talk.after(i + 1) not in word_list("colours", "body") and talk.before(i) not in _LETTERED:
            hits.append((i, letters[letter]))
    heads = {
        talk.text[i]
        for i, text in enumerate(talk.text)
        if len(text) == 1 and text.isupper() and talk.opens[i]
    }
    coded = sum(talk.opens[i] and talk.after(i + 1)[-1:].isdigit() for i, _ in hits)
    often = {corner for corner in CORNERS if sum(c == corner for _, c in hits) > 1}
    # One of the two may have nothing to be noted of; then it is the rows of the other's codes that show it.
    if len(often) == 2 or (heads <= letters.keys() and coded >= _HEADS):
        for i, corner in hits:
            yield CornerRef(i, i + 1, corner, "colour", 0.85)
