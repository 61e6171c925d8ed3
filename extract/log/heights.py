"""A row of values of which all from one place on can be raised at once, and the highest of a stretch be asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence


class Heights:
    """The row; each of its methods takes time with the logarithm of its length.

    It is a segment tree (Bentley, 1977): a node has by how much its stretch rises from before it to its end, and the
    highest value in it, counted from before it.
    """

    def __init__(self, values: Sequence[float]) -> None:
        self._size = size = 1 << max(len(values) - 1, 0).bit_length()
        self._rise = [0.0] * (2 * size)
        self._best = best = [-math.inf] * (2 * size)
        best[size : size + len(values)] = values
        for node in range(size - 1, 0, -1):
            best[node] = max(best[2 * node], best[2 * node + 1])

    def raise_from(self, at: int, by: float) -> None:
        """Adds ``by`` to all values from place ``at`` on."""
        node = at + self._size
        if node < len(self._rise):
            self._rise[node] += by
            self._best[node] += by
            self._mend(node)

    def put(self, at: int, value: float) -> None:
        """Sets what the value at a place would be without what it was raised by."""
        node = at + self._size
        self._best[node] = value + self._rise[node]
        self._mend(node)

    def _mend(self, node: int) -> None:
        rise, best = self._rise, self._best
        while node > 1:
            node >>= 1
            left = 2 * node
            rise[node] = rise[left] + rise[left + 1]
            first, second = best[left], rise[left] + best[left + 1]
            best[node] = first if first >= second else second

    def most(self, low: int, high: int) -> float:
        """The highest value at the places ``low`` to ``high`` (exclusive); minus infinity where there are none.

        >>> row = Heights([3.0, 1.0, 2.0])
        >>> row.raise_from(2, 1.5)
        >>> row.most(0, 3), row.most(1, 2), row.most(2, 2)
        (3.5, 1.0, -inf)
        """
        if low >= high:
            return -math.inf
        rise, best = self._rise, self._best
        a, b = low + self._size, high + self._size
        raised, node = 0.0, a
        while node > 1:
            if node & 1:
                raised += rise[node - 1]
            node >>= 1
        # The nodes of the stretch, those from its left end and those up to its right end.
        left, along, right = -math.inf, 0.0, -math.inf
        while a < b:
            if a & 1:
                left = max(left, along + best[a])
                along += rise[a]
                a += 1
            if b & 1:
                b -= 1
                right = max(best[b], rise[b] + right)
            a >>= 1
            b >>= 1
        return raised + max(left, along + right)
