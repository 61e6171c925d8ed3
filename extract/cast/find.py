"""Who is in red and who in blue, and every place where the talk refers to one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING
from typing import cast as cast_to

from extract.cast.colours import colour_refs
from extract.cast.home import find_home, home_refs, is_partisan, role_refs
from extract.cast.initials import initial_refs
from extract.cast.introductions import Heard, find_people, opponent_of, two_named
from extract.cast.model import PLAIN_WORDS, Cast, CornerRef, CornerWords, Person, Supposed
from extract.cast.name_forms import given_and_surname, name_words
from extract.cast.names import Names, to_corner_ref
from extract.cast.pronouns import pronoun_refs
from extract.cast.worn import exchanged, worn_in
from extract.lexicon import load_styles
from extract.rules.base import CORNERS, Corner, other
from extract.talk.soundalike import likeness
from extract.talk.words import Words

if TYPE_CHECKING:
    from extract.transcript.bout_file import BoutFile, Side

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


def corner_words(style: str) -> CornerWords:
    """The words that mean a corner in a style: red and blue, and those of its lexicon."""
    found = load_styles()[style]
    return CornerWords(
        cast_to("tuple[tuple[str, Corner], ...]", (*PLAIN_WORDS.colours, *found.colours)),
        cast_to("tuple[tuple[str, Corner], ...]", found.sides),
        found.lamps,
    )


def find_cast(
    talk: Words,
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
    sides: dict[Corner, Side | None] = {"red": None, "blue": None}
    if bout:
        sides = {"red": bout.red, "blue": bout.blue}
    names: dict[Corner, str | None] = {"red": red, "blue": blue}
    if bout and _swapped(names, sides):
        sides = {"red": sides["blue"], "blue": sides["red"]}
    words = words.worn(*(side.colour if side else None for side in sides.values()))
    known = {corner: _given(names[corner], sides[corner]) for corner in CORNERS}
    words, supposed = _with_worn(talk, words, known)
    if not all(person.name and person.team for person in known.values()):
        given = known
        known = _filled(given, introduced(talk, words))
        if not any(person.name for person in known.values()):
            known = _filled(given, _in_order(talk, words))
            supposed = "order" if known["red"].name else ""
        known = {corner: _opposed(talk, known, corner) for corner in CORNERS}
    cast = Cast(known["red"], known["blue"])
    first_names = frozenset(given_and_surname(person.name)[0] for person in known.values()) - {""}
    home, _ = find_home(talk, _named(talk, cast), first_names)
    return Cast(cast.red, cast.blue, home, home is None and is_partisan(talk), words, supposed)


def corner_refs(talk: Words, cast: Cast) -> list[CornerRef]:
    """Every place in ``talk`` that refers to a corner of ``cast``, in order and without overlap.

    A pronoun is a reference only where the transcript itself shows that each athlete takes another one; "we"
    and "you" only where ``cast.home`` is set.
    """
    refs = _merged(_named(talk, cast), _colours(talk, cast.words))
    refs = _merged(refs, initial_refs(talk, cast, refs))
    refs = _merged(refs, role_refs(talk, refs))
    refs = _merged(refs, pronoun_refs(talk, refs))
    if cast.home:
        given = frozenset(given_and_surname(cast.person(corner).name)[0] for corner in CORNERS) - {""}
        _, coaches = find_home(talk, _named(talk, cast), given)
        refs = _merged(refs, home_refs(talk, cast.home, coaches))
    return refs


# One transcript is asked for its cast, then for its references, then who is introduced in it.
@lru_cache(maxsize=2)
def introduced(talk: Words, words: CornerWords) -> Mapping[Corner, Heard]:
    """Who is in which corner by what the talk says alone; ``words`` are those that mean a corner."""
    return find_people(talk, _colours(talk, words), words)


@lru_cache(maxsize=2)
def _colours(talk: Words, words: CornerWords) -> tuple[CornerRef, ...]:
    return tuple(colour_refs(talk, words))


def _named(talk: Words, cast: Cast) -> tuple[CornerRef, ...]:
    return _named_of(talk, cast.red, cast.blue)


@lru_cache(maxsize=2)
def _named_of(talk: Words, red: Person, blue: Person) -> tuple[CornerRef, ...]:
    return tuple(to_corner_ref(talk, ref) for ref in Names(talk, Cast(red, blue)).refs)


def _given(name: str | None, side: Side | None) -> Person:
    written, team = (side.name or "", side.team or "") if side else ("", "")
    aliases = tuple(side.aliases or ()) if side else ()
    if name and written and likeness(name, written) < 0.6:
        aliases = ()
    name = name or written
    return Person(name, team, aliases, "given" if name else "heard", "given" if team else "heard")


def _swapped(names: dict[Corner, str | None], sides: dict[Corner, Side | None]) -> bool:
    """Whether the names given by the user are the bout file's with the corners the other way round."""
    same = crossed = 0.0
    for corner in CORNERS:
        for side_corner in CORNERS:
            name, side = names[corner], sides[side_corner]
            if name and side and side.name:
                score = likeness(name, side.name)
                if side_corner == corner:
                    same += score
                else:
                    crossed += score
    return crossed > 0.8 and crossed > same + 0.4


