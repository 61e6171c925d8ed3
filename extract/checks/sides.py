"""Who is who, in as few words as a sentence or a caption has room for, and a score in words for a reader."""

from __future__ import annotations

from dataclasses import dataclass

from extract.checks.words import Score, kind_text, score_text
from extract.rules.base import Corner

#: Ways of winning that the score does not bring about.
_WHATEVER_THE_SCORE = ("by fall", "by injury", "by disqualification", "by forfeit")


@dataclass(frozen=True, slots=True)
class Sides:
    """Short names of the two sides: the surname, or the corner if no name is known."""

    red: str
    blue: str

    def name(self, corner: Corner) -> str:
        """The short name of a side."""
        return self.red if corner == "red" else self.blue

    def named(self, value: str) -> str:
        """The short name of the corner that a word names; any other word as it is.

        >>> sides = Sides("Varnholt", "Brackett")
        >>> sides.named("blue"), sides.named("fall")
        ('Brackett', 'fall')
        """
        return self.red if value == "red" else self.blue if value == "blue" else value

    def whose(self, corner: Corner) -> str:
        """The short name in the possessive.

        >>> Sides("Varnholt", "Marsters").whose("red"), Sides("Varnholt", "Marsters").whose("blue")
        ("Varnholt's", "Marsters'")
        """
        name = self.name(corner)
        return f"{name}'" if name.endswith("s") else f"{name}'s"


#: The sides by their corners, where no name is at hand.
CORNERS_ONLY = Sides("red", "blue")


def surnames(red: str | None, blue: str | None) -> Sides:
    """The sides by their surnames. If both are the same, by their whole names.

    >>> surnames("Ilse Varnholt", None)
    Sides(red='Varnholt', blue='blue')
    >>> surnames("Mira Oster", "Lena Oster").blue
    'Lena Oster'
    """
    whole = [" ".join((name or "").split()) for name in (red, blue)]
    short = [surname(name) for name in whole]
    if short[0].casefold() == short[1].casefold():
        short = whole
    return Sides(short[0] or "red", short[1] or "blue")


def surname(name: str) -> str:
    """All words after the first one, or what stands before a comma.

    >>> surname("Anna van der Molen"), surname("Oster-Vale, Mira"), surname("Tilly")
    ('van der Molen', 'Oster-Vale', 'Tilly')
    """
    if "," in name:
        return name.partition(",")[0].strip() or name
    return name.split(maxsplit=1)[-1] if name else ""


def leading(sides: Sides, score: Score) -> str:
    """A score from the side of who leads, as it is said.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> leading(sides, (2, 5)), leading(sides, (3, 3))
    ('5-2 Brackett', '3-3')
    """
    if score[0] == score[1]:
        return score_text(score)
    return f"{max(score)}-{min(score)} {sides.name('red' if score[0] > score[1] else 'blue')}"


def lead_text(sides: Sides, leader: Corner | None, margin: int | None) -> str:
    """A lead without a score: who is ahead and by how many points, as far as it is known.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> lead_text(sides, "blue", 2), lead_text(sides, None, 0), lead_text(sides, "red", None)
    ('Brackett ahead by 2', 'level', 'Varnholt ahead')
    """
    if margin == 0:
        return "level"
    return f"{sides.name(leader) if leader else 'one side'} ahead" + (
        "" if margin is None else f" by {margin}"
    )


def points_text(sides: Sides, kind: str, corner: Corner | None, points: int) -> str:
    """Points of one side, with what they were given for.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> points_text(sides, "step_out", "blue", 1), points_text(sides, "fall", "red", 0), points_text(sides, "fall", None, 0)
    ("Brackett's step-out (1)", "Varnholt's fall", 'a fall')
    """
    what = kind_text(kind) + (f" ({points})" if points else "")
    if corner is None:
        return f"{'an' if what[0] in 'aeiou' else 'a'} {what}"
    return f"{sides.whose(corner)} {what}"


def entry_text(sides: Sides, kind: str, corner: Corner | None, against: Corner | None, points: int) -> str:
    """An entry of the log: points of one side, or a warning against one.

    >>> entry_text(Sides("Varnholt", "Brackett"), "stalling_warning", None, "red", 0)
    'the stalling warning against Varnholt'
    """
    if against is not None and not points:
        return f"the {kind_text(kind)} against {sides.name(against)}"
    return points_text(sides, kind, corner, points)


def winning_text(sides: Sides, winner: Corner | None, score: Score, how: str) -> str:
    """How a bout ends, with the score from the winner's side.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> winning_text(sides, "blue", (2, 5), "by points"), winning_text(sides, "red", (2, 5), "by fall")
    ('Brackett wins 5-2 by points', 'Varnholt wins by fall, 2-5')
    >>> winning_text(sides, None, (0, 2), "by fall")
    '2-0 Brackett, won by fall, winner not stated'
    """
    if winner is None:
        return f"{leading(sides, score)}, " + (f"won {how}, winner not stated" if how else "winner not known")
    numbers = score_text(score if winner == "red" else score[::-1])
    if how.startswith(_WHATEVER_THE_SCORE):
        return f"{sides.name(winner)} wins {how}, {numbers}"
    return f"{sides.name(winner)} wins {numbers} {how}".rstrip()
