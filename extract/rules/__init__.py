"""Rulesets: what may happen in a bout of each style, what it does, and when the bout is over."""

from __future__ import annotations

from datetime import date as Date
from functools import cache

from extract.rules.base import CORNERS, Corner, IllegalMove, Move, Outcome, Ruleset, State, other
from extract.rules.edition import UnknownRules, find_edition, load_editions, ruleset_named
from extract.rules.family import Family
from extract.rules.fencing import Foil
from extract.rules.folkstyle import Collegiate, Scholastic
from extract.rules.olympic import Freestyle, Greco

__all__ = [
    "CORNERS",
    "Corner",
    "IllegalMove",
    "Move",
    "Outcome",
    "Ruleset",
    "State",
    "UnknownRules",
    "edition_names",
    "get_ruleset",
    "other",
    "ruleset_kinds",
    "ruleset_named",
    "ruleset_names",
]

_STYLES: dict[str, type[Family]] = {
    "collegiate": Collegiate,
    "foil": Foil,
    "freestyle": Freestyle,
    "greco": Greco,
    "scholastic": Scholastic,
}


def ruleset_names() -> tuple[str, ...]:
    """The rulesets. ``ruleset_named`` says which of them people mean by another name.

    >>> ruleset_names()
    ('collegiate', 'foil', 'freestyle', 'greco', 'scholastic')
    """
    return tuple(_STYLES)


def edition_names(name: str) -> tuple[str, ...]:
    """The editions of a ruleset, the oldest first. Raises UnknownRules."""
    return tuple(edition.name for edition in load_editions()[find_edition(name).style])


@cache
def ruleset_kinds(name: str) -> frozenset[str]:
    """The kinds of event that some edition of a ruleset has. Raises UnknownRules."""
    return frozenset(kind for edition in edition_names(name) for kind in get_ruleset(name, edition).kinds())


def get_ruleset(
    name: str,
    edition: str | None = None,
    date: Date | str | None = None,
    age_group: str | None = None,
) -> Ruleset:
    """The ruleset of a style: in the edition named, else in that in force on ``date`` (ISO text will do),
    else in the latest; with the period lengths of ``age_group`` where it is given ("U15"). The same edition is always
    the same object, so its caches are shared. Raises UnknownRules.

    >>> get_ruleset("collegiate", date="2023-01-14").points_of("takedown")
    (2,)
    >>> get_ruleset("Women's freestyle", age_group="U17").period_seconds
    (120, 120)
    """
    found = find_edition(name, edition, date)
    return _cached(found.style, found.name, None if age_group is None else found.age_group(str(age_group)))


@cache
def _cached(style: str, edition: str, age_group: str | None) -> Family:
    return _STYLES[style](find_edition(style, edition), age_group)
