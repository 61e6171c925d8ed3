"""Finds where a colour word means a corner."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from functools import cache, lru_cache, partial
from typing import cast

from extract.cast.about import about_what
from extract.cast.model import About, CornerRef, CornerWords
from extract.rules.base import Corner
from extract.talk.word_lists import is_common, phrase_list, table_of, word_list
from extract.talk.words import TalkWords

#: So many lines with one letter and a code ("R td2") show alone that the letter is a corner's, where no other initial
#: begins a line.
_HEADS = 3
_MARKS = frozenset({"", ".", ",", "!", "?", ";", ":", "...", "…", "-", "/", "(", ")", "+"})
_AFTER_CORNER = frozenset({"", ",", ":", "."})

_words = partial(word_list, "colours")


@cache
def _stands_for(key: str) -> dict[str, str]:
    """Words written for a colour."""
    return dict(cast("dict[str, str]", table_of("colours")[key]))


@lru_cache(maxsize=1)
def _idioms() -> Mapping[str, list[tuple[int, list[str]]]]:
    """Each word of the set phrases, with its place in them."""
    out: defaultdict[str, list[tuple[int, list[str]]]] = defaultdict(list)
    for phrase in phrase_list("colours", "idioms"):
        for k, word in enumerate(phrase.split()):
            out[word].append((k, phrase.split()))
    return out


def colour_refs(talk: TalkWords, words: CornerWords) -> list[CornerRef]:
    """Every place where a colour or a side stands for a corner, in order."""
    colours = dict(words.colours)
    refs = list(_sides(talk, dict(words.sides)))
    if talk.notes:
        refs += _letters(talk, {colour[0].upper(): corner for colour, corner in words.colours})
        short = {s: colours[whole] for s, whole in _stands_for("shortened").items() if whole in colours}
        colours = short | colours
    refs += _written(talk, colours, frozenset(words.lamps))
    return sorted(refs, key=lambda ref: ref.start)


def _written(talk: TalkWords, colours: Mapping[str, Corner], lamps: frozenset[str]) -> Iterator[CornerRef]:
    def is_lit(talk: TalkWords, i: int) -> bool:
        return talk.after(i + 1) in lamps or not is_thing(talk, i)

    sounds = {word: colour for word, colour in _stands_for("homophones").items() if colour in colours}
    # A colour before a plural, a plural before a sound.
    readings: dict[str, tuple[Corner, float, Callable[[TalkWords, int], bool]]] = {
        **{word: (colours[colour], 0.6, _sounds_like_colour) for word, colour in sounds.items()},
        **{f"{colour}s": (corner, 0.8, _is_plural) for colour, corner in colours.items()},
        **{colour: (corner, 0.97, is_lit) for colour, corner in colours.items()},
    }
    for i in talk.places(readings):
        corner, sure, stands = readings[talk.norm[i]]
        if stands(talk, i):
            yield _phrase(talk, i, corner, sure)


def _is_plural(talk: TalkWords, i: int) -> bool:
    """Whether the colours at ``i`` are the athlete's side: "the blues" are a mood, or a team."""
    return talk.before(i) not in _words("articles")


def _sounds_like_colour(talk: TalkWords, i: int) -> bool:
    """Whether a word with the sound of a colour is one by what is around it: "for blew", "the read corner"."""
    noun = talk.after(i + 1) in _words("homophone_after")
    ends = talk.lower[i] == talk.norm[i] and (noun or talk.after(i + 1) in _MARKS)
    before = talk.before(i)
    return ends and (before in _words("homophone_before") or (noun and before in _words("definite")))


def _sides(talk: TalkWords, sides: Mapping[str, Corner]) -> Iterator[CornerRef]:
    """ "Touch left", "from the right": a side after a word that makes it a corner, and no arm or foot after it."""
    for i in talk.places(sides):
        if talk.before(i) in word_list("sides", "before") and talk.after(i + 1) not in _words("body"):
            yield CornerRef(i, i + 1, sides[talk.norm[i]], "colour", 0.9)


