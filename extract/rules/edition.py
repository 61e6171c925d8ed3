"""Editions of the rules: values, ladders and dates, read from ``editions/*.toml``."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import lru_cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal

About = Literal["rules", "edition", "age_group", "date"]


class UnknownRules(ValueError):
    """No ruleset of that name, edition, date or age group. ``about`` says which of them it is, ``problem`` what is
    wrong; ``remedy`` names the known ones and the nearest."""

    def __init__(self, about: About, problem: str, remedy: str) -> None:
        super().__init__(f"{problem}; {remedy}")
        self.about = about
        self.problem = problem
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class VictoryKind:
    """A kind of victory: what a result sheet calls it and the ``points`` it brings, ``(winner, loser)``:
    classification points in the olympic styles, team points of a dual meet in the US ones.

    ``by`` is the way of winning; ``leads`` the least and greatest lead it is for, ``loser_scored`` and ``cautioned``
    (the loser had as many cautions as disqualify) what must hold besides, where they are given; ``nobody`` is for two
    who both lose.
    """

    by: str
    code: str
    name: str
    points: tuple[int, int]
    leads: tuple[int, int] | None = None
    loser_scored: bool | None = None
    cautioned: bool | None = None
    nobody: bool = False


@dataclass(frozen=True, slots=True)
class Penalty:
    """What an offence, or a group of them, costs, in words: ``points`` may be a ladder."""

    offence: str
    points: str


@dataclass(frozen=True, slots=True)
class Edition:
    """One style as its rules stood between two dates. Times in seconds; see the TOML files for the sources.

    ``superiority_lead`` is the lead, ``target_score`` the score that ends a bout at once.
    ``calls_before_passivity_point`` is how many passivity warnings a side must have had before it can lose a
    point; ``activity_seconds`` is None where there is no activity clock, and ``activity_ended_by`` says whose
    score ends it (``either`` or ``passive``). ``passivity_points_limit`` is the most passivity points in a
    bout. ``stalling_ladder`` is what each stalling call on one side is worth; past its end is
    disqualification, as it is past ``penalty_limit`` penalties or at the ``caution_limit``-th caution.
    ``challenge_scope`` says how many challenges there are where they are not each wrestler's for a bout.
    ``extra_periods`` are ``(kind, seconds)``. ``riding_time_seconds`` is the least advantage for the point,
    ``riding_time_decides`` after which pairs of tie-breakers any advantage wins a level bout (``each``, ``last``).
    ``actions`` says what each kind is given for. ``source`` names the published source of each value, by the
    short names of ``documents.toml``.
    """

    style: str
    family: str
    name: str
    valid_from: date
    period_seconds: tuple[int, ...]
    rest_seconds: int
    points: Mapping[str, tuple[int, ...]]
    source: Mapping[str, str]
    valid_to: date | None = None
    superiority_lead: int | None = None
    target_score: int | None = None
    challenges: int = 0
    challenge_seconds: int | None = None
    challenge_scope: str = ""
    lost_challenge_points: int = 0
    caution_limit: int | None = None
    calls_before_passivity_point: int = 0
    passivity_points_limit: int | None = None
    activity_seconds: int | None = None
    activity_ended_by: str = "either"
    level_score_criteria: tuple[str, ...] = ()
    stalling_ladder: tuple[int, ...] = ()
    riding_time_seconds: int | None = None
    riding_time_decides: str | None = None
    penalty_limit: int | None = None
    extra_periods: tuple[tuple[str, int], ...] = ()
    choices: tuple[str, ...] = ()
    penalties: tuple[Penalty, ...] = ()
    victories: tuple[VictoryKind, ...] = ()
    actions: Mapping[str, str] = field(default_factory=dict)
    age_groups: Mapping[str, tuple[int, ...]] = field(default_factory=dict)

    def for_age(self, group: str) -> Edition:
        """This edition with the period lengths of an age group, as ``"U15"``. Raises UnknownRules."""
        return replace(self, period_seconds=self._lengths_by_group()[self.age_group(group)])

    def age_group(self, group: str) -> str:
        """An age group as the edition spells it. Raises UnknownRules."""
        known = self._lengths_by_group()
        for name in known:
            if name.casefold() == group.strip().casefold():
                return name
        if not known:
            raise UnknownRules("age_group", f"{self.style} has no age groups", "take it out")
        raise _unknown("age_group", f"age group of {self.style}", group, known)

    def _lengths_by_group(self) -> dict[str, tuple[int, ...]]:
        groups = self.age_groups.items()
        return {name.strip(): lengths for names, lengths in groups for name in names.split(",")}


@lru_cache(maxsize=1)
def load_editions() -> Mapping[str, tuple[Edition, ...]]:
    """Every edition of every style, by style in alphabetical order, the oldest first."""
    return MappingProxyType({tables["style"]: tuple(_editions(tables)) for tables in _tables()})


@lru_cache(maxsize=1)
def style_names() -> Mapping[str, str]:
    """The style that each name stands for: its own name, and what else people call it."""
    return MappingProxyType(
        {name: t["style"] for t in _tables() for name in (t["style"], *t.get("also_called", ()))}
    )


def ruleset_named(name: str) -> str:
    """The ruleset that people mean by a name. Case, blanks, hyphens and other marks do not matter. Raises UnknownRules.

    >>> [ruleset_named(name) for name in ("Greco Roman", "high-school", "NCAA", "free style")]
    ['greco', 'scholastic', 'collegiate', 'freestyle']
    """
    letters = _letters(name)
    for known, style in style_names().items():
        if letters == _letters(known):
            return style
    raise _unknown("rules", "ruleset", name, load_editions(), style_names())


def _letters(name: str) -> str:
    return "".join(filter(str.isalnum, name.casefold()))


@lru_cache(maxsize=1)
def load_documents() -> Mapping[str, Mapping[str, str]]:
    """The published documents by the short names that the sources use: ``title``, and where it was ``seen``."""
    text = (resources.files(__package__) / "documents.toml").read_text(encoding="utf-8")
    return _frozen(tomllib.loads(text))


@lru_cache(maxsize=1)
def _tables() -> tuple[dict[str, Any], ...]:
    folder = resources.files(__package__) / "editions"
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda file: file.name)
    return tuple(tomllib.loads(file.read_text(encoding="utf-8")) for file in files)


def _editions(tables: Mapping[str, Any]) -> Iterable[Edition]:
    known: dict[str, dict[str, Any]] = {}
    for table in tables["edition"]:
        merged: dict[str, Any] = {}
        if "inherits" in table:
            merged = {key: value for key, value in known[table["inherits"]].items() if key != "valid_to"}
        for key, value in table.items():
            if key in ("points", "actions", "source"):
                merged[key] = {**merged.get(key, {}), **value}
            elif key != "inherits":
                merged[key] = value
        known[table["name"]] = merged
        values = _frozen(merged)
        values["victories"] = tuple(VictoryKind(**dict(row)) for row in values.get("victories", ()))
        values["penalties"] = tuple(Penalty(**dict(row)) for row in values.get("penalties", ()))
        yield Edition(style=tables["style"], family=tables["family"], **values)


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
    style = ruleset_named(style)
    editions = load_editions()[style]
    if name is not None:
        name = str(name)
        for edition in editions:
            if edition.name == name:
                return edition
        raise _unknown("edition", f"edition of {style}", name, [edition.name for edition in editions])
    if day is None:
        return [edition for edition in editions if edition.valid_to is None][-1]
    if isinstance(day, str):
        try:
            day = date.fromisoformat(day)
        except ValueError:
            raise UnknownRules("date", f"{day!r} is no date", "write it as YYYY-MM-DD") from None
    if isinstance(day, datetime):
        day = day.date()
    in_force = [e for e in editions if e.valid_from <= day and (e.valid_to is None or day <= e.valid_to)]
    if not in_force:
        first = editions[0]
        raise UnknownRules(
            "date",
            f"no edition of {style} is known for {day}; the first, {first.name!r}, starts on "
            f"{first.valid_from}",
            "correct the date, or name an edition",
        )
    return in_force[-1]


def _unknown(
    about: About, what: str, given: str, known: Iterable[str], names: Iterable[str] | None = None
) -> UnknownRules:
    """The error about a name that there is not. The nearest of ``names`` is asked for, else of the known ones."""
    known = list(known)
    plain = {name.casefold(): name for name in (known if names is None else names)}
    near = difflib.get_close_matches(given.casefold(), plain, n=1, cutoff=0.7)
    hint = f"did you mean {plain[near[0]]}? " if near else ""
    return UnknownRules(about, f"unknown {what} {given!r}", f"{hint}use one of {', '.join(known)}")
