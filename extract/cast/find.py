"""Who is in red and who in blue, and every place where the talk refers to one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING
from typing import cast as cast_to

from extract.cast.colours import colour_refs
from extract.cast.home import find_home, home_refs, is_partisan
from extract.cast.initials import initial_refs
from extract.cast.introductions import Introduction, find_people, opponent_of, two_named
from extract.cast.model import PLAIN_WORDS, Cast, CornerRef, CornerWords, Person, Supposed
from extract.cast.name_forms import given_and_surname, name_words
from extract.cast.names import Names, to_corner_ref
from extract.cast.pronouns import pronoun_refs
from extract.cast.roles import role_refs
from extract.cast.worn import exchanged, worn_in
from extract.lexicon import load_styles
from extract.rules.base import CORNERS, Corner, other
from extract.talk.soundalike import likeness
from extract.talk.words import TalkWords
from extract.transcript.bout_file import Side

if TYPE_CHECKING:
    from extract.transcript.bout_file import BoutFile

__all__ = [
    "Cast",
    "CornerRef",
    "CornerWords",
    "Person",
    "corner_refs",
    "corner_words",
    "find_cast",
    "introduced",
]

#: With so many colours that stand for corners a talk has its own way of saying who is who.
_COLOURS_TELL = 3
_NOBODY = Introduction()


def corner_words(style: str) -> CornerWords:
    """The words that mean a corner in a style: red and blue, and those of its lexicon."""
    found = load_styles()[style]
    return CornerWords(
        cast_to("tuple[tuple[str, Corner], ...]", (*PLAIN_WORDS.colours, *found.colours)),
        cast_to("tuple[tuple[str, Corner], ...]", found.sides),
        found.lamps,
    )


def find_cast(
    talk: TalkWords,
    bout: BoutFile | None,
    red: str | None = None,
    blue: str | None = None,
    words: CornerWords = PLAIN_WORDS,
) -> Cast:
    """The athletes of the bout that ``talk`` (the transcript, one cue a line) is about.

    ``red`` and ``blue`` are names given by the user; they go before the bout file, and the bout file before
    what the talk says. What nothing tells stays an empty string, and the corner is then known by its colour
    alone. ``words`` are those that mean a corner in this style; the colours of the bout file go before them.
    """
    sides: dict[Corner, Side] = (
        {"red": bout.red, "blue": bout.blue} if bout else dict.fromkeys(CORNERS, Side())
    )
    names: dict[Corner, str | None] = {"red": red, "blue": blue}
    if _swapped(names, sides):
        sides = {corner: sides[other(corner)] for corner in CORNERS}
    words = words.worn(sides["red"].colour, sides["blue"].colour)
    known = {corner: _given(names[corner], sides[corner]) for corner in CORNERS}
    words, supposed = _with_worn(talk, words, known)
    if not all(person.name and person.team for person in known.values()):
        known, ordered = _completed(talk, known, words)
        supposed = "order" if ordered else supposed
    cast = Cast(known["red"], known["blue"], words=words, supposed=supposed)
    home, _ = _home(talk, cast)
    return replace(cast, home=home, home_open=home is None and is_partisan(talk))


def _completed(
    talk: TalkWords, given: Mapping[Corner, Person], words: CornerWords
) -> tuple[dict[Corner, Person], bool]:
    """Those that are given with what the talk says of them, and whether nothing but their order says who is red."""
    known, ordered = _filled(given, introduced(talk, words)), False
    if not any(person.name for person in known.values()):
        known = _filled(given, _in_order(talk, words))
        ordered = known["red"].name != ""
    return {corner: _opposed(talk, known, corner) for corner in CORNERS}, ordered


def corner_refs(talk: TalkWords, cast: Cast) -> list[CornerRef]:
    """Every place in ``talk`` that refers to a corner of ``cast``, in order and without overlap.

    A pronoun is a reference only where the transcript itself shows that each athlete takes another one; "we"
    and "you" only where ``cast.home`` is set.
    """
    refs = _merged(_named(talk, cast), _colours(talk, cast.words))
    refs = _merged(refs, initial_refs(talk, cast, refs))
    refs = _merged(refs, role_refs(talk, refs))
    refs = _merged(refs, pronoun_refs(talk, refs))
    if cast.home:
        _, coaches = _home(talk, cast)
        refs = _merged(refs, home_refs(talk, cast.home, coaches))
    return refs


def _home(talk: TalkWords, cast: Cast) -> tuple[Corner | None, bool]:
    given = frozenset(given_and_surname(cast.person(corner).name)[0] for corner in CORNERS) - {""}
    return find_home(talk, _named(talk, cast), given)


# One transcript is asked for its cast, then for its references, then who is introduced in it.
@lru_cache(maxsize=2)
def introduced(talk: TalkWords, words: CornerWords) -> Mapping[Corner, Introduction]:
    """Who is in which corner by what the talk says alone; ``words`` are those that mean a corner."""
    return find_people(talk, _colours(talk, words), words)


@lru_cache(maxsize=2)
def _colours(talk: TalkWords, words: CornerWords) -> tuple[CornerRef, ...]:
    return tuple(colour_refs(talk, words))


def _named(talk: TalkWords, cast: Cast) -> tuple[CornerRef, ...]:
    return _named_of(talk, cast.red, cast.blue)


@lru_cache(maxsize=2)
def _named_of(talk: TalkWords, red: Person, blue: Person) -> tuple[CornerRef, ...]:
    return tuple(to_corner_ref(talk, ref) for ref in Names(talk, Cast(red, blue)).refs)


def _given(name: str | None, side: Side) -> Person:
    same = not (name and side.name) or likeness(name, side.name) >= 0.6
    name, team = name or side.name or "", side.team or ""
    aliases = tuple(side.aliases) if same else ()
    return Person(name, team, aliases, "given" if name else "heard", "given" if team else "heard")


def _swapped(names: Mapping[Corner, str | None], sides: Mapping[Corner, Side]) -> bool:
    """Whether the names given by the user are the bout file's with the corners the other way round."""

    def alike(across: bool) -> float:
        pairs = ((names[corner], sides[other(corner) if across else corner].name) for corner in CORNERS)
        return sum(likeness(name, written) for name, written in pairs if name and written)

    crossed = alike(across=True)
    return crossed > 0.8 and crossed > alike(across=False) + 0.4


