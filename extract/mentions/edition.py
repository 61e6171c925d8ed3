"""Which edition of the rules the points that are called belong to: a takedown for three is none of an old one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from extract.mentions.model import CallMention, Mention
from extract.rules import Ruleset, edition_names, get_ruleset

#: So many calls must speak for another edition.
_ENOUGH = 2


@dataclass(frozen=True, slots=True)
class Misfit:
    """Calls whose points the edition in use does not have: the positions of the mentions, and the latest edition that has
    the most of them."""

    calls: tuple[int, ...]
    better: str


def misfit(mentions: Iterable[Mention], rules: Ruleset) -> Misfit | None:
    """The calls that do not fit the edition of ``rules``, if they are several and another edition fits better by as
    many."""
    told = [
        (index, m.kinds[0], m.points)
        for index, m in enumerate(mentions)
        if isinstance(m, CallMention)
        and m.stance == "asserted"
        and m.grade == "points and kind"
        and m.points is not None
        and len(m.kinds) == 1
    ]
    strange = [(index, kind, points) for index, kind, points in told if points not in rules.points_of(kind)]
    if len(strange) < _ENOUGH:
        return None
    best, fewest = rules.edition, len(strange)
    for name in edition_names(rules.name):
        other = get_ruleset(rules.name, name)
        left = sum(points not in other.points_of(kind) for _, kind, points in told)
        if left < fewest or (left == fewest and best != rules.edition):
            best, fewest = name, left
    if len(strange) - fewest < _ENOUGH:
        return None
    fits = get_ruleset(rules.name, best)
    return Misfit(tuple(i for i, kind, points in strange if points in fits.points_of(kind)), best)
