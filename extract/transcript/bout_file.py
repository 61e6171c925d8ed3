"""The bout file: what is known of a bout beforehand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path
from typing import Any

from extract.errors import InputError
from extract.transcript.decode import decode, read_bytes
from extract.transcript.known import RESULT_KEYS, BadResult, Known, known_result
from extract.transcript.plain import seen
from extract.transcript.toml_lines import line_of_key
from extract.transcript.toml_text import parse_toml

_LIMIT = 1024 * 1024
#: What is said of a bout, and of each of its sides.
PLAIN_KEYS = ("rules", "edition", "date", "age_group")
SIDE_KEYS = ("name", "team", "aliases", "colour")
_SIDES = ("red", "blue")
_KEYS = (*PLAIN_KEYS, *_SIDES, "result")
#: Separates the aliases in one cell of a table.
ALIAS_MARK = "|"


def side_column(side: str, key: str) -> str:
    """The column of a table for a key of one side. The name's column has the name of the side.

    >>> side_column("red", "name"), side_column("red", "team")
    ('red', 'red_team')
    """
    return side if key == "name" else f"{side}_{key}"


#: The same as columns of a table with a bout in each row.
BOUT_COLUMNS = (
    *PLAIN_KEYS,
    *(side_column(side, key) for side in _SIDES for key in SIDE_KEYS),
    *RESULT_KEYS,
)


@dataclass(frozen=True, slots=True)
class Side:
    """One athlete as far as known. ``aliases`` are other forms of the name that may be heard. ``colour`` is the word
    for what is worn, if it is not the corner's ("green" anklets)."""

    name: str | None = None
    team: str | None = None
    aliases: tuple[str, ...] = ()
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class BoutFile:
    """What a bout file says. ``rules`` is a ruleset's name, ``edition`` one of its editions and ``age_group`` one of
    its age groups. None of them is looked up here. ``date`` is the day of the bout, ISO 8601. ``known`` is how the bout
    ended. ``file`` is where it was read, for messages."""

    rules: str | None = None
    edition: str | None = None
    date: str | None = None
    red: Side = Side()
    blue: Side = Side()
    age_group: str | None = None
    file: str = field(default="", compare=False)
    known: Known | None = None


def read_bout_file(path: str | Path) -> BoutFile:
    """The bout file (TOML) at ``path``. Raises InputError for unknown keys, wrong types, one name or alias for
    both sides and TOML that does not parse."""
    return bout_file_in(read_bytes(path, _LIMIT), path)


def bout_file_in(data: bytes, path: str | Path) -> BoutFile:
    """The bout file in bytes that were read from ``path``. Raises InputError as ``read_bout_file``."""
    text = decode(data, str(path))
    tree = parse_toml(path, text)
    reader = _BoutFileReader(path, text)
    reader.check_keys(tree, _KEYS, None)
    bout = BoutFile(
        reader.text(tree, "rules", None),
        reader.text(tree, "edition", None),
        reader.day(tree),
        reader.side(tree, "red"),
        reader.side(tree, "blue"),
        reader.text(tree, "age_group", None),
        str(path),
    )
    if same_name(bout.red.name, bout.blue.name):
        problem = f"the same name on both sides, {bout.red.name!r}"
        raise reader.error(problem, "give each side the name of its own athlete", "name", "blue")
    _check_aliases(reader, bout)
    _check_colours(reader, bout)
    return replace(bout, known=reader.result(tree, bout))


def key_line(path: str | Path, key: str, table: str | None = None) -> int | None:
    """The line of a key of the bout file at ``path``, for a message. None if it cannot be found."""
    try:
        return _BoutFileReader(path, decode(read_bytes(path, _LIMIT), str(path)))._line(key, table)
    except (InputError, OSError):
        return None


def _check_colours(reader: _BoutFileReader, bout: BoutFile) -> None:
    """Refuse one colour for both athletes, whether it is given or the corner's own."""
    red, blue = (bout.red.colour or "red").casefold(), (bout.blue.colour or "blue").casefold()
    if red == blue:
        table = "red" if bout.red.colour else "blue"
        problem = f"both sides are {red}"
        raise reader.error(problem, "give each side the colour that it wears", "colour", table)


