"""When something that does not fit is worth a flag. (A first form: as soon as it is sure enough.)"""

from __future__ import annotations

from typing import NamedTuple

#: So sure it is, where no other measure is given.
_AT = 0.6


class Seen(NamedTuple):
    """Something said that does not fit, as it stands at ``now``: the probability that it is wrong, the kind of what was
    said and of its slip, whether the score then is sure, and when it was said."""

    now: float
    wrong: float
    kind: str
    slip: str
    score_sure: float
    said_at: float


class Waiting:
    """What is known so far of one thing said that may be worth a flag."""

    def __init__(self, at: float | None = None) -> None:
        self._at = _AT if at is None else at
        self.history: list[Seen] = []

    def is_worth(self, seen: Seen) -> bool:
        """Whether it is worth a flag now."""
        self.history.append(seen)
        return seen.wrong >= self._at
