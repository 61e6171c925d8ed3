"""The measures of labelled bouts as tables to read, and as one JSON document."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from io import StringIO
from typing import Any, TextIO

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from extract import __version__
from extract.checks.words import clock_text
from extract.labelled.calibration import KINDS, calibration_error, reliability
from extract.labelled.measures import MEASURES, Tally
from extract.labelled.validate import SEED, Interval, MeasuredBout, Total, groups, pooled, stretches, totals
from extract.record.plain import printable, seen_json

SCHEMA = "saidscore.measures/1"
_NO_LIMIT = 10_000
_ABOUT = {
    "events": "Events: the award stands as said",
    "verdicts": "Verdicts on said scores",
    "results": "Results: winner, how and score",
}


@dataclass(frozen=True, slots=True)
class MeasureReport:
    """Measured bouts, and how they were measured. ``parameters`` says in a few words with which. ``fitted_on`` are
    the ids of the bouts that the parameters were fitted on. With leave-one-out it is empty, because no bout was used
    for its own. With ``misses`` every fault is listed."""

    bouts: Sequence[MeasuredBout]
    parameters: str
    fitted_on: Sequence[str]
    cross_validated: bool
    bout_files: bool
    resamples: int
    misses: bool = False

    def seen(self) -> list[str]:
        """The measured bouts that the parameters were fitted on: their figures flatter."""
        return [b.id for b in self.bouts if b.id in set(self.fitted_on)]

    def totals(self) -> dict[str, dict[str, Total]]:
        """The totals of each group of bouts."""
        return {name: totals(inside, self.resamples) for name, inside in groups(self.bouts).items()}


def to_json(report: MeasureReport) -> str:
    """The report as one JSON document with a newline at its end. Figures are shares from 0 to 1, null where there is
    nothing to count."""
    graded = pooled(report.bouts)
    tree = {
        "schema": SCHEMA,
        "program": f"saidscore {__version__}",
        "parameters": report.parameters,
        "fitted_on_measured": report.seen(),
        "cross_validated": report.cross_validated,
        "bout_files": report.bout_files,
        "resamples": report.resamples,
        "seed": SEED,
        "bouts": {
            b.id: {
                "rules": b.rules,
                "format": b.format,
                "measures": {name: _tally(b.tallies[name]) for name in MEASURES},
                **({"misses": [asdict(miss) for miss in b.misses]} if report.misses else {}),
            }
            for b in report.bouts
        },
        "totals": {
            group: {
                name: {**_tally(t.tally), "interval": t.interval and [_short(x) for x in t.interval]}
                for name, t in rows.items()
            }
            for group, rows in report.totals().items()
        },
        "stretches": {name: _tally(tally) for name, tally in stretches(report.bouts).items()},
        "calibration": {
            kind: {
                "cases": len(graded[kind]),
                "expected_error": _short(calibration_error(graded[kind])),
                "bins": [{k: _short(v) for k, v in asdict(b).items()} for b in reliability(graded[kind])],
            }
            for kind in KINDS
        },
    }
    return seen_json(json.dumps(tree, ensure_ascii=False, allow_nan=False, indent=1)) + "\n"


def _tally(tally: Tally) -> dict[str, Any]:
    out: dict[str, Any] = {
        "figure": _short(tally.figure),
        "found": tally.found,
        "labelled": tally.labelled,
    }
    if tally.given is not None:
        out |= {"right": tally.right, "given": tally.given}
    return out


def _short(number: float | None) -> float | None:
    return round(number, 4) if isinstance(number, float) else number


def to_text(report: MeasureReport, width: int | None = None) -> str:
    """The report as tables for a terminal of ``width`` columns. Without ``width``, plain lines that are not
    wrapped."""
    out = StringIO()
    console = Console(file=out, width=width or _NO_LIMIT, force_terminal=width is not None, highlight=False)
    rows = report.totals()
    _line(console, _heading(report), "bold")
    if seen := report.seen():
        _line(
            console,
            f"The parameters were fitted on {len(seen)} of these bouts: see --cross-validate.",
            "yellow",
        )
    with_precision = ", ".join(name for name in MEASURES if report.bouts[0].tallies[name].given is not None)
    _line(console, f"Recall, or F1 where there is a precision: {with_precision}.")
    _line(console)
    _figures(console, report, rows)
    _details(console, report, rows)
    _stretches(console, report)
    _calibration(console, report)
    if report.misses:
        _misses(console, report)
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())


def print_report(report: MeasureReport, file: TextIO) -> None:
    """Write the report to ``file``, in the form that suits it: a terminal or not."""
    file.write(to_text(report, shutil.get_terminal_size().columns if file.isatty() else None))


def _heading(report: MeasureReport) -> str:
    n = len(report.bouts)
    files = "" if report.bout_files else ", without bout files"
    return f"{n} labelled bout{'s' if n != 1 else ''}, {printable(report.parameters)}{files}"


def _figures(console: Console, report: MeasureReport, rows: dict[str, dict[str, Total]]) -> None:
    table = _table(console, ("", *MEASURES), right_from=1)
    for bout in report.bouts:
        _row(table, (printable(bout.id), *(_figure(bout.tallies[name].figure) for name in MEASURES)))
    for group, of_group in rows.items():
        cells = (_figure(of_group[name].tally.figure) for name in MEASURES)
        _row(table, (f"= {printable(group)}", *cells), "bold")
    console.print(table)
    _line(console)


def _details(console: Console, report: MeasureReport, rows: dict[str, dict[str, Total]]) -> None:
    if report.resamples and len(report.bouts) > 1:
        _line(console, f"Totals with 95 % intervals, from {report.resamples} resamples of the bouts", "bold")
    else:
        _line(console, "Totals", "bold")
    known = any(total.interval for of_group in rows.values() for total in of_group.values())
    spread = ("95 %",) if known else ()
    table = _table(console, ("bouts", "measure", "figure", *spread, "recall", "precision"), right_from=2)
    for group, of_group in rows.items():
        for name in MEASURES:
            tally = of_group[name].tally
            if not tally.labelled and not tally.given:
                continue
            interval = (_interval(of_group[name].interval),) if known else ()
            precision = "" if tally.given is None else f"{tally.right}/{tally.given}"
            recall = f"{tally.found}/{tally.labelled}"
            _row(table, (printable(group), name, _figure(tally.figure), *interval, recall, precision))
    console.print(table)
    _line(console)


def _stretches(console: Console, report: MeasureReport) -> None:
    found = stretches(report.bouts)
    if not found:
        return
    _line(console, "Stretches: of the passages whose kind of talk is labelled, those taken for it", "bold")
    table = _table(console, ("kind", "share", "right"), right_from=1)
    for name, tally in found.items():
        _row(table, (name, _figure(tally.recall), f"{tally.found}/{tally.labelled}"))
    console.print(table)
    _line(console)


def _calibration(console: Console, report: MeasureReport) -> None:
    graded = pooled(report.bouts)
    for kind in KINDS:
        error = calibration_error(graded[kind])
        if error is None:
            continue
        _line(
            console,
            f"{_ABOUT[kind]}: {len(graded[kind])} confidences, expected calibration error {error:.3f}",
            "bold",
        )
        table = _table(console, ("confidence", "cases", "mean", "right"), right_from=1)
        for b in reliability(graded[kind]):
            span = f"{b.low:.1f}-{b.high:.1f}"
            _row(table, (span, str(b.cases), _figure(b.confidence), _figure(b.right)))
        console.print(table)
        _line(console)


def _misses(console: Console, report: MeasureReport) -> None:
    count = sum(len(bout.misses) for bout in report.bouts)
    _line(console, f"Misses: {count}, each with what the truth has and what the record has", "bold")
    table = _table(console, ("bout", "time", "measure", "truth", "record"), right_from=5)
    for bout in report.bouts:
        for miss in bout.misses:
            time = "end" if miss.t is None else clock_text(miss.t)
            _row(table, (printable(bout.id), time, miss.measure, miss.truth or "-", miss.record or "-"))
    console.print(table)
    _line(console)


def _figure(figure: float | None) -> str:
    return "-" if figure is None else f"{figure:.2f}"


def _interval(interval: Interval | None) -> str:
    return "" if interval is None else f"{interval[0]:.2f}-{interval[1]:.2f}"


def _line(console: Console, text: str = "", style: str = "") -> None:
    console.print(Text(text, style=style))


def _table(console: Console, headers: Iterable[str], *, right_from: int) -> Table:
    box = SIMPLE_HEAD if console.is_terminal else None
    table = Table(box=box, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for k, header in enumerate(headers):
        table.add_column(
            header, justify="right" if k >= right_from else "left", no_wrap=bool(k), overflow="fold"
        )
    return table


def _row(table: Table, cells: Iterable[str], style: str = "") -> None:
    table.add_row(*(Text(cell) for cell in cells), style=style)