def _check_aliases(reader: _BoutFileReader, bout: BoutFile) -> None:
    """Refuse an alias that means both athletes."""
    remedy = "take it out, or write more of the name: what means both athletes tells them apart nowhere"
    of_red = {_plain(alias) for alias in bout.red.aliases}
    for alias in bout.blue.aliases:
        if _plain(alias) in of_red:
            raise reader.error(f"the same alias on both sides, {alias!r}", remedy, "aliases", "blue")
    for side, table, other, whose in (
        (bout.red, "red", bout.blue, "blue"),
        (bout.blue, "blue", bout.red, "red"),
    ):
        words = _plain(other.name or "").split()
        # A surname may have several words: Anna van der Molen.
        surnames = {" ".join(words[k:]) for k in range(1, len(words))}
        for alias in side.aliases:
            if same_name(alias, other.name) or _plain(alias) in surnames:
                what = "name" if same_name(alias, other.name) else "surname"
                problem = f"{table}'s alias {alias!r} is the {what} of {whose}"
                raise reader.error(problem, remedy, "aliases", table)


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()


def same_name(one: str | None, other: str | None) -> bool:
    """Whether both are known and are the same but for spaces and capitals."""
    return bool(one and other) and str(one).casefold().split() == str(other).casefold().split()


class _BoutFileReader:
    def __init__(self, path: str | Path, text: str) -> None:
        self._path = path
        self._lines = text.split("\n")

    def error(self, problem: str, remedy: str, key: str, table: str | None) -> InputError:
        return InputError(self._path, problem, remedy, self._line(key, table))

    def _line(self, key: str, table: str | None) -> int | None:
        return line_of_key(self._lines, key, table)

    def check_keys(self, tree: dict[str, Any], known: Iterable[str], table: str | None) -> None:
        known = tuple(known)
        for key in tree:
            if key not in known:
                from rapidfuzz import process

                nearest = process.extractOne(key.lower(), known, score_cutoff=60)
                problem = f"unknown key {key!r}" + (f" in [{table}]" if table else "")
                hint = f"did you mean {nearest[0]!r}? " if nearest else ""
                remedy = f"{hint}{'Known' if hint else 'known'} keys are {', '.join(known)}"
                raise self.error(problem, remedy, key, table)

    def text(self, tree: dict[str, Any], key: str, table: str | None) -> str | None:
        value = tree.get(key)
        if value is None:
            return None
        where = f"{table}.{key}" if table else key
        if not isinstance(value, str):
            problem = f"{where} is {_kind(value)}, not text"
            raise self.error(problem, f'write {key} = "..." in quotation marks', key, table)
        value = seen(value)
        if not value:
            raise self.error(f"{where} is empty", "give it a value, or take the line out", key, table)
        return value

    def day(self, tree: dict[str, Any]) -> str | None:
        value = tree.get("date")
        if isinstance(value, date):
            return (value.date() if isinstance(value, datetime) else value).isoformat()
        said = self.text(tree, "date", None)
        if said is not None:
            try:
                return date.fromisoformat(said).isoformat()
            except ValueError:
                problem = f"date {said!r} is no day"
                raise self.error(problem, "write it as 2026-03-21", "date", None) from None
        return None

    def side(self, tree: dict[str, Any], key: str) -> Side:
        table = tree.get(key)
        if table is None:
            return Side()
        if not isinstance(table, dict):
            problem = f"{key} is {_kind(table)}, not a table"
            raise self.error(
                problem, f"write [{key}] on a line and name, team and aliases under it", key, None
            )
        self.check_keys(table, SIDE_KEYS, key)
        aliases = table.get("aliases", [])
        if not isinstance(aliases, list) or not all(isinstance(a, str) and seen(a) for a in aliases):
            problem = f"{key}.aliases is {_kind(aliases)}, not a list of names"
            raise self.error(problem, 'write aliases = ["...", "..."]', "aliases", key)
        return Side(
            self.text(table, "name", key),
            self.text(table, "team", key),
            tuple(map(seen, aliases)),
            self.text(table, "colour", key),
        )

    def result(self, tree: dict[str, Any], bout: BoutFile) -> Known | None:
        table = tree.get("result")
        if table is None:
            return None
        if not isinstance(table, dict):
            remedy = "write [result] on a line and winner, by, score and periods under it"
            raise self.error(f"result is {_kind(table)}, not a table", remedy, "result", None)
        self.check_keys(table, RESULT_KEYS, "result")
        winner, by = self.text(table, "winner", "result"), self.text(table, "by", "result")
        try:
            score, periods = table.get("score"), table.get("periods")
            return known_result(winner, by, score, bout.red, bout.blue, periods=periods)
        except BadResult as bad:
            raise self.error(bad.problem, bad.remedy, bad.key, "result") from None


def _kind(value: Any) -> str:
    if isinstance(value, list):
        return "a list with something else in it"
    kinds = {str: "text", bool: "true or false", int: "a number", float: "a number", dict: "a table"}
    return kinds.get(type(value), "a date or time")
