"""A folder of records: how each bout ended, and how many of the scores stated were right, as a page or as CSV."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from types import MappingProxyType
from urllib.parse import quote

from extract.checks.words import moment_text
from extract.record.bout_words import ending_text, short_sides, verdict_counts
from extract.record.files import csv_text
from extract.record.model import NOTE, Record
from extract.record.pages import page_html
from extract.record.plain import isolated, percent, printable
from extract.rules.base import Corner
from extract.rules.styles import style_name

_TEMPLATE = Path(__file__).with_name("templates") / "folder.html.j2"


#: A record with its name: ``NAME`` of ``NAME.record.json``, with the folders it lies in.
Named = tuple[str, Record]
_NO_LINKS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class BoutRow:
    """A bout of the list. ``red`` and ``blue`` are the full names, "" where none is known; ``file`` is the transcript,
    ``start`` where in it the bout begins if it is a part of it; ``stated`` counts the scores stated, and ``right``,
    ``wrong`` and ``unclear`` add up to it; ``flags`` are to be checked."""

    bout: str
    red: str
    blue: str
    style: str
    result: str
    winner: Corner | None
    score_red: int
    score_blue: int
    confidence: float
    stated: int
    right: int
    wrong: int
    unclear: int
    flags: int
    file: str
    start: str
    report: str | None

    @property
    def sure(self) -> str:
        """The confidence in per cent; empty where nothing is known."""
        return percent(self.confidence) if self.confidence else ""

    @property
    def names(self) -> str:
        """Both names, to sort by."""
        return f"{self.red} {self.blue}".strip()


def bout_rows(records: Iterable[Named], links: Mapping[str, str] = _NO_LINKS) -> list[BoutRow]:
    """A row for each record, with all text on one line and safe to show. ``links`` are the addresses of the reports there
    are, by the names of the records."""
    return [_row(name, record, links.get(name)) for name, record in records]


def address(way: str) -> str:
    """A path from the page's folder as an address. The dot keeps a colon in the first name from looking like a scheme."""
    return quote(f"./{way}")


def folder_page(
    records: Iterable[Named],
    title: str = "Bouts",
    broken: Sequence[str] = (),
    links: Mapping[str, str] = _NO_LINKS,
) -> str:
    """The list of bouts as one HTML page that asks for nothing from outside. ``links`` are as in ``bout_rows``, from where
    the page will be; ``broken`` are the names of records that could not be read. Everything from the records is
    escaped."""
    rows = bout_rows(records, links)
    return page_html(
        _TEMPLATE,
        title=printable(title),
        rows=rows,
        totals=totals_text(rows),
        broken=[printable(name) for name in broken],
        note=NOTE,
    )


def folder_csv(records: Iterable[Named], links: Mapping[str, str] = _NO_LINKS) -> str:
    """The list of bouts as CSV, with the fields of ``BoutRow`` as columns. ``links`` are as in ``bout_rows``."""
    columns = [field.name for field in fields(BoutRow)]
    rows = bout_rows(records, links)
    return csv_text(columns, ([getattr(row, name) for name in columns] for row in rows))


def totals_text(rows: Sequence[BoutRow]) -> str:
    """What the rows come to: "2 bouts; 24 scores stated: 20 right, 4 wrong; 3 to check"."""
    stated, right, wrong, unclear, flags = (
        sum(getattr(row, name) for row in rows) for name in ("stated", "right", "wrong", "unclear", "flags")
    )
    said = f"{stated:,} score{'' if stated == 1 else 's'} stated: {right:,} right, {wrong:,} wrong"
    return "; ".join(
        (
            f"{len(rows):,} bout{'' if len(rows) == 1 else 's'}",
            said + (f", {unclear:,} unclear" if unclear else ""),
            f"{flags:,} to check",
        )
    )


def _row(name: str, record: Record, link: str | None) -> BoutRow:
    bout, result, part = record.bout, record.result, record.source.part
    counts = verdict_counts(record)
    begins = part is not None and record.source.order is None
    return BoutRow(
        printable(name),
        isolated(printable(bout.red.name or "")),
        isolated(printable(bout.blue.name or "")),
        printable(style_name(bout.rules)),
        ending_text(record, short_sides(record)),
        result.winner,
        *result.score,
        round(result.confidence, 2),
        len(record.statements),
        counts["agrees"],
        counts["disagrees"],
        counts["unclear"],
        len(record.flags),
        printable(record.source.file),
        moment_text(record.source.begins, None) if begins else "",
        link,
    )
