"""The model's parameters, read from their data file."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from extract.errors import InputError
from extract.log.ranges import ranges_of
from extract.transcript.decode import read_bytes
from extract.transcript.toml_lines import line_of_key

#: Largest file of parameters that is read, bytes; the shipped one has six thousand.
_LIMIT = 1024 * 1024
#: Keeps a logarithm finite where a probability was fitted as 0 or 1.
LEAST = 1e-6


def log_p(p: float) -> float:
    """Natural logarithm of a probability, kept away from minus infinity."""
    return math.log(max(p, LEAST))


def logistic(x: float) -> float:
    """The logistic function of log odds.

    >>> logistic(0.0)
    0.5
    """
    return 1.0 / (1.0 + math.exp(-min(max(x, -50.0), 50.0)))


def genuine(base: float, factor: float) -> float:
    """A probability with its odds multiplied by ``factor``.

    >>> round(genuine(0.5, 1.0), 3), round(genuine(0.9, 0.1), 3)
    (0.5, 0.474)
    """
    base = min(max(base, LEAST), 1 - LEAST)
    odds = base / (1 - base) * factor
    return odds / (1 + odds)


@dataclass(frozen=True, slots=True, eq=False)
class Parameters:
    """The tables of ``parameters.toml``; ``get("score.grade", "strong")`` looks one number up."""

    tables: dict[str, Any]
    #: Tables that were asked for, by their path.
    _found: dict[str, dict[str, Any]] = field(default_factory=dict, init=False, repr=False)

    @property
    def fitted_on(self) -> tuple[str, ...]:
        """The ids of the bouts that the numbers were fitted on; none where the file does not say."""
        ids = self.tables.get("provenance", {}).get("bouts", ())
        return tuple(map(str, ids)) if isinstance(ids, list) else ()

    def table(self, path: str) -> dict[str, Any]:
        """The table at a dotted path."""
        found = self._found.get(path)
        if found is None:
            found = self.tables
            for key in path.split("."):
                found = found[key]
            self._found[path] = found
        return found

    def chance(self, path: str, signs: Iterable[str]) -> float:
        """A probability from signs: the logistic function of the table's ``bias`` and the weights of the signs. A
        sign that the table does not know weighs nothing."""
        table = self.table(path)
        total = float(table["bias"]) + sum(float(table.get(sign, 0.0)) for sign in signs)
        return logistic(total)

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


def read_parameters(path: str | Path) -> Parameters:
    """The parameters in a file as ``saidscore fit`` writes it.

    It must have every table and number that the shipped file has, each in its range; of a table of signs the ``bias``
    will do, as a sign that it lacks weighs nothing. Raises InputError that names what is missing, is no number or is out
    of its range.
    """
    remedy = "give a file that saidscore fit wrote"
    try:
        text = read_bytes(path, _LIMIT, remedy).decode("utf-8")
        tables = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(path, f"is not TOML ({error})", remedy) from None
    for problem in _lacking(default_parameters().tables, tables, ()):
        raise InputError(path, problem, remedy)
    for place, problem in _out_of_range(default_parameters().tables, tables, ()):
        line = line_of_key(text.splitlines(), place[-1], ".".join(place[:-1]) or None)
        raise InputError(path, f"{'.'.join(place)!r} {problem}", "give a number in that range", line)
    return Parameters(tables)


def _out_of_range(
    known: dict[str, Any], tables: dict[str, Any], place: tuple[str, ...]
) -> Iterator[tuple[tuple[str, ...], str]]:
    """The places of the numbers that cannot be, with what is wrong with each. A known table may have more numbers than the
    shipped one, such as the shares of other kinds; other tables are nobody's."""
    for key, value in tables.items():
        where, model = (*place, key), known.get(key)
        if isinstance(model, dict):
            if where != ("provenance",):
                yield from _out_of_range(model, value, where)
        elif place:
            numbers = value if isinstance(value, list) and value else [value]
            if not all(map(_is_number, numbers)):
                yield where, "is no number"
            elif problem := next(ranges_of(".".join(where))).problem(numbers):
                yield where, problem


def _lacking(wanted: dict[str, Any], found: dict[str, Any], place: tuple[str, ...]) -> Iterator[str]:
    """What ``found`` lacks of the tables and numbers in ``wanted``, and numbers of its own that are none."""
    of_signs = place[-1:] == ("sign",)
    for key in sorted(wanted.keys() | found.keys()) if of_signs else wanted:
        # Where the numbers come from does not matter here.
        if not place and key == "provenance":
            continue
        where, model, value = ".".join((*place, key)), wanted.get(key, 0.0), found.get(key)
        if key not in found:
            if not of_signs or key == "bias":
                yield f"the {'table' if isinstance(model, dict) else 'number'} {where!r} is missing"
        elif isinstance(model, dict):
            if not isinstance(value, dict):
                yield f"{where!r} is no table"
            else:
                yield from _lacking(model, value, (*place, key))
        elif isinstance(model, list):
            if not (isinstance(value, list) and len(value) == len(model) and all(map(_is_number, value))):
                yield f"{where!r} is no list of {len(model)} numbers"
        elif not _is_number(value):
            yield f"{where!r} is no number"


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)