def is_thing(talk: TalkWords, i: int) -> bool:
    """Whether the colour at ``i`` describes some thing, or stands in a set phrase."""
    after, things = talk.after(i + 1), _words("thing_after")
    if _is_in_name(talk, i):
        return not talk.notes
    if after == "-" and talk.after(i + 2) in things:
        return True
    if after in things or talk.before(i) in _words("thing_before"):
        # "blue lights him up": a verb with an object is no thing.
        verb = after.endswith(tuple(word_list("names", "verb_endings")))
        return not (verb and talk.after(i + 2) in _words("objects"))
    return any(talk.stand_at(i - k, idiom) for k, idiom in _idioms().get(talk.norm[i], ()))


def _is_in_name(talk: TalkWords, i: int) -> bool:
    """Whether the colour at ``i`` begins a name: it has a capital inside a sentence, as the next word, no noun for the
    athlete or those around, has."""
    after = talk.after(i + 1)
    named = after and talk.cap[i] and talk.cap[i + 1] and not talk.opens[i]
    return bool(named) and after not in _words("athlete_after") | word_list("bench", "nouns")


def _phrase(talk: TalkWords, i: int, corner: Corner, confidence: float) -> CornerRef:
    """The reference widened to the phrase, "the man in the blue singlet", with what it is about."""
    about, end = _behind(talk, i)
    start = talk.back_over(i, _words("definite"), 1)
    if start == i and talk.before(i) in _words("indefinite") and end == i + 1:
        confidence = min(confidence, 0.8)
    if talk.before(start) in _words("in"):
        start -= 1
        athlete = talk.back_over(start, _words("athlete_before"), 1)
        start = talk.back_over(athlete, _words("articles"), 1) if athlete < start else start
    if about == "bench":
        confidence = min(confidence, 0.9)
    return CornerRef(start, end, corner, "colour", round(confidence, 3), about)


def _behind(talk: TalkWords, i: int) -> tuple[About, int]:
    """What the colour at ``i`` speaks of, and where its phrase ends."""
    end = i + 1 + _takes_noun(talk, i)
    about, reach = about_what(talk, end)
    if end > i + 1 and talk.norm[i + 1] in _words("place") and about != "bench":
        # In an introduction "the red corner" is the athlete, and a referee's "caution, red corner" too.
        after = talk.after(end)
        named = after[:1].isalpha() and not is_common(after)
        about = "athlete" if named or after in _AFTER_CORNER else "bench"
    return about, max(end, reach)


def _takes_noun(talk: TalkWords, i: int) -> bool:
    """Whether the word after the colour at ``i`` belongs to its phrase: "singlet", "corner"."""
    noun = talk.after(i + 1)
    if noun in _words("counts"):
        # "red one" is a score or a count unless an article shows "one" to be the athlete.
        return talk.before(i) in _words("articles")
    verb = noun in _words("verbs") and talk.after(i + 2) in _words("verb_particles")
    return noun in _words("athlete_after") and not verb


def _letters(talk: TalkWords, letters: Mapping[str, Corner]) -> list[CornerRef]:
    """ "R" and "B" in telegraphic notes, where both stand for corners; "R arm" is a right arm."""
    hits = {i: letters[text[0]] for i, text in enumerate(talk.text) if _is_letter(talk, i, letters)}
    counts = Counter(hits.values())
    if min(counts["red"], counts["blue"]) < 2 and not _heads_rows(talk, hits, letters):
        return []
    return [CornerRef(i, i + 1, corner, "colour", 0.85) for i, corner in hits.items()]


def _heads_rows(talk: TalkWords, hits: Iterable[int], letters: Container[str]) -> bool:
    """Whether rows of codes show letters to be corners where one of the two has nothing to be noted of."""
    coded = sum(talk.opens[i] and talk.after(i + 1)[-1:].isdigit() for i in hits)
    heads = (i for i in talk.single_capitals() if talk.opens[i])
    return coded >= _HEADS and all(talk.text[i] in letters for i in heads)


def _is_letter(talk: TalkWords, i: int, letters: Mapping[str, Corner]) -> bool:
    """Whether one of the ``letters`` stands alone at ``i``, of no arm and in no name."""
    text, after = talk.text[i], talk.after(i + 1)
    if text[:1] not in letters or text[1:] not in ("", "."):
        return False
    # The tokenizer keeps a full stop with a single letter; before a capital it marks an initial.
    initial = text[1:] and after and talk.cap[i + 1]
    return not initial and after not in _words("body") and talk.before(i) not in _words("lettered")
