"""The board over time: what it shows at a moment."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple, Protocol

Score = tuple[int, int]


class Shown(Protocol):
    """Something that a board shows from ``t`` on."""

    @property
    def t(self) -> float: ...
    @property
    def red(self) -> int: ...
    @property
    def blue(self) -> int: ...


class BoardChange(NamedTuple):
    """The score ``(red, blue)`` from ``t`` on, seconds of recording."""

    t: float
    score: Score

    @property
    def red(self) -> int:
        return self.score[0]

    @property
    def blue(self) -> int:
        return self.score[1]


def board_at(board: Sequence[Shown], t: float) -> Score:
    """What a board, its changes in order of time, shows at a moment: 0-0 before its first.

    >>> board = [BoardChange(0.0, (0, 0)), BoardChange(12.0, (2, 0))]
    >>> board_at(board, 11.9), board_at(board, 12.0)
    ((0, 0), (2, 0))
    """
    at = bisect_right(board, t, key=lambda change: change.t)
    return (board[at - 1].red, board[at - 1].blue) if at else (0, 0)
