"""The rows of a table of notes, and how they are laid out."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from extract.transcript.columns import Columns, Kind, NotesColumn, columns_of, headless, kinds_of
from extract.transcript.plain import plain

TIME_LIKE = re.compile(
    r"[-−+]?[0-9]+(?::[0-9]+){0,2}(?:[.,][0-9]+)?|[-+]?(?:nan|inf|infinity)", re.IGNORECASE
)
#: Without a header that says so, only a column of these is one of times: a bare number may be anything.
CLOCK_LIKE = re.compile(r"[-−]?[0-9]+(?::[0-9]+){1,2}(?:[.,][0-9]+)?")
_DELIMITERS = "\t;,|"
_SAMPLE = 40
#: No more than this many lines may stand above the table: a title, a date, who wrestles.
_TITLE_LINES = 6
#: The limit of the csv module. Its own holds for the whole process, and any library may have lifted it.
_LONGEST_CELL = 131_072
_BARE_COMMA = re.compile(",")
#: In these the rows of a table without times tell of a bout.
_TOLD = frozenset({"action", "points", "score", "side", "running"})

Row = tuple[int, list[str]]


class CellTooLong(Exception):
    """A cell passes the limit of the csv module; ``args`` is the line of its row and what the module said."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How the rows are read: their delimiter, the columns and how many a row has, whether the first row is a header,
    and how many lines stand above the table."""

    delimiter: str
    columns: Columns
    width: int
    header: bool
    above: int = 0
    heads: tuple[str, ...] = field(default=())

    @property
    def time(self) -> int | None:
        """The column of times of the recording or, where there is none, of the bout clock."""
        return self.columns.time if self.columns.time is not None else self.clock

    @property
    def clock(self) -> int | None:
        """The column of the bout clock."""
        return next((c.place for c in self.columns.text if c.role == "clock"), None)

    @property
    def note(self) -> int | None:
        """The one column that has the text of a note. None if the text is made of several columns, or there is
        none."""
        text = self.columns.text
        return text[0].place if len(text) == 1 and text[0].role == "note" else None


def rows_of(text: str, delimiter: str) -> list[Row]:
    """The rows that have anything in them, each with the number of its first line. Raises CellTooLong."""
    reader = csv.reader([line + "\n" for line in text.split("\n")], delimiter=delimiter)
    rows = []
    line = 1
    try:
        for row in reader:
            if max(map(len, row), default=0) > _LONGEST_CELL:
                raise CellTooLong(line, f"a cell of more than {_LONGEST_CELL:,} characters")
            if any(cell.strip() for cell in row):
                rows.append((line, row))
            line = reader.line_num + 1
    except csv.Error as error:
        raise CellTooLong(line, str(error)) from None
    return rows


def layout_of(text: str) -> Layout | None:
    """How the table is laid out, from its first rows. None if it is not one of times and notes. Raises
    CellTooLong."""
    sample = "\n".join(text.lstrip("\n").split("\n", _SAMPLE)[:_SAMPLE])
    found = [_layout(rows_of(sample, mark), mark) for mark in _DELIMITERS if mark in sample]
    layouts = [layout for layout in found if layout is not None]
    return next((layout for layout in layouts if layout.time is not None), layouts[0] if layouts else None)


def order_layout(text: str) -> Layout | None:
    """How a table without times is laid out whose rows tell of a bout: who did what, or what the score is. None if it is
    none, or has times. Raises CellTooLong."""
    known = layout_of(text)
    if known is not None and known.time is not None:
        return None
    sample = "\n".join(text.lstrip("\n").split("\n", _SAMPLE)[:_SAMPLE])
    found = (_untimed(rows_of(sample, mark), mark) for mark in _DELIMITERS if mark in sample)
    return next((layout for layout in found if layout is not None), None)


def is_table(text: str) -> bool:
    """Whether all lines of a text have the same number of cells, more than one, as no talk has."""
    lines = [line for line in text.split("\n") if line.strip()][:_SAMPLE]
    if len(lines) < 2:
        return False
    counts = [{line.count(mark) for line in lines} for mark in _DELIMITERS if mark != ","]
    # A comma in talk has a blank behind it.
    counts.append({len(_BARE_COMMA.findall(line)) if ", " not in line else -1 for line in lines})
    return any(len(count) == 1 and count.pop() > 0 for count in counts)


def _untimed(numbered: Sequence[Row], delimiter: str) -> Layout | None:
    rows = [row for _, row in numbered]
    above = 0
    while above < min(_TITLE_LINES, len(rows)) and sum(bool(cell.strip()) for cell in rows[above]) < 2:
        above += 1
    rows = rows[above:]
    if len(rows) < 2 or len(rows[0]) < 2:
        return None
    heads = rows[0]
    if not any(any(map(str.isdigit, cell)) for cell in heads):
        kinds = kinds_of(heads)
        columns = columns_of(heads, kinds, rows[1:])
        sides = [c.place for c in columns.text if c.role == "side"]
        if any(not _has_figures([row[place] for row in rows[1:] if len(row) > place]) for place in sides):
            # The names of those who wrestle, as in a list of bouts.
            return None
        named = len(set(kinds) - {None, "time", "speaker", "note"})
        if named > 1 and _TOLD & {c.role for c in columns.text}:
            return Layout(delimiter, columns, len(heads), True, above, tuple(heads))
        return None
    width = len(rows[0])
    # In talk a mark has a blank behind it.
    if any(len(row) != width for row in rows) or any(cell[:1] == " " for row in rows for cell in row[1:]):
        return None
    text = headless(width, -1, rows)
    # Without heads the cells alone have to say who did what.
    roles = {c.role for c in text}
    if "who" in roles and roles & {"action", "points", "score"}:
        return Layout(delimiter, Columns(None, None, text), width, False, above)
    return None


def _has_figures(cells: Sequence[str]) -> bool:
    """Whether most of the filled cells have a figure."""
    filled = [cell for cell in cells if cell.strip()]
    return 2 * sum(any(map(str.isdigit, cell)) for cell in filled) > len(filled)


def _layout(numbered: Sequence[Row], delimiter: str) -> Layout | None:
    rows = [row for _, row in numbered]
    above = 0
    while above < min(_TITLE_LINES, len(rows)) and sum(bool(cell.strip()) for cell in rows[above]) < 2:
        above += 1
    rows = rows[above:]
    if len(rows) < (1 if not above else 2) or len(rows[0]) < 2:
        return None
    return _headed(rows, delimiter, above) or _headless(rows, delimiter, above)


def _headed(rows: Sequence[Sequence[str]], delimiter: str, above: int) -> Layout | None:
    """The layout of a table whose first row has known names of columns."""
    heads, data = rows[0], rows[1:]
    if any(any(map(str.isdigit, cell)) for cell in heads):
        return None
    kinds = kinds_of(heads)
    known = len(set(kinds) - {None})
    if known > 1 and not {"time", "clock"} & set(kinds):
        place = _time_column(data, 0.6, CLOCK_LIKE)
        if place is not None:
            kinds[place] = "time"
    if sum(kind in ("time", "note", "speaker") for kind in set(kinds)) < 2 and (
        known < 2 or not {"time", "clock"} & set(kinds)
    ):
        return None
    columns = columns_of(heads, kinds, data)
    return Layout(delimiter, columns, len(heads), True, above, tuple(heads))


def _headless(rows: Sequence[Sequence[str]], delimiter: str, above: int) -> Layout | None:
    if len(rows) > 1 and not re.search("[0-9]", "".join(rows[0])):
        # A header of unknown names.
        time = _time_column(rows[1:], 0.9, CLOCK_LIKE)
        if time is not None:
            heads = rows[0]
            kinds: list[Kind | None] = ["time" if place == time else None for place in range(len(heads))]
            columns = columns_of(heads, kinds, rows[1:])
            return Layout(delimiter, columns, len(heads), True, above, tuple(heads)) if columns.text else None
    time = _time_column(rows, 0.9, TIME_LIKE)
    if time is None:
        return None
    width = max(min(len(row) for row in rows), 2)
    # Cells beyond the number that all rows have belong to an unquoted note.
    text: tuple[NotesColumn, ...] = ()
    if all(len(row) == width for row in rows) and width > 2:
        text = headless(width, time, rows)
    elif (column := _most_letters(rows, width, time)) is not None:
        text = (NotesColumn(column, "note", ""),)
    return Layout(delimiter, Columns(time, None, text), width, False, above) if text else None


def _time_column(rows: Sequence[Sequence[str]], share: float, like: re.Pattern[str]) -> int | None:
    """The first column in which at least ``share`` of the rows have a time."""
    if not rows:
        return None
    for column in range(min(max(map(len, rows)), 8)):
        # Further on, a bare number is more likely a number in a note than a time in seconds.
        form = CLOCK_LIKE if column else like
        times = sum(
            len(row) > max(column, 1) and form.fullmatch(plain(row[column])) is not None for row in rows
        )
        if times >= share * len(rows):
            return column
    return None


def _most_letters(rows: Sequence[Sequence[str]], width: int, time: int) -> int | None:
    """The column with the most letters."""
    letters = {
        column: sum(sum(map(str.isalpha, row[column])) for row in rows if len(row) > column)
        for column in range(width)
        if column != time
    }
    best = max(letters, key=lambda column: letters[column], default=None)
    return best if best is not None and letters[best] else None
