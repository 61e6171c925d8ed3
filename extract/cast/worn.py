"""Finds the colours that the two wear where these are not red and blue: "Stroud's in black, Boll's in the white"."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from extract.cast.colours import colour_refs, is_thing
from extract.cast.introductions import Introduction, find_people
from extract.cast.model import CornerWords
from extract.rules.base import Corner, other
from extract.talk.word_lists import word_list
from extract.talk.words import TalkWords

#: Where both colours of a style stand for a corner so often, others that are worn mean nothing.
_OFTEN = 3
#: A colour that nobody is named with is worn where it is said to be so often.
_SAID = 2


def worn_in(talk: TalkWords, words: CornerWords) -> tuple[CornerWords, Mapping[Corner, Introduction]]:
    """``words`` with the other colours that the athletes are said to wear, and who wears what; ``words`` themselves where
    those that they have are in use. Of two other colours the one that is worn first is red's."""
    counts = Counter(ref.corner for ref in colour_refs(talk, words))
    known = dict(words.colours)
    places = _places(talk, [*known, *word_list("colours", "worn")])
    others = [colour for colour in places if colour not in known]
    own = {known[colour] for colour in places if colour in known}
    for colours in _choices(others, own) if min(counts["red"], counts["blue"]) < _OFTEN else ():
        added = replace(words, colours=(*words.colours, *colours.items()))
        people = find_people(talk, colour_refs(talk, added), added)
        unnamed = [colour for colour, corner in colours.items() if not people[corner].name]
        if any(found.name for found in people.values()) and all(len(places[c]) >= _SAID for c in unnamed):
            return added, people
    return words, {}


def exchanged(words: CornerWords, plain: CornerWords) -> CornerWords:
    """``words`` with the colours that they have besides ``plain`` turned round."""
    turned = ((colour, other(corner)) for colour, corner in words.colours[len(plain.colours) :])
    return replace(words, colours=(*plain.colours, *turned))


def _choices(others: Sequence[str], own: set[Corner]) -> Iterator[dict[str, Corner]]:
    """Which of the other colours may be whose, the likeliest first; ``own`` are the corners whose usual colour is worn."""
    if len(own) == 1:
        (corner,) = own
        for colour in others:
            yield {colour: other(corner)}
    elif not own:
        # By the second of the two: that which was worn first goes before.
        for n, m in sorted(combinations(range(len(others)), 2), key=lambda pair: pair[::-1]):
            yield {others[n]: "red", others[m]: "blue"}


def _places(talk: TalkWords, colours: Sequence[str]) -> dict[str, list[int]]:
    """Where each colour is said to be worn; the colours in order of the first such place."""
    garments, articles = word_list("colours", "athlete_after"), word_list("colours", "wearing_articles")
    found: dict[str, list[int]] = {}
    for i in talk.places(colours):
        start, after = talk.back_over(i, articles, 1), talk.after(i + 1)
        worn = talk.before(start) in word_list("colours", "wearing") or after in garments
        if worn and not is_thing(talk, i) and after not in word_list("colours", "and"):
            found.setdefault(talk.norm[i], []).append(i)
    return found
