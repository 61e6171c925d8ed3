"""Typed notes: comma-, semicolon- or tab-separated rows of a time and a note."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from extract.errors import InputError
from extract.transcript.cue import Transcript
from extract.transcript.decode import Source
from extract.transcript.draft import Draft, assemble
from extract.transcript.names import names
from extract.transcript.plain import plain
from extract.transcript.times import TIME_REMEDY, any_seconds, time_problem

_TIME_LIKE = re.compile(
    r"[-−+]?[0-9]+(?::[0-9]+){0,2}(?:[.,][0-9]+)?|[-+]?(?:nan|inf|infinity)", re.IGNORECASE
)
#: Under a header that does not say so, only such a column is one of times: a bare number may be anything.
_CLOCK_LIKE = re.compile(r"[-−]?[0-9]+(?::[0-9]+){1,2}(?:[.,][0-9]+)?")
_DELIMITERS = "\t;,"
_REMEDY = "give a column of times headed time, and one of notes headed note"
_SAMPLE = 40
#: A note is typed at its own time; it stands for talk at this rate, characters a second, of at least so many seconds.
_RATE, _LEAST_S = 12.0, 2.0
#: The csv module's own limit is the whole process's, and any library may have lifted it.
_LONGEST_CELL = 131_072
_QUOTE_REMEDY = "close each quotation mark in the cell where it opens"


class _CellTooLong(Exception):
    """A cell passes the limit of the csv module; ``args`` is the line of its row and what the module said."""


@dataclass(frozen=True, slots=True)
class _Layout:
    """How the rows are to be read: positions of columns, and whether the first row is a header."""

    delimiter: str
    time: int | None
    note: int | None
    speaker: int | None
    width: int
    header: bool


def looks_like_notes(text: str) -> bool:
    """Whether a text is notes: a header with names of columns for notes, or a time and a note in each row."""
    try:
        return _layout(text) is not None
    except _CellTooLong:
        return False


def read_notes(source: Source) -> Transcript:
    """The cues of typed notes: one for each row with a note, lasting as long as it takes to say, and not
    past the next. Times are m:ss, h:mm:ss or seconds. A cue's text in the source is the value of its cell, quoting
    resolved; where an unquoted note has the delimiter in it, the cells joined again."""
    try:
        layout = _layout(source.text)
        rows = _rows(source.text, layout.delimiter) if layout is not None else []
    except _CellTooLong as error:
        line, said = error.args
        raise source.error(f"a table that cannot be read ({said})", _QUOTE_REMEDY, line) from None
    if layout is None or layout.time is None:
        raise source.error("no time column in the table", _REMEDY, _first_line(source.text))
    if layout.note is None:
        raise source.error("no note column in the table", _REMEDY, _first_line(source.text))
    _check_quotes(source, layout, rows)
    drafts = []
    for k, (line, row) in enumerate(rows[layout.header :], 1):
        cells = row + [""] * (layout.width - len(row))
        shown = cells[layout.time].strip()
        start = any_seconds(shown)
        if start is None:
            raise source.error(time_problem(shown) if shown else "a row without a time", TIME_REMEDY, line)
        last = layout.note == layout.width - 1
        note = layout.delimiter.join(cells[layout.note :]) if last else cells[layout.note]
        speaker = cells[layout.speaker] if layout.speaker is not None else ""
        drafts.append(Draft(k, line, start, None, note, runs=[(0, len(note), speaker or None)]))
    return assemble(source, "csv", drafts, slowest=_RATE, least=_LEAST_S)


def _first_line(text: str) -> int:
    return text[: len(text) - len(text.lstrip())].count("\n") + 1


def _rows(text: str, delimiter: str) -> list[tuple[int, list[str]]]:
    """The rows that have anything in them, each with the number of its first line."""
    reader = csv.reader([line + "\n" for line in text.split("\n")], delimiter=delimiter)
    rows = []
    line = 1
    try:
        for row in reader:
            if max(map(len, row), default=0) > _LONGEST_CELL:
                raise _CellTooLong(line, f"a cell of more than {_LONGEST_CELL:,} characters")
            if any(cell.strip() for cell in row):
                rows.append((line, row))
            line = reader.line_num + 1
    except csv.Error as error:
        raise _CellTooLong(line, str(error)) from None
    return rows


def _check_quotes(source: Source, layout: _Layout, rows: list[tuple[int, list[str]]]) -> None:
    """Refuse a quotation mark that is left open over rows: to the end, or to the next mark that happens to come."""
    assert layout.time is not None
    for line, row in rows:
        start = any_seconds(row[layout.time]) if len(row) > layout.time else None
        for k, cell in enumerate(row):
            first, *more = cell.split("\n")
            # What should have ended the cell's own row, or a row after it.
            own = more and k < layout.time and _is_row(layout.delimiter * k + first, layout, None)
            if own or any(_is_row(within, layout, start) for within in more):
                raise _open_quote(source, line, row, k)
    # Where a mark is open at the end, one more row would be swallowed.
    if rows and "\n" in rows[-1][1][-1].strip():
        line, row = rows[-1]
        rest = "\n".join(source.text.split("\n")[line - 1 :])
        if _rows(rest + "\nend", layout.delimiter)[-1][1] != ["end"]:
            raise _open_quote(source, line, row, len(row) - 1)


def _is_row(within: str, layout: _Layout, start: float | None) -> bool:
    """Whether a line within a cell has a time where rows have one; a bare number may be of the note."""
    assert layout.time is not None
    cells = within.split(layout.delimiter)
    if len(cells) < 2 or len(cells) <= layout.time:
        return False
    shown = plain(cells[layout.time]).strip('"')
    if _CLOCK_LIKE.fullmatch(shown):
        return True
    seconds = any_seconds(shown)
    return seconds is not None and start is not None and seconds >= start


def _open_quote(source: Source, line: int, row: list[str], k: int) -> InputError:
    line += sum(cell.count("\n") for cell in row[:k])
    return source.error("a quotation mark that is not closed takes in the rows after it", _QUOTE_REMEDY, line)


def _layout(text: str) -> _Layout | None:
    """How the table is laid out, from its first rows; None where it is none of times and notes."""
    sample = "\n".join(text.lstrip("\n").split("\n", _SAMPLE)[:_SAMPLE])
    found = [
        _layout_with(_rows(sample, delimiter), delimiter) for delimiter in _DELIMITERS if delimiter in sample
    ]
    layouts = [layout for layout in found if layout is not None]
    return next((layout for layout in layouts if layout.time is not None), layouts[0] if layouts else None)


def _layout_with(numbered: list[tuple[int, list[str]]], delimiter: str) -> _Layout | None:
    rows = [row for _, row in numbered]
    if not rows or len(rows[0]) < 2:
        return None
    named = _named(rows[0])
    data = rows[1:] if named is not None else rows
    time = named[0] if named is not None else None
    note = named[1] if named is not None else None
    speaker = named[2] if named is not None else None
    header = named is not None
    if time is None:
        time = _time_column(data, 0.6 if header else 0.9, _CLOCK_LIKE if header else _TIME_LIKE)
        if time is None and not header and len(data) > 1 and not re.search("[0-9]", "".join(data[0])):
            # A header of names that are not known.
            time = _time_column(data[1:], 0.9, _CLOCK_LIKE)
            header = time is not None
        if time is None and not header:
            return None
    width = len(rows[0]) if header else max(min(len(row) for row in data), 2)
    if note is None:
        note = _note_column(data[1:] if header and named is None else data, width, {time, speaker})
        if note is None and named is None:
            return None
    return _Layout(delimiter, time, note, speaker, width, header)


def _named(row: Sequence[str]) -> tuple[int | None, int | None, int | None] | None:
    """The columns of time, note and speaker by their heads; None where the row is no header."""
    heads = ["".join(filter(str.isalpha, cell)).lower() for cell in row]

    def first(column: str) -> int | None:
        return next((i for i, head in enumerate(heads) if head in names("columns", column)), None)

    known = (first("time"), first("note"), first("speaker"))
    if any(any(map(str.isdigit, cell)) for cell in row):
        return None
    return known if sum(column is not None for column in known) > 1 else None


def _time_column(rows: Sequence[Sequence[str]], share: float, like: re.Pattern[str]) -> int | None:
    """The first column in which at least ``share`` of the rows have a time."""
    if not rows:
        return None
    for column in range(min(max(map(len, rows)), 8)):
        # Further on, a bare number is more likely a number in a note than a time in seconds.
        form = _CLOCK_LIKE if column else like
        times = sum(
            len(row) > max(column, 1) and form.fullmatch(plain(row[column])) is not None for row in rows
        )
        if times >= share * len(rows):
            return column
    return None


def _note_column(rows: Sequence[Sequence[str]], width: int, taken: set[int | None]) -> int | None:
    """The column with the most letters."""
    letters = {
        column: sum(sum(map(str.isalpha, row[column])) for row in rows if len(row) > column)
        for column in range(width)
        if column not in taken
    }
    best = max(letters, key=lambda column: letters[column], default=None)
    return best if best is not None and letters[best] else None
