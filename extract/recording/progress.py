"""What the numbers said so far in a bout allow those that follow to be."""

from __future__ import annotations

import math

from extract.log.parameters import Parameters
from extract.recording.signs import CueSigns


class BoutProgress:
    """Keeps account of scores, clock and periods from the beginning of a bout at ``begins`` on, seconds."""

    __slots__ = ("_begins", "_clock", "_rises", "_score", "_weights")

    def __init__(self, begins: float, parameters: Parameters) -> None:
        self._weights = parameters.table("inside")
        self._begins = begins
        self._score: int | None = None
        self._clock: int | None = None
        self._rises = 0

    def take(self, cue: CueSigns, t: float) -> float:
        """The log weight of what is said in the next cue, at ``t``, as talk of the same bout."""
        if not (cue.scores or cue.clocks or "first" in cue.counts or "later" in cue.counts):
            return 0.0
        weights, total = self._weights, 0.0
        for high, low in cue.scores:
            points = high + low
            if self._score is None:
                total += float(weights["first_score"]) * points
            elif points == 0 and self._score > weights["slip"]:
                total += float(weights["back_to_level"])
            elif points < self._score - weights["slip"]:
                total += float(weights["score_falls"])
            self._score = points
        for seconds in cue.clocks:
            if self._clock is not None and seconds > self._clock + weights["rough_s"]:
                self._rises += 1
                total += float(
                    weights["clock_rises" if self._rises <= weights["rises"] else "clock_rises_again"]
                )
            self._clock = seconds
        if "later" in cue.counts and t - self._begins < weights["later_s"]:
            total += float(weights["later_first"])
        if "first" in cue.counts and t - self._begins > weights["first_s"]:
            total += float(weights["first_late"])
        return total


def length_weights(parameters: Parameters) -> list[float]:
    """The log weight of a bout by the seconds that its wrestling lasts, up to the longest."""
    table = parameters.table("length")
    median, spread, weight = math.log(table["median"]), float(table["spread"]), float(table["weight"])
    return [
        -weight * ((math.log(max(seconds, 1)) - median) / spread) ** 2 / 2
        for seconds in range(int(table["most"]) + 1)
    ]
