"""Tables of notes without times: the rows in the order in which things happened, or newest first."""

from __future__ import annotations

import re

from extract.transcript.bout_clock import period_number
from extract.transcript.by_order import Entry, ordered
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.draft import Draft
from extract.transcript.newest import EntrySigns, is_newest_first, turned
from extract.transcript.notes import in_period, row_draft, row_period, unused_columns
from extract.transcript.plain import plain
from extract.transcript.table import CellTooLong, Layout, order_layout, rows_of
from extract.transcript.times import clock_seconds

_FIGURES = re.compile("[0-9]{1,2}")


def is_notes_by_order(text: str) -> bool:
    """Whether a text is a table without times whose columns tell of a bout."""
    try:
        return order_layout(text) is not None
    except CellTooLong:
        return False


def read_notes_by_order(source: SourceText) -> Transcript:
    """The cues of such a table, one for each row that tells anything, in order of what happened. The text of a row is made
    as for notes with times (see ``read_notes``). The times are made up (see ``Order``)."""
    layout = order_layout(source.text)
    if layout is None:
        raise source.error("no columns that tell of a bout", "head them who, action, points and score", 1)
    rows = rows_of(source.text, layout.delimiter)
    above = [
        Entry(line, " ".join(filter(None, map(str.strip, row))), title=True)
        for line, row in rows[: layout.above]
    ]
    table = [Entry(line, "") for line, _ in rows[layout.above + layout.header :]]
    cells = {
        entry.line: row for entry, (_, row) in zip(table, rows[layout.above + layout.header :], strict=True)
    }
    signs = [_signs(layout, cells[entry.line]) for entry in table]
    newest = is_newest_first(signs)
    if newest:
        table = turned(table, signs)
    periods = [row_period(layout, cells[entry.line]) for entry in table]
    drafts = [
        row_draft(
            layout,
            layout.columns.text,
            k + 1,
            entry.line,
            cells[entry.line],
            0.0,
            *in_period(k, periods, None),
        )
        for k, entry in enumerate(table)
    ]
    for entry, draft in zip(table, drafts, strict=True):
        entry.text = draft.text
    heads = [_heading(entry) for entry in above]
    return ordered(
        source,
        [*above, *table],
        [*heads, *drafts],
        newest_first=newest,
        table=True,
        notices=unused_columns(layout),
    )


def _heading(entry: Entry) -> Draft:
    return Draft(0, entry.line, 0.0, None, entry.text)


def _signs(layout: Layout, row: list[str]) -> EntrySigns:
    """What of a row shows where in the table it belongs."""
    shown = {c.role: plain(row[c.place]) for c in layout.columns.text if len(row) > c.place}
    running = [plain(row[c.place]) for c in layout.columns.text if c.role == "running" and len(row) > c.place]
    figures = [int(n) for n in _FIGURES.findall(" ".join(running) or shown.get("score", ""))]
    return EntrySigns(
        number=period_number(shown["period"]) if shown.get("period") else None,
        clock=clock_seconds(shown["clock"]) if shown.get("clock") else None,
        score=sum(figures) if len(figures) == 2 else None,
    )
