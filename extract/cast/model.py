"""Who is in which corner, and a place in the talk that refers to one of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from extract.rules.base import Corner

Origin = Literal["given", "heard"]
How = Literal["colour", "name", "team", "nickname", "pronoun", "home", "role"]
About = Literal["athlete", "bench", "possessive"]
#: What alone says which of the two is red: the ``order`` in which they are named, or that in which the ``colours`` are that
#: they wear instead of red and blue; empty where the talk or somebody says it.
Supposed = Literal["", "order", "colours"]


@dataclass(frozen=True, slots=True)
class Person:
    """One athlete. ``name`` and ``team`` are empty when unknown; ``aliases`` are further names in use.

    ``name_from`` and ``team_from`` tell whether the bout file or the user gave them, or the talk.
    """

    name: str = ""
    team: str = ""
    aliases: tuple[str, ...] = ()
    name_from: Origin = "heard"
    team_from: Origin = "heard"


@dataclass(frozen=True, slots=True)
class CornerWords:
    """The words that mean a corner: ``colours``, wherever they are no colour of some thing, and ``sides``, only after a
    word that makes them one ("touch left", "from the right"); ``lamps`` are things whose colour means a corner."""

    colours: tuple[tuple[str, Corner], ...] = (("red", "red"), ("blue", "blue"))
    sides: tuple[tuple[str, Corner], ...] = ()
    lamps: tuple[str, ...] = ()

    def worn(self, red: str | None, blue: str | None) -> CornerWords:
        """The same with the colours that the two are said to wear, which go before the others."""
        given: dict[str, Corner] = {}
        if red:
            given[red.casefold()] = "red"
        if blue:
            given[blue.casefold()] = "blue"
        return replace(self, colours=tuple({**dict(self.colours), **given}.items()))


#: Red and blue alone.
PLAIN_WORDS = CornerWords()


@dataclass(frozen=True, slots=True)
class Cast:
    """The two athletes of a bout. ``home`` is the side that "us" and "our" mean, where a coach's microphone
    or a partisan commentator speaks, or None; ``home_open`` where the talk takes sides, but does not say whose.
    ``words`` are the words that mean a corner: colours, and sides such as "left". ``supposed`` is why the corners are only
    supposed, if they are."""

    red: Person
    blue: Person
    home: Corner | None = None
    home_open: bool = False
    words: CornerWords = PLAIN_WORDS
    supposed: Supposed = ""

    def person(self, corner: Corner) -> Person:
        """Who stands in ``corner``.

        >>> Cast(Person("Ada Vell"), Person("Ida Holt")).person("blue").name
        'Ida Holt'
        """
        return self.red if corner == "red" else self.blue


@dataclass(frozen=True, slots=True)
class CornerRef:
    """A place where the talk refers to a corner.

    ``start`` and ``end`` are positions among the words, ``end`` exclusive. ``how`` is what refers: a colour,
    a name, a team, a nickname, a pronoun, a home word such as "ours", or a role such as "the champion".
    ``confidence`` (0 to 1) is the belief that this corner is meant. ``about`` is what is spoken of: the
    athlete, the people around the athlete (coach, bench, supporters), or something of the athlete's.
    """

    start: int
    end: int
    corner: Corner
    how: How
    confidence: float
    about: About = "athlete"


@dataclass(frozen=True, slots=True)
class NameRun:
    """The words ``start`` to ``end`` (exclusive), taken for the name of a person or of a team."""

    kind: Literal["person", "team"]
    start: int
    end: int
