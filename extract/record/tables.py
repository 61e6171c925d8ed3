"""The record as flat tables, one fact a row: what the columns are and where each value comes from.

The CSV files and the data frames are both made from these, so they cannot differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args

from extract.record import model
from extract.rules.base import CORNERS
from extract.rules.kinds import KINDS
from extract.transcript.cue import Order, hundredths

Cell = str | int | float | None


@dataclass(frozen=True, slots=True)
class Column:
    """``type`` is ``text``, ``int``, ``float``, or the words of a vocabulary."""

    name: str
    type: Literal["text", "int", "float"] | tuple[str, ...]
    get: Callable[[Any], Cell]


@dataclass(frozen=True, slots=True)
class Table:
    """The columns of one table, and how to get its rows out of a record."""

    name: str
    rows: Callable[[model.Record], Sequence[Any]]
    columns: tuple[Column, ...]

    def shown(self, record: model.Record) -> tuple[Column, ...]:
        """The columns as they are shown for a record. Where nobody measured the times, lines stand in their place."""
        order = record.source.order
        return self.columns if order is None else tuple(_by_line(column, order) for column in self.columns)

    def cells(self, record: model.Record) -> Iterator[tuple[Cell, ...]]:
        """The rows, floats rounded to two places as in the JSON."""
        columns = self.shown(record)
        for row in self.rows(record):
            yield tuple(_rounded(column.get(row)) for column in columns)


#: Columns of moments, and what they are called if they hold lines.
_LINES = {"t": "line", "t_earliest": "line_earliest", "t_latest": "line_latest", "t_outcome": "line_outcome"}


def _by_line(column: Column, order: Order) -> Column:
    if column.name not in _LINES:
        return column

    def get(row: Any) -> Cell:
        t = column.get(row)
        return order.line(t) if isinstance(t, float | int) else None

    return Column(_LINES[column.name], "int", get)


def _rounded(cell: Cell) -> Cell:
    return hundredths(cell) + 0.0 if isinstance(cell, float) else cell


def _field(name: str, kind: Any = "text") -> Column:
    return Column(name, kind, lambda row: getattr(row, name))


def _part(name: str, field: str, index: int, kind: Literal["int", "float"]) -> Column:
    """One half of a pair. Empty if the pair is missing or words stand in its place."""

    def get(row: Any) -> Cell:
        pair = getattr(row, field)
        return pair[index] if isinstance(pair, tuple) else None

    return Column(name, kind, get)


def _scores(field: str, prefix: str) -> tuple[Column, Column]:
    return _part(f"{prefix}_red", field, 0, "int"), _part(f"{prefix}_blue", field, 1, "int")


def _words(field: str) -> Column:
    """What is said or computed if it is not a score."""
    return Column(
        field, "text", lambda row: getattr(row, field) if isinstance(getattr(row, field), str) else None
    )


def _ids(field: str) -> Column:
    return Column(field, "text", lambda row: " ".join(getattr(row, field)))


_EVIDENCE = (
    Column("evidence", "text", lambda row: " | ".join(piece.text for piece in row.evidence)),
    Column("evidence_at", "text", lambda row: " ".join(f"{e.cue}:{e.start}-{e.end}" for e in row.evidence)),
)
_PLACE = (_field("cue", "int"), _field("start", "int"), _field("end", "int"), _field("text"))

EVENTS = Table(
    "events",
    lambda record: record.events,
    (
        _field("id"),
        _field("t", "float"),
        _part("t_earliest", "t_range", 0, "float"),
        _part("t_latest", "t_range", 1, "float"),
        _field("period", "int"),
        _field("clock_s", "float"),
        _field("clock_uncertainty_s", "float"),
        _field("kind", tuple(KINDS)),
        _field("corner", CORNERS),
        _field("against", CORNERS),
        _field("points", "int"),
        _field("status", get_args(model.Status)),
        _field("basis", get_args(model.Basis)),
        _field("confidence", "float"),
        *_scores("score_after", "after"),
        *_EVIDENCE,
        _field("why"),
        _field("decided"),
    ),
)
STATEMENTS = Table(
    "statements",
    lambda record: record.statements,
    (
        _field("id"),
        _field("t", "float"),
        *_PLACE,
        *_scores("said", "said"),
        _field("margin", "int"),
        _field("leader", CORNERS),
        *_scores("computed", "computed"),
        _field("verdict", get_args(model.Verdict)),
        _field("slip", get_args(model.Slip)),
        _field("confidence", "float"),
        _field("why"),
        _field("decided"),
    ),
)
CLOCK = Table(
    "clock",
    lambda record: record.clock,
    (
        _field("id"),
        _field("t", "float"),
        *_PLACE,
        _field("seconds_left", "float"),
        _field("bound", get_args(model.Bound)),
        _field("period", "int"),
        _field("about", get_args(model.ClockKind)),
    ),
)
CHALLENGES = Table(
    "challenges",
    lambda record: record.challenges,
    (
        _field("id"),
        _field("t", "float"),
        _field("by", CORNERS),
        _field("outcome", get_args(model.ChallengeOutcome)),
        _field("t_outcome", "float"),
        _ids("events"),
        *_EVIDENCE,
    ),
)
RIDING_TIME = Table(
    "riding_time",
    lambda record: record.riding_time,
    (
        _field("t", "float"),
        _field("period", "int"),
        _field("clock_s", "float"),
        _field("leader", CORNERS),
        _field("seconds", "float"),
        _field("uncertainty_s", "float"),
        _field("control", CORNERS),
    ),
)
BOARD = Table(
    "board",
    lambda record: record.board,
    (_field("t", "float"), _field("red", "int"), _field("blue", "int")),
)
FLAGS = Table(
    "flags",
    lambda record: record.flags,
    (
        _field("id"),
        _field("kind"),
        _field("severity", get_args(model.Severity)),
        _field("t", "float"),
        _field("cue", "int"),
        _field("text"),
        *_scores("said", "said"),
        _words("said"),
        *_scores("computed", "computed"),
        _words("computed"),
        _field("why"),
        _ids("refs"),
        _field("period", "int"),
        _field("clock_s", "float"),
        _field("clock_uncertainty_s", "float"),
        _field("confidence", "float"),
    ),
)

TABLES = (EVENTS, STATEMENTS, CLOCK, CHALLENGES, BOARD, RIDING_TIME, FLAGS)
#: The tables that are written beside the record.
WRITTEN = (EVENTS, STATEMENTS, CLOCK, FLAGS)
