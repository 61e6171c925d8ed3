"""How a bout ended, as far as it is known beforehand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from extract.rules.base import Ruleset
    from extract.transcript.bout_file import Side

_Corner = Literal["red", "blue"]
#: What is said of the result. They are the columns of a table, too.
RESULT_KEYS = ("winner", "by", "score", "periods")
#: The ways in which a bout may be won, in the record's words.
WAYS = ("points", "criteria", "superiority", "fall", "disqualification", "injury", "forfeit")
#: No side has more points in a bout.
_MOST = 99
_WRITTEN = re.compile(r"(\d{1,3})\s*[-:–]\s*(\d{1,3})", re.ASCII)
#: What stands between the scores of periods in one text.
_BETWEEN = re.compile(r"\s*[,;]\s*|\s+(?=\d+\s*[-:–])", re.ASCII)


@dataclass(frozen=True, slots=True)
class Known:
    """The end of a bout as it is known beforehand: who won, how (a word of the record's result), and the final score, red
    first; and the board at the end of each period. None stands for what is not known."""

    winner: _Corner | None = None
    by: str | None = None
    score: tuple[int, int] | None = None
    periods: tuple[tuple[int, int], ...] = ()

    def after(self, period: int) -> tuple[int, int] | None:
        """The board at the end of a period, counted from 1; None where it is not known."""
        return self.periods[period - 1] if 1 <= period <= len(self.periods) else None

    def turned(self) -> Known:
        """The same with the corners exchanged."""
        winner: _Corner | None = None if self.winner is None else "blue" if self.winner == "red" else "red"
        score = self.score and (self.score[1], self.score[0])
        return Known(winner, self.by, score, tuple((board[1], board[0]) for board in self.periods))


class BadResult(ValueError):
    """What is known of the end cannot be so: the key it is about, the problem, and the remedy."""

    def __init__(self, key: str, problem: str, remedy: str) -> None:
        super().__init__(problem)
        self.key, self.problem, self.remedy = key, problem, remedy


def known_result(
    winner: str | None,
    by: str | None,
    score: Any,
    red: Side,
    blue: Side,
    *,
    periods: Any = None,
    cells: bool = False,
) -> Known | None:
    """What is known of the end, from the values of a file; None where nothing is. ``cells`` says that they stand in the
    cells of a table, for the remedies. Raises BadResult."""
    if winner is None and by is None and score is None and periods is None:
        return None
    way = by.casefold() if by is not None else None
    if way is not None and way not in WAYS:
        raise BadResult("by", f"unknown way to win {by!r}", f"use one of {', '.join(WAYS)}")
    points = _points(score, cells=cells) if score is not None else None
    corner = _corner(winner, red, blue) if winner is not None else None
    boards = _boards(periods, points, cells=cells) if periods is not None else ()
    return _agreeing(Known(corner, way, points, boards))


def _pair(score: Any) -> tuple[int, int] | None:
    """A score as a file has it, red first; None where it is none."""
    found: Sequence[Any] = ()
    if isinstance(score, str):
        written = _WRITTEN.fullmatch(score.strip())
        found = (int(written[1]), int(written[2])) if written else ()
    elif isinstance(score, list):
        found = score
    if len(found) != 2 or not all(type(n) is int and 0 <= n <= _MOST for n in found):
        return None
    return found[0], found[1]


def _boards(periods: Any, score: tuple[int, int] | None, *, cells: bool) -> tuple[tuple[int, int], ...]:
    """The board at the end of each period. Raises BadResult where it falls or does not end at the final score."""
    each: Sequence[Any] = ()
    if isinstance(periods, str):
        each = _BETWEEN.split(periods.strip().rstrip(",;"))
    elif isinstance(periods, list):
        each = periods
    form = "3-1 9-6" if cells else "periods = [[3, 1], [9, 6]]"
    boards: list[tuple[int, int]] = []
    for one in each:
        board = _pair(one)
        if board is None:
            shown = f"{one!r} in periods" if isinstance(one, str) else f"number {len(boards) + 1} of periods"
            remedy = f"write them as {form}, red's points first, neither over {_MOST}"
            raise BadResult("periods", f"{shown} is no score", remedy)
        if boards and (board[0] < boards[-1][0] or board[1] < boards[-1][1]):
            problem = f"the score falls from {_text(boards[-1])} to {_text(board)} in periods"
            remedy = "write the score at the end of each period, with the points of those before"
            raise BadResult("periods", problem, remedy)
        boards.append(board)
    if not boards:
        remedy = f"write the score at the end of each period, as {form}, or take it out"
        raise BadResult("periods", "periods has no score", remedy)
    if score is not None and boards[-1] != score:
        problem = f"the last period ends at {_text(boards[-1])} and the bout at {_text(score)}"
        raise BadResult("periods", problem, "correct one of them: the last period ends with the final score")
    return tuple(boards)


def _text(score: tuple[int, int]) -> str:
    return f"{score[0]}-{score[1]}"


def _points(score: Any, *, cells: bool) -> tuple[int, int]:
    found = _pair(score)
    if found is None:
        form = "9-6" if cells else "score = [9, 6]"
        problem = (
            f"score {score!r} is no final score" if isinstance(score, str) else "score is no final score"
        )
        raise BadResult("score", problem, f"write it as {form}, red's points first, neither over {_MOST}")
    return found


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


def under_rules(known: Known, rules: Ruleset) -> Known:
    """The same under the rules of the bout: where no score is given, the board at the end of its last period is the final
    score, if nothing can come after it. Raises BadResult for more periods than the style has."""
    regular, extra = len(rules.period_seconds), len(rules.extra_period_seconds)
    given = len(known.periods)
    if given > regular + extra:
        problem = f"{given} periods in periods, and a bout of {rules.name} has {regular + extra} at most"
        raise BadResult("periods", problem, "take out those that there were not, or correct the rules")
    # A level bout may go on, and the point for riding time is given after the whistle.
    if known.score is not None or given != regular or rules.riding_time_seconds is not None:
        return known
    red, blue = known.periods[-1]
    if red == blue and extra:
        return known
    return _agreeing(replace(known, score=(red, blue)))


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
    return replace(known, winner=leader)
