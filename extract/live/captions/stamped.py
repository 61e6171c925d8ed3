"""Plain lines as they come: after a time, or stamped with the time at which they come."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import ClassVar

from extract.errors import InputError
from extract.live.captions.model import Broken, Kind, Piece, Splitter
from extract.transcript.cue import Transcript
from extract.transcript.decode import SourceText
from extract.transcript.paragraphs import read_paragraphs, stamp_match, stamp_style, title_of
from extract.transcript.times import clock_seconds

#: The most characters of a paragraph.
_LONGEST = 65_536
#: How ``Arrivals`` stamps a line.
_OWN_STAMP = re.compile(r"\[[0-9]+(?::[0-9]{2}){1,2}\.[0-9]{2}\] ")


def stamp_text(seconds: float, places: int) -> str:
    """A time as a stamp has it: m:ss, h:mm:ss from an hour on, with so many decimal places."""
    parts = round(seconds * 10**places)
    whole, rest = divmod(parts, 10**places)
    shown = f"{whole // 60}:{whole % 60:02d}"
    if whole >= 3600:
        shown = f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"
    return f"{shown}.{rest:0{places}d}" if places else shown


class Stamped(Splitter):
    """A line is a caption, with the lines without a time under it."""

    kind: ClassVar[Kind] = "block"

    def __init__(self, name: str, broken: Broken, header: str = "", *, resumed: bool = False) -> None:
        super().__init__(name, broken, header, resumed=resumed)
        self._style: str | None = None
        self._raw = ""
        # Blank lines after the caption, or all lines where none has a time yet.
        self._between = ""
        self._start: float | None = None

    @property
    def short_header(self) -> str:
        return ""

    def take(self, line: str) -> list[Piece]:
        if self._style is None:
            self._style = stamp_style(line)
        match = stamp_match(line, self._style) if self._style is not None else None
        if match is not None:
            return self._begin(line, match)
        if self._start is None or not line.strip():
            if len(self._between) + len(line) < _LONGEST:
                self._between += line + "\n"
            return []
        if len(self._raw) + len(line) > _LONGEST:
            self.broken(f"A paragraph of more than {_LONGEST:,} characters is cut there.")
            return []
        # A line without a time goes on with what was said before.
        before = self._raw
        self._raw, self._between = self._raw + self._between + line + "\n", ""
        pieces = self._piece()
        if not pieces:
            self._raw = before
        return pieces

    def _begin(self, line: str, match: re.Match[str]) -> list[Piece]:
        self._start, lead = clock_seconds(match[1]), self._between
        self._between = ""
        if not self.serial and not self.resumed and not self.header:
            self.header, lead = self._title(lead), ""
        self._raw = lead + line + "\n"
        self.serial += 1
        return self._piece()

    def _piece(self) -> list[Piece]:
        shown = self.shown(self._raw)
        if self._start is None or shown is None:
            return []
        return [Piece(self.serial - 1, self._start, None, *shown, self._raw)]

    def _title(self, lines: str) -> str:
        """The lines above the first time, if they are few and short enough for a heading."""
        try:
            title_of(self.source(""), lines.split("\n"))
        except InputError:
            self.broken("The lines before the first time are left out.")
            return ""
        return lines

    def end(self) -> list[Piece]:
        return []

    @property
    def tail(self) -> str:
        return self._between if self._start is not None else ""

    def anew(self) -> list[Piece]:
        self._between, self._start, self.resumed = "", None, True
        return []

    def moved(self, piece: Piece, by: float) -> Piece:
        lines = piece.raw.split("\n")
        style = self._style or ""
        for i, line in enumerate(lines):
            match = stamp_match(line, style)
            if match is not None:
                places = len(re.split("[.,]", match[1])[1]) if re.search("[.,]", match[1]) else 0
                lines[i] = (
                    line[: match.start(1)] + stamp_text(piece.start + by, places) + line[match.end(1) :]
                )
                break
        return replace(piece, start=piece.start + by, raw="\n".join(lines))

    def read(self, source: SourceText) -> Transcript:
        return read_paragraphs(source)


class Arrivals(Splitter):
    """A line is a caption, said at the time when it comes: ``now()`` seconds from the beginning. ``known`` are lines that
    were kept; they are left out where they come again from the first on."""

    kind: ClassVar[Kind] = "plain"

    def __init__(
        self, name: str, broken: Broken, now: Callable[[], float], known: Sequence[str] = ()
    ) -> None:
        super().__init__(name, broken, resumed=bool(known))
        self._now = now
        self._known = list(known)
        self._again: list[str] = []

    def take(self, line: str) -> list[Piece]:
        line = line.strip()
        if not line:
            return []
        if self._known and self._known[len(self._again)] == line:
            self._again.append(line)
            if len(self._again) == len(self._known):
                self._known, self._again = [], []
            return []
        held, self._known, self._again = [*self._again, line], [], []
        return [piece for text in held for piece in self._piece(text)]

    def _piece(self, line: str) -> list[Piece]:
        start = round(self._now(), 2)
        raw = f"[{stamp_text(start, 2)}] {line}\n"
        shown = self.shown(raw)
        if shown is None:
            return []
        self.serial += 1
        return [Piece(self.serial - 1, start, None, *shown, raw)]

    def end(self) -> list[Piece]:
        return [piece for text in self._again for piece in self._piece(text)] if self.serial else []

    def anew(self) -> list[Piece]:
        return []

    def moved(self, piece: Piece, by: float) -> Piece:
        raise AssertionError("the times are our own")

    def read(self, source: SourceText) -> Transcript:
        return read_paragraphs(source)


def said_on_arrival(raw: str) -> str | None:
    """The line that ``Arrivals`` stamped. None if the stamp is none of its own."""
    match = _OWN_STAMP.match(raw)
    return raw[match.end() :].strip() if match is not None else None
