"""What the numbers of a file of parameters may be, as ``ranges.toml`` has it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import lru_cache
from importlib.resources import files
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Range:
    """What the numbers at some places may be, ends included: ``what`` says what they stand for, ``whole`` that they are
    whole numbers, ``rising`` that each number of a list is greater than the one before."""

    what: str
    places: tuple[str, ...]
    least: float
    most: float
    whole: bool = False
    rising: bool = False

    def problem(self, values: Sequence[float]) -> str | None:
        """What is wrong with the numbers at a place, if anything: "is 1.5; a share is from 0 to 1"."""
        sort = " and whole" if self.whole else ""
        for value in values:
            if not self.least <= value <= self.most or (self.whole and value != int(value)):
                return f"is {value:.6g}: {self.what} is from {self.least:g} to {self.most:g}{sort}"
        if self.rising and any(a >= b for a, b in pairwise(values)):
            return "does not rise from number to number"
        return None


@lru_cache(maxsize=1)
def _ranges() -> tuple[Range, ...]:
    text = (files("extract.log") / "ranges.toml").read_text(encoding="utf-8")
    return tuple(
        Range(**{**table, "places": tuple(table["places"])}) for table in tomllib.loads(text)["range"]
    )


def ranges_of(place: str) -> Iterator[Range]:
    """The ranges that name a place, as ``score.tie.near``; the first one holds.

    >>> next(ranges_of("score.tie.near")).most
    1.0
    """
    return (one for one in _ranges() if any(fnmatchcase(place, pattern) for pattern in one.places))
