"""Times that are those of the bout clock. It counts down and starts again with each period."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from extract.transcript.names import listed, names

#: No period is longer, in seconds. A time above it is not of a bout clock.
_LONGEST = 300.0
#: The lengths that periods have, seconds: common practice in every style.
_LENGTHS = (30.0, 60.0, 120.0, 180.0)
#: How much of a recording is thought to lie between two periods, seconds: the rest of the olympic styles.
_REST = 30.0
#: Times count down if there are at least this many of them, and this many falls for each rise.
_LEAST, _FALLS = 3, 3

#: The notice for a file whose times are those of the bout clock.
NOTICE = (
    "the times are those of the bout clock: the times of the recording are made up from them, with periods of their "
    "usual length and rests between them"
)


@dataclass(frozen=True, slots=True)
class Countdown:
    """Times of the recording that were made up from those of a bout clock. ``times`` has one for each time that was
    read. ``starts`` has the start of each period. The period begins with the time at the same place in ``first``."""

    times: tuple[float, ...]
    starts: tuple[float, ...]
    first: tuple[int, ...]

    def period_of(self, place: int) -> int:
        """Which period, counted from 1, the time at a place is in."""
        return sum(first <= place for first in self.first)


def counted_down(shown: Sequence[float], breaks: frozenset[int] = frozenset()) -> Countdown | None:
    """The times of the recording if the times ``shown`` (seconds) fall in each period and rise only with a new one,
    else None. ``breaks`` are the places before which a period is headed. Without breaks any rise is a new period."""
    if len(shown) < _LEAST or max(shown) > _LONGEST:
        return None
    rises = {k for k, (a, b) in enumerate(pairwise(shown), 1) if b > a}
    falls = sum(b < a for a, b in pairwise(shown))
    if falls < _LEAST - 1 or falls < _FALLS * len(rises - breaks) or (breaks and rises - breaks):
        return None
    first = (0, *sorted(rises | {k for k in breaks if 0 < k < len(shown)}))
    times: list[float] = []
    starts: list[float] = []
    begins = 0.0
    for n, (low, high) in enumerate(zip(first, (*first[1:], len(shown)), strict=True)):
        # The notes of a first period may begin late in it, and no time comes before the recording's start.
        top = max(shown[low], _LENGTHS[-1]) if n == 0 else shown[low]
        length = next((known for known in _LENGTHS if known >= top), top)
        starts.append(begins)
        times += [round(begins + length - left, 3) for left in shown[low:high]]
        begins += length + _REST
    return Countdown(tuple(times), tuple(starts), first)


def period_number(cell: str) -> int | None:
    """The number of the period that a cell or a heading names. None if it gives no number.

    >>> period_number("P2"), period_number("3rd"), period_number("second"), period_number("OT")
    (2, 3, 2, None)
    """
    found = re.search("[1-7]", cell)
    if found is not None and not _overtime(cell):
        return int(found[0])
    words = re.findall("[a-z]+", cell.lower())
    return next((n for n, word in enumerate(listed("say", "ordinals"), 1) if word in words), None)


def _overtime(cell: str) -> bool:
    return cell.strip().lower() in names("headings", "overtime")
