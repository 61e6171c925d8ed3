"""When something that does not fit is worth a flag. (A first form: as soon as it is sure enough.)"""

from __future__ import annotations

from typing import NamedTuple

#: So sure it is, where no other measure is given.
_AT = 0.6


class Seen(NamedTuple):
    """Something said that does not fit, as it stands at ``now``: its confidence, verdict and kind, and when it was said."""

    now: float
    confidence: float
    verdict: str
    kind: str
    said_at: float


class Waiting:
    """What is known so far of one thing said that may be worth a flag."""

    def __init__(self, at: float | None = None) -> None:
        self._at = _AT if at is None else at

    def is_worth(self, seen: Seen) -> bool:
        """Whether it is worth a flag now."""
        return seen.verdict == "wrong" and seen.confidence >= self._at

    def gone(self, now: float) -> None:
        """Note that it fits now."""
