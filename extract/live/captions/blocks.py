"""WebVTT and SubRip as they come: blocks under a timing line."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import ClassVar

from extract.errors import InputError
from extract.live.captions.model import Broken, Kind, Piece, Splitter
from extract.transcript.captions import is_timing, read_timing
from extract.transcript.cue import Transcript
from extract.transcript.decode import WEBVTT, SourceText
from extract.transcript.subrip import number_above, read_subrip
from extract.transcript.times import clock_seconds
from extract.transcript.webvtt import read_webvtt

#: The most characters of one block.
_LONGEST = 65_536
_TIME = re.compile(r"[0-9]+(?::[0-9]{1,2}){1,2}(?:[.,][0-9]+)?")
_INNER = re.compile(rf"(?<=<){_TIME.pattern}(?=>)")


class Blocks(Splitter):
    """A caption is whole at the blank line after its text, at the next timing line, or at the end."""

    def __init__(self, name: str, broken: Broken, header: str = "", *, resumed: bool = False) -> None:
        super().__init__(name, broken, header, resumed=resumed)
        self._lead = ""
        # The lines from the timing line on, or all lines where none has come yet.
        self._lines: list[str] = []
        self._size = 0
        self._timed = False
        self._given = 0
        self._number: int | None = None
        self._id: str | None = None
        self._tail = ""
        self._again = False

    def take(self, line: str) -> list[Piece]:
        if self._comes_again(line):
            return []
        if is_timing(line) or self._opens(line):
            return self._turn(line)
        self._size += len(line) + 1
        if self._size > _LONGEST and line.strip():
            if self._size - len(line) - 1 <= _LONGEST:
                self.broken(f"A caption of more than {_LONGEST:,} characters is cut there.")
            return []
        self._lines.append(line)
        return self._caption() if self._timed and not self._given and self._is_whole(line) else []

    def end(self) -> list[Piece]:
        pieces, rest = self._close(len(self._lines)) if self._timed else ([], "")
        self._tail, self._lines, self._timed = rest, [], False
        return pieces

    @property
    def tail(self) -> str:
        return self._tail

    def anew(self) -> list[Piece]:
        pieces, _ = self._close(len(self._lines)) if self._timed else ([], "")
        self._lead, self._lines, self._timed, self._given, self._size = "", [], False, 0, 0
        self._number, self.resumed = None, True
        return pieces

    def moved(self, piece: Piece, by: float) -> Piece:
        def later(match: re.Match[str]) -> str:
            seconds = clock_seconds(match[0])
            return match[0] if seconds is None else self._written(max(seconds + by, 0.0))

        lines = piece.raw.split("\n")
        at = next(i for i, line in enumerate(lines) if "-->" in line)
        lines[at] = _TIME.sub(later, lines[at], count=2)
        lines[at + 1 :] = [_INNER.sub(later, line) for line in lines[at + 1 :]]
        end = None if piece.end is None else piece.end + by
        return replace(piece, start=piece.start + by, end=end, raw="\n".join(lines))

    def _written(self, seconds: float) -> str:
        thousandths = round(seconds * 1000)
        whole = thousandths // 1000
        point = "." if self.kind == "vtt" else ","
        return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}{point}{thousandths % 1000:03d}"

    def _comes_again(self, line: str) -> bool:
        """Whether a line belongs to a header that comes again."""
        if self.resumed and not self._timed and line.startswith(WEBVTT):
            self._again = True
        elif self._again and (not line.strip() or is_timing(line)):
            self._again = False
            return not line.strip()
        return self._again

    def _opens(self, line: str) -> bool:
        """Whether a line has an arrow and stands where a timing line must. Its times are broken then."""
        return "-->" in line and (not self._lines or not self._lines[-1].strip())

    def _turn(self, timing: str) -> list[Piece]:
        """The caption that ends because the next one begins."""
        lines = [*self._lines, timing]
        cut = self._cut(lines)
        pieces: list[Piece] = []
        if self._timed:
            pieces, rest = self._close(cut)
        else:
            rest = "".join(line + "\n" for line in lines[:cut])
            if not self.resumed:
                self.header, rest = self.header + rest, ""
        above = lines[cut:-1]
        self._id = next((line.strip() for line in above if line.strip()), None)
        self._lead = rest + "".join(line + "\n" for line in above)
        self._lines, self._timed, self._given, self._size = [timing], True, 0, len(timing)
        return pieces

    def _close(self, stop: int) -> tuple[list[Piece], str]:
        """What is still to be given of the caption that ends before the line ``stop``, and the lines of it that belong
        to none."""
        rest = self._lines[self._given : stop]
        if not self._given or self._goes_on(rest):
            self._lines = self._lines[:stop]
            return self._caption(), ""
        return [], "".join(line + "\n" for line in rest)

    def _caption(self) -> list[Piece]:
        if not self._given:
            self.serial += 1
        self._given = len(self._lines)
        raw = self._lead + "".join(line + "\n" for line in self._lines)
        try:
            start, end = read_timing(self.source(""), self._lines[0], 1)
        except InputError as error:
            self.broken(f"A caption is left out: {error.problem}.")
            return []
        shown = self.shown(raw)
        return [Piece(self.serial - 1, start, end, *shown, raw, self._id)] if shown is not None else []

    def _is_whole(self, line: str) -> bool:
        return not line.strip() and any(map(str.strip, self._lines[1:]))

    def _goes_on(self, lines: list[str]) -> bool:
        """Whether a caption's text goes on in lines after a blank one."""
        raise NotImplementedError

    def _cut(self, lines: list[str]) -> int:
        """The line with which the caption begins whose timing line is the last of these lines."""
        raise NotImplementedError


class SubRip(Blocks):
    """SubRip. Blank lines may stand in a caption."""

    kind: ClassVar[Kind] = "srt"

    def read(self, source: SourceText) -> Transcript:
        return read_subrip(source)

    def _goes_on(self, lines: list[str]) -> bool:
        return any(map(str.strip, lines))

    def _cut(self, lines: list[str]) -> int:
        before = 0 if self._timed else -1
        number, cut = number_above(lines, len(lines) - 1, before, self._number)
        self._number = number if number is not None else self._number
        return cut


class WebVtt(Blocks):
    """WebVTT. What stands between the blank line after a caption and the next one is a note or an identifier."""

    kind: ClassVar[Kind] = "vtt"

    @property
    def short_header(self) -> str:
        return self.header or f"{WEBVTT}\n\n"

    def read(self, source: SourceText) -> Transcript:
        return read_webvtt(source)

    def _is_whole(self, line: str) -> bool:
        return not line and super()._is_whole(line)

    def _goes_on(self, lines: list[str]) -> bool:
        return False

    def _cut(self, lines: list[str]) -> int:
        above = len(lines) - 2
        first = above == 0 and not self._timed
        named = (
            above >= 0
            and lines[above].strip()
            and not lines[above].startswith((WEBVTT, "NOTE", "STYLE", "REGION"))
        )
        apart = first or (above > 0 and not lines[above - 1].strip())
        return above if named and apart else above + 1
