"""The kinds of event there are, and what each does, read from ``kinds.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType
from typing import Literal


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of event does; the fields are explained at the head of ``kinds.toml``."""

    name: str
    does: Literal["action", "award", "penalty", "warning", "end", "mark", "lot"]
    counts: str | None = None
    stops: bool = False
    by_name: bool = False
    with_points: str | None = None
    told_like: str | None = None

    @property
    def told_as(self) -> str:
        """The kind in whose words it is told."""
        return self.told_like or self.name


def _load() -> Mapping[str, Kind]:
    text = (resources.files(__package__) / "kinds.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: Kind(name, **table) for name, table in tomllib.loads(text).items()})


#: Every kind by its name.
KINDS = _load()


def kinds_that(*does: str) -> frozenset[str]:
    """The kinds that do one of these.

    >>> sorted(kinds_that("end"))
    ['disqualification', 'fall', 'forfeit', 'injury']
    """
    return frozenset(kind.name for kind in KINDS.values() if kind.does in does)
