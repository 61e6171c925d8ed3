"""Tables of notes as they come: a row a note."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import ClassVar

from extract.live.captions.model import Broken, Kind, Piece, Splitter
from extract.live.captions.stamped import stamp_text
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.notes import read_notes
from extract.transcript.table import CellTooLong, Layout, layout_of, rows_of
from extract.transcript.times import any_seconds, shorten

#: The most lines of one row.
_MOST_LINES = 12


class Rows(Splitter):
    """A row is a caption. ``head`` are the first lines, which say how the table is laid out."""

    kind: ClassVar[Kind] = "csv"

    def __init__(
        self, name: str, broken: Broken, head: str, header: str = "", *, resumed: bool = False
    ) -> None:
        super().__init__(name, broken, header, resumed=resumed)
        layout = layout_of(head)
        assert layout is not None
        self._layout: Layout = layout
        self.ordered = layout.columns.time is not None
        self._heads = 0 if resumed else layout.above + layout.header
        self._header_lines = frozenset(filter(None, map(str.strip, header.split("\n"))))
        self._lead = ""
        self._open: list[str] = []

    def take(self, line: str) -> list[Piece]:
        if not self._open and not line.strip():
            self._lead += "\n" if len(self._lead) < _MOST_LINES else ""
            return []
        if self.resumed and line.strip() in self._header_lines:
            return []
        self._open.append(line)
        row = self._row("\n".join(self._open))
        if row is None and len(self._open) < _MOST_LINES:
            return []
        if row is None:
            # The quotation mark that was never closed is in the first of the lines.
            self.broken("A row is left out: a quotation mark in it is not closed.")
            lines, self._open = self._open[1:], []
            return [piece for again in lines for piece in self.take(again)]
        raw, self._open, self._lead = self._lead + "\n".join(self._open) + "\n", [], ""
        if self._heads:
            self._heads -= 1
            self.header += raw
            self._header_lines |= {line.strip() for line in raw.split("\n") if line.strip()}
            return []
        return self._piece(row, raw)

    def _row(self, text: str) -> list[str] | None:
        """The cells of a row. None if a quotation mark in it is still open."""
        try:
            rows = rows_of(text + "\nend", self._layout.delimiter)
        except CellTooLong:
            return None
        return rows[0][1] if rows[-1][1] == ["end"] and len(rows) > 1 else None

    def _piece(self, row: list[str], raw: str) -> list[Piece]:
        time = self._layout.time
        shown = row[time].strip() if time is not None and len(row) > time else ""
        start = any_seconds(shown)
        if start is None:
            self.broken(
                f"A row is left out: {'no time in it' if not shown else 'broken time ' + shorten(shown)}."
            )
            return []
        cells = [row[c.place].strip() for c in self._layout.columns.text if c.place < len(row)]
        speaker = self._layout.columns.speaker
        who = row[speaker].strip() or None if speaker is not None and len(row) > speaker else None
        self.serial += 1
        return [Piece(self.serial - 1, start, None, " ".join(filter(None, cells)), who, raw)]

    def end(self) -> list[Piece]:
        if self._open:
            self.broken("The last row is left out: a quotation mark in it is not closed.")
        self._open = []
        return []

    @property
    def tail(self) -> str:
        return self._lead

    def anew(self) -> list[Piece]:
        self._open, self._lead, self.resumed = [], "", True
        return []

    def moved(self, piece: Piece, by: float) -> Piece:
        row = self._row(piece.raw.strip("\n"))
        time = self._layout.time
        assert row is not None
        assert time is not None
        seconds, clock = piece.start + by, ":" in row[time]
        row[time] = stamp_text(seconds, 0) if clock else f"{seconds:g}"
        out = io.StringIO()
        csv.writer(out, delimiter=self._layout.delimiter, lineterminator="\n").writerow(row)
        return replace(piece, start=seconds, raw=out.getvalue())

    def read(self, source: SourceText) -> Transcript:
        return read_notes(source)
