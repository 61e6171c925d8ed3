"""What of a step of the search is worth building."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(slots=True)
class Cutoff:
    """From which log probability on a reading is worth building, as it would else be dropped at once.

    It rises with the best reading that the step has found so far. ``lost`` is the probability of what was not built, all
    of it together, over that of ``around`` (a log probability): as a plain number it can be summed cheaply.
    """

    around: float = 0.0
    least: float = -math.inf
    lost: float = 0.0
    #: The probability of ``least`` over that of ``around``.
    lightest: float = 0.0

    def rise(self, least: float) -> None:
        """Sets the cutoff, where it is not as high already."""
        if least > self.least:
            self.least = least
            self.lightest = math.exp(least - self.around)

    def passes(self, logp: float) -> bool:
        """Whether a reading of this log probability is worth building; counts it as lost where it is not."""
        if logp >= self.least:
            return True
        self.lost += math.exp(logp - self.around)
        return False

    def passes_any(self, logp: float, weight: float) -> bool:
        """The same of readings that have ``weight`` times the probability of ``logp`` together, all of them at once."""
        together = math.exp(logp - self.around) * weight
        if together >= self.lightest:
            return True
        self.lost += together
        return False

    def passes_one(self, logps: Sequence[float], weights: Sequence[float]) -> bool:
        """Whether one of several such sets of readings may be worth building, ``weights`` being the most that they can
        have; counts that as lost where none is."""
        most = [math.exp(logp - self.around) * weight for logp, weight in zip(logps, weights, strict=True)]
        if max(most) >= self.lightest:
            return True
        self.lost += sum(most)
        return False
