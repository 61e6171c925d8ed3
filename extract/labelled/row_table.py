"""The rows of the lexicon and what each did on labelled bouts, as a table to read and as one JSON document."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from io import StringIO
from typing import Any, TextIO

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from extract import __version__
from extract.labelled.report import MeasureReport
from extract.labelled.row_counts import RowCount, total_rows
from extract.record.plain import printable, seen_json

SCHEMA = "saidscore.rows/1"
COLUMNS = ("row", "gives", "fired", "right", "wrong", "unused", "conflicts", "accuracy", "bouts")
_TEXT_COLUMNS = 2
_NO_LIMIT = 10_000


def rows_json(report: MeasureReport) -> str:
    """What each row did as one JSON document, the most useful row first; ``accuracy`` is null where nothing that it
    found was right or wrong."""
    tree = {
        "schema": SCHEMA,
        "program": f"saidscore {__version__}",
        "parameters": report.parameters,
        "cross_validated": report.cross_validated,
        "bouts": [bout.id for bout in report.bouts],
        "rows": [
            dict(zip(COLUMNS, _values(name, count), strict=True)) for name, count in _totals(report).items()
        ],
    }
    return seen_json(json.dumps(tree, ensure_ascii=False, allow_nan=False, indent=1)) + "\n"


def rows_text(report: MeasureReport, width: int | None = None) -> str:
    """The same as a table, for a terminal of so many columns; without ``width`` plain lines, none of them wrapped."""
    out = StringIO()
    console = Console(file=out, width=width or _NO_LIMIT, force_terminal=width is not None, highlight=False)
    box = SIMPLE_HEAD if console.is_terminal else None
    table = Table(box=box, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for k, header in enumerate(COLUMNS):
        table.add_column(header, justify="right" if k >= _TEXT_COLUMNS else "left", overflow="fold")
    totals = _totals(report)
    for name, count in totals.items():
        table.add_row(*(Text(printable(_shown(value))) for value in _values(name, count)))
    console.print(Text(_heading(report, totals), style="bold"))
    console.print(table)
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())


def print_rows(report: MeasureReport, file: TextIO) -> None:
    """Write the table to ``file``, in the form that suits it: a terminal or not."""
    file.write(rows_text(report, shutil.get_terminal_size().columns if file.isatty() else None))


def _totals(report: MeasureReport) -> dict[str, RowCount]:
    return total_rows(bout.rows for bout in report.bouts)


def _heading(report: MeasureReport, totals: dict[str, RowCount]) -> str:
    never = sum(not count.bouts and not count.fired for count in totals.values())
    n = len(report.bouts)
    bouts = f"{n} labelled bout{'s' if n != 1 else ''}, {printable(report.parameters)}"
    return f"{bouts}: {len(totals)} rows, {never} of them never found"


def _values(name: str, count: RowCount) -> Iterator[Any]:
    accuracy = None if count.accuracy is None else round(count.accuracy, 4)
    yield from (name, count.gives, count.fired, count.right, count.wrong, count.unused, count.conflicts)
    yield from (accuracy, count.bouts)


def _shown(value: str | int | float | None) -> str:
    return "-" if value is None else f"{value:.2f}" if isinstance(value, float) else str(value)
