"""The first of very many rows, with those of different recordings before copies of one."""

from __future__ import annotations

import heapq
from collections.abc import Hashable, Iterable
from typing import Any, Generic, TypeVar

_Row = TypeVar("_Row")


class Foremost(Generic[_Row]):
    """The ``top`` greatest rows, as they are added. Of rows with the same mark only the greatest counts, as long as there
    are enough others. It holds no more than twice ``top`` rows.

    >>> foremost = Foremost(3)
    >>> foremost.add([((9,), "a"), ((9,), "a"), ((5,), "b")])
    >>> foremost.add([((7,), "c"), ((8,), "b")])
    >>> foremost.rows()
    [(9,), (8,), (7,)]
    """

    def __init__(self, top: int) -> None:
        self._top = top
        self._best: list[tuple[Any, Hashable]] = []
        self._copies: list[tuple[Any, Hashable]] = []

    def add(self, rows: Iterable[tuple[_Row, Hashable]]) -> None:
        """Add rows, each with the mark of what it is of."""
        best: dict[Hashable, tuple[Any, Hashable]] = {}
        copies = self._copies
        for row in sorted([*self._best, *rows], key=lambda pair: pair[0], reverse=True):
            if best.setdefault(row[1], row) is not row:
                copies.append(row)
        self._best = list(best.values())[: self._top]
        self._copies = heapq.nlargest(self._top, copies, key=lambda pair: pair[0])

    def rows(self) -> list[_Row]:
        """The first rows: those of different marks, then copies if there are too few."""
        return [row for row, _ in [*self._best, *self._copies][: self._top]]
