"""Names and scores as an export writes them."""

from __future__ import annotations

from extract.checks.sides import Sides
from extract.record.model import Pair, SideInfo
from extract.record.plain import isolated, printable
from extract.rules.base import Corner


def full_name(info: SideInfo, corner: Corner) -> str:
    """The name with corner and team. A name that was only heard says so.

    >>> full_name(SideInfo("Ilse Varnholt", "heard", "Pellam", "given"), "red")
    'Ilse Varnholt (red, Pellam, name as heard)'
    """
    facts: list[str] = [corner]
    if info.team:
        facts.append(isolated(printable(info.team)))
    if info.name_from == "heard":
        facts.append("name as heard")
    return f"{isolated(printable(info.name)) if info.name else 'no name'} ({', '.join(facts)})"


def score_line(sides: Sides, score: Pair) -> str:
    """A score between the two names.

    >>> score_line(Sides("Varnholt", "Brackett"), (2, 1))
    'Varnholt 2 - 1 Brackett'
    """
    return f"{sides.red} {score[0]} - {score[1]} {sides.blue}"