def _with_worn(
    talk: Words, words: CornerWords, known: Mapping[Corner, Person]
) -> tuple[CornerWords, Supposed]:
    """``words`` with the other colours that the two wear; "colours" where only their order says which is red's."""
    found, wearers = worn_in(talk, words)
    fits = {corner: wearers[corner].name for corner in CORNERS if corner in wearers}
    straight = any(_like(name, known[corner].name) for corner, name in fits.items())
    across = any(_like(name, known[other(corner)].name) for corner, name in fits.items())
    if across and not straight:
        found = exchanged(found, words)
    both = len({corner for _, corner in found.colours[len(words.colours) :]}) > 1
    return found, "colours" if both and straight == across else ""


def _in_order(talk: Words, words: CornerWords) -> Mapping[Corner, Heard]:
    """The two that the talk is about, the one named first in red, which is the usual order; nobody where colours stand for
    corners in the talk, and so may tell who is who in some way that is not understood."""
    if len(_colours(talk, words)) >= _COLOURS_TELL:
        return {}
    named = two_named(talk)
    return {} if named is None else dict(zip(CORNERS, named, strict=True))


def _opposed(talk: Words, known: Mapping[Corner, Person], corner: Corner) -> Person:
    """Who is in a corner; where only the other one's name is known, the one who is set against that one."""
    person, rival = known[corner], known[other(corner)]
    if person.name or not rival.name:
        return person
    found = {corner: opponent_of(talk, rival.name)}
    return _filled(known, found)[corner]


def _filled(known: Mapping[Corner, Person], heard: Mapping[Corner, Heard]) -> dict[Corner, Person]:
    """The gaps of what is given filled by what was heard, unless that is the other athlete's."""
    out: dict[Corner, Person] = {}
    for corner in CORNERS:
        person, found = known[corner], heard.get(corner, Heard())
        rival = known[other(corner)]
        if not person.name and rival.name and found.name and _like(found.name, rival.name):
            # The talk has the corners the other way round; take its other athlete.
            found = heard.get(other(corner), Heard())
            if _like(found.name, rival.name):
                found = Heard()
        if person.name and found.name and not _like(found.name, person.name):
            found = heard.get(other(corner), Heard())
            if not _like(found.name, person.name):
                found = Heard()
        team = person.team or found.team
        names = (person.name, *person.aliases, rival.name, *rival.aliases)
        if not person.team and (
            likeness(team, rival.team) > 0.9 or any(_names(team, name) for name in names)
        ):
            team = ""
        out[corner] = Person(
            person.name or found.name, team, person.aliases, person.name_from, person.team_from
        )
    return out


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
