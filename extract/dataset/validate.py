"""Checks that the tables of a dataset are what the data dictionary says, and that their references lead to rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from extract.dataset.arrow import pa, pc
from extract.dataset.pack import Tables, schema, to_arrow
from extract.dataset.tables import DatasetColumn, DatasetTable, dataset_tables
from extract.errors import InputError

if TYPE_CHECKING:
    import pandas as pd

#: Columns with ids of other rows of the same bout, separated by spaces, and the tables of these rows.
_REFERENCES = {
    ("challenges", "events"): ("events",),
    ("flags", "refs"): ("events", "statements", "clock", "challenges"),
}


@dataclass(frozen=True, slots=True)
class Fault:
    """A row that is not as it should be. ``input`` is the one that it came from, None if the row does not say."""

    table: str
    column: str
    input: str | None
    problem: str


def faults(tables: Tables) -> Iterator[Fault]:
    """What is wrong with the tables of a part, each with the input that it came from. The part has all rows of its
    inputs, so it has every row that another one refers to. Raises InputError if pandera is not installed."""
    for name in dataset_tables():
        if not tables[name].schema.equals(schema(name)):
            yield Fault(
                name, "", None, f"its columns are {tables[name].schema.names}, not those of the dictionary"
            )
            return
    frames = {name: tables[name].to_pandas() for name in dataset_tables()}
    for name, table in dataset_tables().items():
        yield from _of_schema(table, frames[name])
    yield from _of_keys(tables)
    yield from _of_references(frames)


def _of_schema(table: DatasetTable, frame: pd.DataFrame) -> Iterator[Fault]:
    import pandera.errors

    try:
        _checker(table.name).validate(frame, lazy=True)
    except pandera.errors.SchemaErrors as errors:
        for case in errors.failure_cases.to_dict("records"):
            row, column = case["index"], str(case["column"])
            known = row is not None and row == row
            problem = f"{case['failure_case']!r} fails {case['check']}"
            yield Fault(table.name, column, str(frame["input"][int(row)]) if known else None, problem)


@lru_cache(maxsize=32)
def _checker(name: str) -> Any:
    """The pandera schema of a table. The Arrow schema checks the types."""
    try:
        import pandera.pandas as pandera
    except ImportError:
        raise InputError(
            "saidscore dataset", "pandera is not installed", "pip install 'saidscore[dataset]'"
        ) from None

    def checks(column: DatasetColumn) -> list[Any]:
        found = []
        if column.words:
            found.append(pandera.Check.isin(column.words))
        if column.minimum is not None:
            found.append(pandera.Check.ge(column.minimum))
        if column.maximum is not None:
            found.append(pandera.Check.le(column.maximum))
        return found

    table = dataset_tables()[name]
    columns = {c.name: pandera.Column(None, checks(c), nullable=not c.required) for c in table.columns}
    return pandera.DataFrameSchema(columns, strict=True, unique=list(table.key) or None)


def _of_keys(tables: Tables) -> Iterator[Fault]:
    for name, table in dataset_tables().items():
        for column, other in table.links:
            found = tables[name].column(column)
            lost = pc.and_(
                pc.is_valid(found), pc.invert(pc.is_in(found, value_set=tables[other].column(column)))
            )
            for row in tables[name].filter(lost).select(["input", column]).to_pylist():
                yield Fault(name, column, row["input"], f"{row[column]!r} is not in {other}")


def _of_references(frames: Mapping[str, pd.DataFrame]) -> Iterator[Fault]:
    ids: dict[str, set[tuple[str, str]]] = {
        name: set(zip(frame["bout_id"], frame["id"], strict=True))
        for name, frame in frames.items()
        if "id" in frame
    }
    for (name, column), others in _REFERENCES.items():
        known = set().union(*(ids[other] for other in others))
        frame = frames[name]
        for bout, key, refs in zip(frame["bout_id"], frame["input"], frame[column], strict=True):
            for ref in refs.split() if isinstance(refs, str) else ():
                if (bout, ref) not in known:
                    yield Fault(name, column, key, f"{ref!r} of {bout} is not in {', '.join(others)}")


def without(tables: Tables, found: Mapping[str, str]) -> Tables:
    """The tables after some inputs failed. Their rows are taken out, and ``failures`` says why (a sentence for
    each)."""
    named = pa.array(sorted(found), pa.string())
    kept = {}
    for name, table in tables.items():
        bad = pc.is_in(table.column("input"), value_set=named)
        kept[name] = table.filter(pc.invert(bad))
        if name == "inputs":
            lost = table.filter(bad).to_pylist()
    blank = {"status": "failed", "bouts": 0}
    failures = [
        {**row, "file": row["input"], "problem": found[row["input"]], "remedy": "report it with the file"}
        for row in lost
    ]
    for name, rows in (("inputs", [{**row, **blank} for row in lost]), ("failures", failures)):
        kept[name] = pa.concat_tables([kept[name], to_arrow(dataset_tables()[name], rows)])
    return kept
