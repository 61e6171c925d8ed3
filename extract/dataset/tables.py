"""The tables of a dataset: their columns, from the bout record and the data dictionary."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any, Literal

from extract.record.tables import BOARD, CHALLENGES, CLOCK, EVENTS, FLAGS, RIDING_TIME, STATEMENTS
from extract.record.tables import Table as RecordTable

Type = Literal["text", "int", "float"]
Cell = str | int | float | None

#: Tables whose rows are those of the record's own tables.
OF_RECORD = (EVENTS, STATEMENTS, CLOCK, CHALLENGES, BOARD, RIDING_TIME, FLAGS)


@dataclass(frozen=True, slots=True)
class DatasetColumn:
    """A column. If it is ``required``, it is never empty. ``words`` are its only values, ``minimum`` and ``maximum``
    the least and the greatest."""

    name: str
    type: Type
    about: str
    required: bool = False
    words: tuple[str, ...] = ()
    minimum: float | None = None
    maximum: float | None = None


@dataclass(frozen=True, slots=True)
class DatasetTable:
    """A table. ``about`` says what a row is. ``key`` are the columns that name a row (empty: none do)."""

    name: str
    about: str
    columns: tuple[DatasetColumn, ...]
    key: tuple[str, ...]

    @property
    def links(self) -> tuple[tuple[str, str], ...]:
        """The columns that name a row of another table, each with that table."""
        links = (("input", "inputs"), ("bout_id", "bouts"))
        names = {column.name for column in self.columns}
        return tuple((column, other) for column, other in links if column in names and other != self.name)


@lru_cache(maxsize=1)
def dataset_tables() -> Mapping[str, DatasetTable]:
    """All tables, by name."""
    text = (files("extract.dataset") / "dictionary.toml").read_text(encoding="utf-8")
    described = tomllib.loads(text)
    every = described.pop("every")
    after = every.pop("after")
    record = {table.name: table for table in OF_RECORD}
    return {name: _table(name, of, every, after, record.get(name)) for name, of in described.items()}


def _table(
    name: str,
    of: Mapping[str, Any],
    every: Mapping[str, Any],
    after: Sequence[str],
    record: RecordTable | None,
) -> DatasetTable:
    own = {column: about for column, about in of.items() if isinstance(about, dict)}
    types: dict[str, tuple[Type, tuple[str, ...]]] = {}
    for column in record.columns if record is not None else ():
        words = column.type if isinstance(column.type, tuple) else ()
        types[column.name] = ("text" if isinstance(column.type, tuple) else column.type, words)
    of_bout = record is not None or name == "bouts"
    before = ("bout_id", "input") if of_bout else ("input",)
    columns = [_column(key, every[key], types) for key in before]
    columns += [_column(key, value, types) for key, value in own.items()]
    columns += [_column(key, every[key], types) for key in after]
    return DatasetTable(name, of["row"], tuple(columns), tuple(of.get("key", ())))


def _column(
    name: str, described: Mapping[str, Any], types: Mapping[str, tuple[Type, tuple[str, ...]]]
) -> DatasetColumn:
    type_, words = types.get(name, ("text", ()))
    return DatasetColumn(
        name,
        described.get("type", type_),
        described["about"],
        bool(described.get("required", False)),
        tuple(described.get("words", words)),
        described.get("minimum"),
        described.get("maximum"),
    )


#: A row of a table, by the names of its columns. A column that it lacks is empty.
Row = Mapping[str, Cell]
