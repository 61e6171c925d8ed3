"""Editions of the rules: values, ladders and dates, read from ``editions/*.toml``."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Any


class UnknownRules(ValueError):
    """No ruleset of that name, edition or date; the message names the known ones and the nearest."""


@dataclass(frozen=True, slots=True)
class Edition:
    """One style as its rules stood between two dates. Times in seconds; see the TOML files for the sources.

    ``calls_before_passivity_point`` is how many passivity warnings a side must have had before it can lose a
    point; ``activity_seconds`` is None where there is no activity clock, and ``activity_ended_by`` says whose
    score ends it (``either`` or ``passive``). ``passivity_points_limit`` is the most passivity points in a
    bout. ``stalling_ladder`` is what each stalling call on one side is worth; past its end is
    disqualification, as it is past ``penalty_limit`` penalties or at the ``caution_limit``-th caution.
    ``extra_periods`` are ``(kind, seconds)``. ``source`` names the published source of each value.
    """

    style: str
    family: str
    name: str
    valid_from: date
    period_seconds: tuple[int, ...]
    rest_seconds: int
    superiority_lead: int | None
    points: Mapping[str, tuple[int, ...]]
    source: Mapping[str, str]
    valid_to: date | None = None
    challenges: int = 0
    lost_challenge_points: int = 0
    caution_limit: int | None = None
    calls_before_passivity_point: int = 0
    passivity_points_limit: int | None = None
    activity_seconds: int | None = None
    activity_ended_by: str = "either"
    level_score_criteria: tuple[str, ...] = ()
    stalling_ladder: tuple[int, ...] = ()
    riding_time_seconds: int | None = None
    penalty_limit: int | None = None
    extra_periods: tuple[tuple[str, int], ...] = field(default=())


@lru_cache(maxsize=1)
def load_editions() -> Mapping[str, tuple[Edition, ...]]:
    """Every edition of every style, by style in alphabetical order, the oldest first."""
    folder = resources.files(__package__) / "editions"
    styles: dict[str, tuple[Edition, ...]] = {}
    for file in sorted(folder.iterdir(), key=lambda item: item.name):
        if file.name.endswith(".toml"):
            tables = tomllib.loads(file.read_text(encoding="utf-8"))
            styles[tables["style"]] = tuple(_editions(tables))
    return MappingProxyType(styles)


def _editions(tables: Mapping[str, Any]) -> Iterable[Edition]:
    known: dict[str, dict[str, Any]] = {}
    for table in tables["edition"]:
        merged: dict[str, Any] = {}
        if "inherits" in table:
            merged = {key: value for key, value in known[table["inherits"]].items() if key != "valid_to"}
        for key, value in table.items():
            if key in ("points", "source"):
                merged[key] = {**merged.get(key, {}), **value}
            elif key != "inherits":
                merged[key] = value
        known[table["name"]] = merged
        yield Edition(style=tables["style"], family=tables["family"], **_frozen(merged))


def _frozen(table: Mapping[str, Any]) -> dict[str, Any]:
    """The table with lists as tuples and tables as read-only mappings, so that an Edition cannot change."""

    def freeze(value: Any) -> Any:
        if isinstance(value, list):
            return tuple(freeze(item) for item in value)
        if isinstance(value, dict):
            return MappingProxyType({key: freeze(item) for key, item in value.items()})
        return value

    return {key: freeze(value) for key, value in table.items()}


def find_edition(style: str, name: str | None = None, day: date | str | None = None) -> Edition:
    """The edition called ``name``; without one, that in force on ``day``; without either, the latest.

    An edition with a last day (a rule on trial) is only ever found by its name or by a day within it. Raises
    UnknownRules.
    """
    editions = load_editions().get(style)
    if editions is None:
        raise UnknownRules(_unknown("rules", style, list(load_editions())))
    if name is not None:
        for edition in editions:
            if edition.name == name:
                return edition
        raise UnknownRules(_unknown(f"edition of {style}", name, [edition.name for edition in editions]))
    if day is None:
        return [edition for edition in editions if edition.valid_to is None][-1]
    if isinstance(day, str):
        try:
            day = date.fromisoformat(day)
        except ValueError:
            raise UnknownRules(f"{day!r} is no date; write it as YYYY-MM-DD") from None
    in_force = [e for e in editions if e.valid_from <= day and (e.valid_to is None or day <= e.valid_to)]
    if not in_force:
        first = editions[0]
        raise UnknownRules(
            f"no edition of {style} is known for {day}; the first, {first.name!r}, starts on "
            f"{first.valid_from}"
        )
    return in_force[-1]


def _unknown(what: str, given: str, known: list[str]) -> str:
    near = difflib.get_close_matches(given.lower(), known, n=1, cutoff=0.6)
    hint = f"; nearest: {near[0]}" if near else ""
    return f"unknown {what} {given!r}; known: {', '.join(known)}{hint}"
