"""Typed notes: rows of a time and a note, or of a time and the parts of a note, in any order of columns."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from extract.errors import InputError
from extract.transcript.assemble import assemble
from extract.transcript.bout_clock import NOTICE, Countdown, counted_down, period_number
from extract.transcript.columns import NotesColumn
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import Draft
from extract.transcript.plain import plain
from extract.transcript.row_text import row_text
from extract.transcript.table import CLOCK_LIKE, CellTooLong, Layout, Row, layout_of, rows_of
from extract.transcript.times import TIME_REMEDY, any_seconds, time_problem

_REMEDY = "give a column of times headed time, and one of notes headed note"
#: A note is typed at its own time. It stands for talk at this rate, characters a second, of at least this many
#: seconds.
NOTE_RATE, NOTE_LEAST_S = 12.0, 2.0
_QUOTE_REMEDY = "close each quotation mark in the cell where it opens"


def looks_like_notes(text: str) -> bool:
    """Whether a text is notes: a header with names of columns for notes, or a time and a note in each row."""
    try:
        return layout_of(text) is not None
    except CellTooLong:
        return False


def read_notes(source: SourceText) -> Transcript:
    """The cues of typed notes, one for each row with a note. A cue lasts as long as its note takes to say, but not
    past the next. Times are m:ss, h:mm:ss or seconds.

    A cue's text in the source is the value of its cell, with quoting resolved. If an unquoted note has the delimiter
    in it, it is the cells joined again. If a note is made of several cells, it is their values without blanks at both
    ends, joined by one blank. Whatever the order of the columns, the values come in the order period, clock, athlete,
    code, points, score, notes. Notes come before the score if nothing else says what happened. Words that are added,
    such as "left" after the value of a clock, have the place of their cell.

    Times that count down in each period are those of the bout clock (see ``bout_clock``). A few lines above the table
    are a heading. ``notices`` name the columns that are not used.
    """
    try:
        layout = layout_of(source.text)
        rows = rows_of(source.text, layout.delimiter) if layout is not None else []
    except CellTooLong as error:
        line, said = error.args
        raise source.error(f"a table that cannot be read ({said})", _QUOTE_REMEDY, line) from None
    if layout is None or layout.time is None:
        raise source.error("no time column in the table", _REMEDY, _first_line(source.text))
    if not layout.columns.text:
        raise source.error("no note column in the table", _REMEDY, _first_line(source.text))
    _check_quotes(source, layout, rows)
    table = rows[layout.above + layout.header :]
    times = [_time(source, line, row, layout.time) for line, row in table]
    periods = [row_period(layout, row) for _, row in table]
    heading = "\n".join(" ".join(filter(None, map(str.strip, row))) for _, row in rows[: layout.above])
    notices = unused_columns(layout)
    countdown = counted_down(times, _breaks(periods))
    columns = layout.columns.text
    if countdown is not None:
        notices.append(NOTICE)
        times = list(countdown.times)
        # The times themselves are the bout clock's.
        columns = (*(c for c in columns if c.role == "period"), NotesColumn(layout.time, "clock", ""),
                   *(c for c in columns if c.role not in ("period", "clock")))  # fmt: skip
    elif layout.columns.time is None:
        _refuse_clock(source, layout, table, times)
    elif layout.clock is not None and _counts_up([row for _, row in table], layout.clock, periods):
        notices = unused_columns(layout, f"{layout.heads[layout.clock] or 'clock'} (it counts up)")
        columns = tuple(c for c in columns if c.role != "clock")
    drafts = [
        row_draft(layout, columns, k, line, row, times[k - 1], *in_period(k - 1, periods, countdown))
        for k, (line, row) in enumerate(table, 1)
    ]
    if not any(draft.text.strip() for draft in drafts):
        drafts = []
    return assemble(
        source, "csv", drafts, slowest=NOTE_RATE, least=NOTE_LEAST_S, heading=heading, notices=notices,
        typed=not (len(columns) == 1 and columns[0].role == "note"),
    )  # fmt: skip


def _time(source: SourceText, line: int, row: Sequence[str], place: int) -> float:
    shown = row[place].strip() if len(row) > place else ""
    seconds = any_seconds(shown)
    if seconds is None:
        raise source.error(time_problem(shown) if shown else "a row without a time", TIME_REMEDY, line)
    return seconds


def row_period(layout: Layout, row: Sequence[str]) -> str:
    place = next((c.place for c in layout.columns.text if c.role == "period"), None)
    return row[place].strip() if place is not None and len(row) > place else ""


def _breaks(periods: Sequence[str]) -> frozenset[int]:
    """The places of the rows with which a period begins, as the column of periods has it."""
    named = [(k, cell.lower()) for k, cell in enumerate(periods) if cell]
    return frozenset(k for (_, a), (k, b) in pairwise(named) if a != b)


def in_period(k: int, periods: Sequence[str], countdown: Countdown | None) -> tuple[int | None, bool]:
    """The number of the period of a row, and whether it is the first row in it."""
    named = [cell for cell in periods[: k + 1] if cell]
    if named:
        new = bool(periods[k]) and (len(named) == 1 or named[-2].lower() != named[-1].lower())
        return period_number(named[-1]), new
    if countdown is not None:
        return min(countdown.period_of(k), 7), k in countdown.first
    return None, False


def _counts_up(rows: Sequence[Sequence[str]], clock: int, periods: Sequence[str]) -> bool:
    """Whether the clock shows the time that has passed. It then mostly rises, also within a period."""
    breaks = _breaks(periods)
    shown = [any_seconds(row[clock].strip()) if len(row) > clock else None for row in rows]
    steps = [
        b - a
        for k, (a, b) in enumerate(pairwise(shown), 1)
        if a is not None and b is not None and k not in breaks
    ]
    return sum(step > 0 for step in steps) > sum(step < 0 for step in steps)


def _refuse_clock(source: SourceText, layout: Layout, table: Sequence[Row], times: Sequence[float]) -> None:
    """Refuse times of a bout clock that do not count down, if there are no other times."""
    if any(b < a for a, b in pairwise(times)):
        k = next(k for k, (a, b) in enumerate(pairwise(times), 1) if b < a)
        problem = (
            f"a clock that neither counts down in each period nor up: {times[k - 1]:g} s, then {times[k]:g} s"
        )
        raise source.error(
            problem, "put the rows in order, and head each period in a column of periods", table[k][0]
        )


def unused_columns(layout: Layout, *more: str) -> list[str]:
    unused = [*layout.columns.unused, *more]
    return [f"columns not used: {', '.join(unused)}"] if unused else []


def row_draft(
    layout: Layout, columns: Sequence[NotesColumn], k: int, line: int, row: Sequence[str], start: float,
    period: int | None, new_period: bool,
) -> Draft:  # fmt: skip
    speaker = None
    if layout.columns.speaker is not None and len(row) > layout.columns.speaker:
        speaker = row[layout.columns.speaker].strip() or None
    last = next((c for c in columns if c.role == "note" and c.place == layout.width - 1), None)
    if last is not None and len(row) > layout.width:
        # The delimiter stands in an unquoted note.
        row = [*row[: last.place], layout.delimiter.join(row[last.place :])]
    if len(columns) == 1 and columns[0].role == "note":
        note = row[columns[0].place] if len(row) > columns[0].place else ""
        return Draft(k, line, start, None, note, runs=[(0, len(note), speaker)])
    text, origin = row_text(columns, row, period, new_period=new_period)
    wide = {len(text) - 1: origin[-1] - origin[-2]} if text else {}
    return Draft(k, line, start, None, text, origin[:-1], wide, runs=[(0, len(text), speaker)])


def _first_line(text: str) -> int:
    return text[: len(text) - len(text.lstrip())].count("\n") + 1


def _check_quotes(source: SourceText, layout: Layout, rows: list[Row]) -> None:
    """Refuse a quotation mark that is left open over rows: to the end, or to the next mark that happens to come."""
    assert layout.time is not None
    for line, row in rows:
        start = any_seconds(row[layout.time]) if len(row) > layout.time else None
        for k, cell in enumerate(row):
            first, *more = cell.split("\n")
            # A line that should have ended the cell's own row, or a row after it.
            own = more and k < layout.time and _is_row(layout.delimiter * k + first, layout, None)
            if own or any(_is_row(within, layout, start) for within in more):
                raise _open_quote(source, line, row, k)
    # If a mark is open at the end, it would swallow one more row.
    if rows and "\n" in rows[-1][1][-1].strip():
        line, row = rows[-1]
        rest = "\n".join(source.text.split("\n")[line - 1 :])
        if rows_of(rest + "\nend", layout.delimiter)[-1][1] != ["end"]:
            raise _open_quote(source, line, row, len(row) - 1)


def _is_row(within: str, layout: Layout, start: float | None) -> bool:
    """Whether a line within a cell has a time at the place where rows have one. A bare number may be part of the
    note."""
    assert layout.time is not None
    cells = within.split(layout.delimiter)
    if len(cells) < 2 or len(cells) <= layout.time:
        return False
    shown = plain(cells[layout.time]).strip('"')
    if CLOCK_LIKE.fullmatch(shown):
        return True
    seconds = any_seconds(shown)
    return seconds is not None and start is not None and seconds >= start


def _open_quote(source: SourceText, line: int, row: list[str], k: int) -> InputError:
    line += sum(cell.count("\n") for cell in row[:k])
    return source.error("a quotation mark that is not closed takes in the rows after it", _QUOTE_REMEDY, line)
