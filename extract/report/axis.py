"""The marks of the axes: times or lines below, points at the left. There are few, whatever the numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator

from extract.checks.words import clock_text, moment_text
from extract.record.model import Record


def tick_step(seconds: float, most: int) -> int:
    """How many seconds lie between two of no more than ``most`` marks of a time axis of this length."""
    return next(
        (s for s in (30, 60, 120, 300, 600, 1800) if seconds / s <= most),
        3600 * _round_step(seconds / 3600, most),
    )


def time_marks(record: Record, seconds: float, most: int) -> Iterator[tuple[float, str]]:
    """The marks of the axis of times, no more than about ``most``: full minutes and the like, or some lines of an
    account without times."""
    begins, order = record.source.begins, record.source.order
    if order is None:
        yield from ((t, clock_text(t)) for t in _ticks(begins, seconds, most))
        return
    step = _round_step(seconds / order.step_s, most) * order.step_s
    count = int(seconds / step) + 1
    yield from ((begins + k * step, moment_text(begins + k * step, order)) for k in range(count))


def _ticks(begins: float, seconds: float, most: int) -> Iterator[float]:
    step = tick_step(seconds, most)
    t = math.ceil(begins / step) * step
    while t <= begins + seconds:
        yield t
        t += step


def levels(most: int) -> Iterator[int]:
    """The marks of the axis of points, from 0 to no more than ``most``."""
    yield from range(0, most + 1, _round_step(most, 6))


def _round_step(length: float, marks: int) -> int:
    """The least of 1, 2, 5, 10, 20, 50 and so on that divides a length into no more than this many steps."""
    tens = 1
    while True:
        for step in (tens, 2 * tens, 5 * tens):
            if length / step <= marks:
                return step
        tens *= 10
