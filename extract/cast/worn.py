"""Finds the colours that the two wear where these are not red and blue: "Stroud's in black, Boll's in the white"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from extract.cast.colours import colour_refs, is_thing
from extract.cast.introductions import Heard, find_people
from extract.cast.model import CornerWords
from extract.rules.base import CORNERS, Corner, other
from extract.talk.word_lists import word_list
from extract.talk.words import Words

#: Where both colours of a style stand for a corner so often, others that are worn mean nothing.
_OFTEN = 3
#: A colour that nobody is named with is worn where it is said to be so often.
_SAID = 2


def worn_in(talk: Words, words: CornerWords) -> tuple[CornerWords, dict[Corner, Heard]]:
    """``words`` with the other colours that the athletes are said to wear, and who wears what; ``words`` themselves where
    those that they have are in use. Of two other colours the one that is worn first is red's."""
    known = dict(words.colours)
    refs = colour_refs(talk, words)
    least = min(sum(ref.corner == corner for ref in refs) for corner in CORNERS)
    places = _places(talk, [*known, *word_list("colours", "worn")])
    others = [colour for colour in places if colour not in known]
    if least >= _OFTEN or not others:
        return words, {}
    own = {known[colour] for colour in places if colour in known}
    if len(own) == 2:
        return words, {}
    for colours in _choices(others, own):
        added = replace(words, colours=(*words.colours, *colours.items()))
        people = find_people(talk, colour_refs(talk, added), added)
        named = [corner for corner in CORNERS if people.get(corner, Heard()).name]
        unnamed = [colour for colour, corner in colours.items() if corner not in named]
        if named and all(len(places[colour]) >= _SAID for colour in unnamed):
            return added, people
    return words, {}


def exchanged(words: CornerWords, plain: CornerWords) -> CornerWords:
    """``words`` with the colours that they have besides ``plain`` turned round."""
    turned: list[tuple[str, Corner]] = [
        (colour, other(corner)) for colour, corner in words.colours[len(plain.colours) :]
    ]
    return replace(words, colours=(*plain.colours, *turned))


def _choices(others: Sequence[str], own: set[Corner]) -> Iterator[dict[str, Corner]]:
    """Which of the other colours may be whose, the likeliest first."""
    if own:
        (corner,) = own
        for colour in others:
            yield {colour: other(corner)}
        return
    for n, second in enumerate(others[1:], 1):
        for first in others[:n]:
            yield {first: "red", second: "blue"}


def _places(talk: Words, colours: Sequence[str]) -> dict[str, list[int]]:
    """Where each colour is said to be worn; the colours in order of the first such place."""
    garments = word_list("colours", "athlete_after")
    found: dict[str, list[int]] = {}
    for i in talk.places(colours):
        at = i - 1 if talk.before(i) in ("the", "a") else i
        worn = talk.before(at) in word_list("colours", "wearing") or talk.after(i + 1) in garments
        if worn and not is_thing(talk, i) and talk.after(i + 1) != "and":
            found.setdefault(talk.norm[i], []).append(i)
    return found