def _with_worn(
    talk: TalkWords, words: CornerWords, known: Mapping[Corner, Person]
) -> tuple[CornerWords, Supposed]:
    """``words`` with the other colours that the two wear; "colours" where only their order says which is red's."""
    found, wearers = worn_in(talk, words)
    straight = any(_like(worn.name, known[corner].name) for corner, worn in wearers.items())
    across = any(_like(worn.name, known[other(corner)].name) for corner, worn in wearers.items())
    if across and not straight:
        found = exchanged(found, words)
    both = len({corner for _, corner in found.colours[len(words.colours) :]}) > 1
    return found, "colours" if both and straight == across else ""


def _in_order(talk: TalkWords, words: CornerWords) -> Mapping[Corner, Introduction]:
    """The two that the talk is about, the one named first in red, which is the usual order; nobody where colours stand for
    corners in the talk, and so may tell who is who in some way that is not understood."""
    if len(_colours(talk, words)) >= _COLOURS_TELL:
        return {}
    named = two_named(talk)
    return {} if named is None else dict(zip(CORNERS, named, strict=True))


def _opposed(talk: TalkWords, known: Mapping[Corner, Person], corner: Corner) -> Person:
    """Who is in a corner; where only the other one's name is known, the one who is set against that one."""
    person, rival = known[corner], known[other(corner)]
    if person.name or not rival.name:
        return person
    found = {corner: opponent_of(talk, rival.name)}
    return _filled(known, found)[corner]


def _filled(known: Mapping[Corner, Person], heard: Mapping[Corner, Introduction]) -> dict[Corner, Person]:
    """The gaps of what is given filled by what was heard, unless that is the other athlete's."""
    out: dict[Corner, Person] = {}
    for corner in CORNERS:
        person, rival = known[corner], known[other(corner)]
        found = _fitting(person, rival, heard.get(corner, _NOBODY), heard.get(other(corner), _NOBODY))
        team = person.team or found.team
        names = (person.name, *person.aliases, rival.name, *rival.aliases)
        taken = likeness(team, rival.team) > 0.9 or any(_names(team, name) for name in names)
        if taken and not person.team:
            team = ""
        out[corner] = replace(person, name=person.name or found.name, team=team)
    return out


def _fitting(person: Person, rival: Person, own: Introduction, across: Introduction) -> Introduction:
    """What was heard of a person: of the own corner, or of the other where the talk has them the other way round."""
    if not own.name or not (person.name or rival.name):
        return own
    for found in (own, across):
        fits = _like(found.name, person.name) if person.name else not _like(found.name, rival.name)
        if fits:
            return found
    return _NOBODY


def _names(team: str, name: str) -> bool:
    """Whether what was heard as a team is an athlete's name: every word of it sounds like one of the name."""
    words, others = name_words(team), name_words(name)
    return bool(words) and all(any(likeness(word, other) > 0.8 for other in others) for word in words)


def _like(a: str, b: str) -> bool:
    """Whether two names may be one athlete's: the surnames sound alike."""
    one, two = given_and_surname(a)[1], given_and_surname(b)[1]
    return bool(one and two) and likeness(one[-1], two[-1]) > 0.75


def _merged(first: Sequence[CornerRef], then: Sequence[CornerRef]) -> list[CornerRef]:
    """Both in order; where they overlap those of ``first`` stay."""
    taken = {i for ref in first for i in range(ref.start, ref.end)}
    kept = [ref for ref in then if not any(i in taken for i in range(ref.start, ref.end))]
    return sorted([*first, *kept], key=lambda ref: ref.start)
