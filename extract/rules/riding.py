"""Riding time (time advantage) of collegiate wrestling, reckoned from who was in control how long.

The clock of a side runs while it has control and the bout clock runs; what counts is the difference of the two, and
a point goes to the side that leads by the minimum or more as the wrestling ends (sources in
``editions/collegiate.toml``).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from extract.rules.base import Corner


class Hold(NamedTuple):
    """A stretch of control: whose, and for how many seconds of the bout clock."""

    corner: Corner
    seconds: float


def riding_balance(holds: Iterable[Hold]) -> float:
    """Red's seconds of control less blue's: positive is red's advantage.

    >>> riding_balance([Hold("red", 80), Hold("blue", 15), Hold("red", 5)])
    70
    """
    return sum(hold.seconds if hold.corner == "red" else -hold.seconds for hold in holds)


def riding_point(balance: float, minimum: float) -> Corner | None:
    """Whom the riding-time point goes to at a balance (red's seconds less blue's); None below the minimum.

    >>> riding_point(-60, minimum=60)
    'blue'
    >>> riding_point(59, minimum=60)
    """
    if abs(balance) < minimum:
        return None
    return "red" if balance > 0 else "blue"
