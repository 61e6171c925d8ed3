"""The parts of a session as a table, and as lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.checks.words import clock_text
from extract.record.bout_words import ending_text, short_sides
from extract.record.files import csv_text
from extract.record.model import Record
from extract.record.plain import printable
from extract.session.parts import Part, Session

#: The columns of ``NAME.session.csv``: ``number`` is that of the bout (empty for studio talk), times are in seconds. There
#: are none for an account without times.
COLUMNS = (
    "number", "kind", "start", "end", "label", "red", "blue", "result", "confidence", "why", "bout", "file",
)  # fmt: skip


def parts_csv(session: Session, records: Sequence[Record], name: str, file: str) -> str:
    """A row for each part, as CSV text that is safe to open in a spreadsheet. ``name`` is the beginning of the names of
    the records, ``file`` the transcript's."""
    rows = []
    for part, record in _with_records(session, records):
        red, blue = (record.bout.red.name, record.bout.blue.name) if record else (None, None)
        result = result_text(record) if record else None
        number = part.number or None
        times = (round(part.start, 2), round(part.end, 2)) if session.order is None else (None, None)
        bout = part_name(name, number) if number else None
        sure = round(part.confidence, 2)
        rows.append((number, part.kind, *times, part.label, red, blue, result, sure, part.why, bout, file))
    return csv_text(COLUMNS, rows)


def part_name(name: str, number: int) -> str:
    """The name of the record of a bout: that of the recording, and the number of the bout in it."""
    return f"{name}.{number:02d}"


def part_lines(session: Session, records: Sequence[Record]) -> Iterator[str]:
    """A line for each part: its times, who wrestles, and how it ended."""
    for part, record in _with_records(session, records):
        span = f"{clock_text(part.start):>7} - {clock_text(part.end):>7}"
        if session.order is not None:
            order = session.order
            within = (part.start, max(part.start, part.end - order.step_s + order.length_s))
            first, last = sorted(map(order.line, within))
            span = f"lines {first:>4} - {last:>4}"
        if record is None:
            yield f"{span}      between bouts"
            continue
        names = " against ".join(
            f"{corner} {printable(name)}" if name else corner
            for corner, name in (("red", record.bout.red.name), ("blue", record.bout.blue.name))
        )
        label = f"{printable(part.label)}: " if part.label else ""
        flags = sum(flag.severity != "note" for flag in record.flags)
        look = f"; {flags} to check" if flags else ""
        yield f"{span}  {part.number:>2}  {label}{names}; {result_text(record)}{look}"


def result_text(record: Record) -> str:
    """How a bout ended, in a few words: "6-6, Skelvara wins on criteria"."""
    return ending_text(record, short_sides(record))


def _with_records(session: Session, records: Sequence[Record]) -> Iterator[tuple[Part, Record | None]]:
    left = iter(records)
    for part in session.parts:
        yield part, next(left) if part.kind == "bout" else None
