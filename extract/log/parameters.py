"""The model's parameters, read from their data file."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

#: Keeps a logarithm finite where a probability was fitted as 0 or 1.
_LEAST = 1e-6


def log(p: float) -> float:
    """Natural logarithm of a probability, kept away from minus infinity."""
    return math.log(max(p, _LEAST))


def genuine(base: float, factor: float) -> float:
    """A probability with its odds multiplied by ``factor``.

    >>> round(genuine(0.5, 1.0), 3), round(genuine(0.9, 0.1), 3)
    (0.5, 0.474)
    """
    base = min(max(base, _LEAST), 1 - _LEAST)
    odds = base / (1 - base) * factor
    return odds / (1 + odds)


@dataclass(frozen=True, slots=True, eq=False)
class Parameters:
    """The tables of ``parameters.toml``; ``get("score.grade", "strong")`` looks one number up."""

    tables: dict[str, Any]

    def table(self, path: str) -> dict[str, Any]:
        """The table at a dotted path."""
        node: Any = self.tables
        for key in path.split("."):
            node = node[key]
        return node  # type: ignore[no-any-return]

    def chance(self, path: str, signs: Iterable[str]) -> float:
        """A probability from signs: the logistic function of the table's ``bias`` and the weights of the signs. A
        sign that the table does not know weighs nothing."""
        table = self.table(path)
        total = float(table["bias"]) + sum(float(table.get(sign, 0.0)) for sign in signs)
        return 1.0 / (1.0 + math.exp(-total))

    def get(self, path: str, key: str) -> float:
        """One number. Raises KeyError where the file lacks it: a grade without a parameter is a fault of ours."""
        return float(self.table(path)[key])


def _shipped(name: str) -> Parameters:
    text = (files("extract.log") / f"{name}.toml").read_text(encoding="utf-8")
    return Parameters(tomllib.loads(text))


@lru_cache(maxsize=1)
def default_parameters() -> Parameters:
    """The fitted parameters that are shipped with the package."""
    return _shipped("parameters")


@lru_cache(maxsize=1)
def prior_parameters() -> Parameters:
    """What is usual, set by hand: where fitting starts from."""
    return _shipped("priors")
