"""Who is who, in as few words as a caption has room for, and a score in words for a reader."""

from __future__ import annotations

from dataclasses import dataclass

from extract.record.model import Pair, Record, SideInfo
from extract.record.plain import printable
from extract.rules.base import Corner

#: Right-to-left blocks of the Basic Multilingual Plane, and those of the plane above it (from memory).
_RIGHT_TO_LEFT = (
    ("\u0590", "\u08ff"),
    ("\ufb1d", "\ufdff"),
    ("\ufe70", "\ufeff"),
    ("\U00010800", "\U00010fff"),
)
#: FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE: text between them does not change the direction of text beside
#: it.
_ISOLATE = ("\u2068", "\u2069")


@dataclass(frozen=True, slots=True)
class Sides:
    """Short names of the two sides: the surname, or the corner if no name is known."""

    red: str
    blue: str

    def name(self, corner: Corner) -> str:
        return self.red if corner == "red" else self.blue


def short_sides(record: Record) -> Sides:
    """The surnames. If both are the same, the whole names."""
    red, blue = (printable(info.name or "") for info in (record.bout.red, record.bout.blue))
    short = _surname(red), _surname(blue)
    if short[0].casefold() == short[1].casefold():
        short = red, blue
    return Sides(isolated(short[0] or "red"), isolated(short[1] or "blue"))


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


def lead(sides: Sides, score: Pair) -> str:
    """A score from the side of who leads, as it is read out.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> lead(sides, (2, 5)), lead(sides, (3, 3)), lead(sides, (0, 0))
    ('5-2 to Brackett', '3-3, level', 'no score yet')
    """
    if score[0] == score[1]:
        return f"{score[0]}-{score[1]}, level" if score[0] else "no score yet"
    return f"{max(score)}-{min(score)} to {sides.name('red' if score[0] > score[1] else 'blue')}"


def _surname(name: str) -> str:
    """All words after the first one, or what stands before a comma.

    >>> _surname("Anna van der Molen"), _surname("Oster-Vale, Mira"), _surname("Tilly")
    ('van der Molen', 'Oster-Vale', 'Tilly')
    """
    if "," in name:
        return name.partition(",")[0].strip() or name
    return name.split(maxsplit=1)[-1] if name else ""


def isolated(words: str) -> str:
    """Words of right-to-left letters between isolates, so that the score beside them keeps its order (explicit
    directional isolates of Unicode Standard Annex 9, from memory)."""
    if any(low <= letter <= high for letter in words for low, high in _RIGHT_TO_LEFT):
        return words.join(_ISOLATE)
    return words
