"""How a bout ended, as far as it is known beforehand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from extract.transcript.bout_file import Side

_Corner = Literal["red", "blue"]
#: What is said of the result. They are the columns of a table, too.
RESULT_KEYS = ("winner", "by", "score")
#: The ways in which a bout may be won, in the record's words.
WAYS = ("points", "criteria", "superiority", "fall", "disqualification", "injury", "forfeit")
#: No side has more points in a bout.
_MOST = 99
_WRITTEN = re.compile(r"(\d{1,3})\s*[-:–]\s*(\d{1,3})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Known:
    """The end of a bout as it is known beforehand: who won, how (a word of the record's result), and the final score, red
    first. None stands for what is not known."""

    winner: _Corner | None = None
    by: str | None = None
    score: tuple[int, int] | None = None

    def turned(self) -> Known:
        """The same with the corners exchanged."""
        winner: _Corner | None = None if self.winner is None else "blue" if self.winner == "red" else "red"
        return Known(winner, self.by, self.score and (self.score[1], self.score[0]))


class BadResult(ValueError):
    """What is known of the end cannot be so: the key it is about, the problem, and the remedy."""

    def __init__(self, key: str, problem: str, remedy: str) -> None:
        super().__init__(problem)
        self.key, self.problem, self.remedy = key, problem, remedy


def known_result(
    winner: str | None, by: str | None, score: Any, red: Side, blue: Side, *, cells: bool = False
) -> Known | None:
    """What is known of the end, from the values of a file; None where nothing is. ``cells`` says that they stand in the
    cells of a table, for the remedies. Raises BadResult."""
    if winner is None and by is None and score is None:
        return None
    way = by.casefold() if by is not None else None
    if way is not None and way not in WAYS:
        raise BadResult("by", f"unknown way to win {by!r}", f"use one of {', '.join(WAYS)}")
    points = _points(score, cells=cells) if score is not None else None
    corner = _corner(winner, red, blue) if winner is not None else None
    return _agreeing(Known(corner, way, points))


def _points(score: Any, *, cells: bool) -> tuple[int, int]:
    found: Sequence[Any] = ()
    if isinstance(score, str):
        written = _WRITTEN.fullmatch(score.strip())
        found = (int(written[1]), int(written[2])) if written else ()
    elif isinstance(score, list):
        found = score
    if len(found) != 2 or not all(type(n) is int and 0 <= n <= _MOST for n in found):
        form = "9-6" if cells else "score = [9, 6]"
        problem = (
            f"score {score!r} is no final score" if isinstance(score, str) else "score is no final score"
        )
        raise BadResult("score", problem, f"write it as {form}, red's points first, neither over {_MOST}")
    return found[0], found[1]


def _corner(winner: str, red: Side, blue: Side) -> _Corner:
    said = _plain(winner)
    if said in ("red", "blue"):
        return "red" if said == "red" else "blue"
    of_red, of_blue = _means(said, red), _means(said, blue)
    if of_red == of_blue:
        which = "both sides" if of_red else "neither side"
        problem = f"the winner {winner!r} is the name of {which}"
        raise BadResult("winner", problem, "write red or blue, or the name as that side has it")
    return "red" if of_red else "blue"


def _means(said: str, side: Side) -> bool:
    """Whether words are a name of one side: the whole of it, a surname, or an alias."""
    words = _plain(side.name or "").split()
    names = {" ".join(words[k:]) for k in range(len(words))}
    return said in names | set(map(_plain, side.aliases))


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def _agreeing(known: Known) -> Known:
    """The same with the winner that points tell. Raises BadResult where the parts cannot all be so."""
    if known.score is None or known.by not in ("points", "superiority"):
        return known
    red, blue = known.score
    if red == blue:
        problem = f"nobody wins by {known.by} at {red}-{blue}"
        raise BadResult("score", problem, "correct the score, red's points first, or say how it was won")
    leader: _Corner = "red" if red > blue else "blue"
    if known.winner not in (None, leader):
        problem = f"{known.winner} does not win by {known.by} at {red}-{blue}"
        raise BadResult("score", problem, "write red's points first, also where blue won")
    return Known(leader, known.by, known.score)
