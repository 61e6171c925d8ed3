"""The captions of a stream as they come: from its bytes to the transcript so far."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from extract.checks.words import clock_text
from extract.errors import InputError
from extract.live.captions import Kind, Piece, Splitter
from extract.live.captions.model import NO_TEXT
from extract.live.captions.opening import going_on, kind_of, may_be_talk, splitter_for
from extract.live.kept import Kept
from extract.live.lines import Lines
from extract.live.model import Notice, StreamState
from extract.live.sources import Source
from extract.live.timeline import Timeline
from extract.transcript.binary import program_file
from extract.transcript.cue import Format, Transcript
from extract.transcript.decode import read_bytes
from extract.transcript.read import transcript_in
from extract.transcript.spacing import single_spaced

#: A stream stalls after this many seconds without a byte.
STALL_S = 20.0
#: This many bytes show that a file is another program's.
_MAGIC = 16
#: Nobody says how long a caption without an end lasts: as long as its text takes at so many characters a second.
_RATE = 15.0
#: A notice of something broken is told this many times, and then only when there are twice as many.
_BROKEN_TOLD = 3
_FORMATS: dict[Kind, Format] = {
    "json": "asr",
    "plain": "block",
    "vtt": "vtt",
    "srt": "srt",
    "block": "block",
    "csv": "csv",
}


@dataclass(frozen=True, slots=True)
class LiveCaption:
    """A caption of the stream. ``number`` counts from 1 and is the index of its cue in the transcript. ``start`` and
    ``end`` are seconds of the recording; the end is estimated where the stream gives none. ``raw`` is the caption as the
    transcript has it. A caption that is not ``closed`` may still be rewritten, as recognisers do with their last one."""

    number: int
    start: float
    end: float
    text: str
    speaker: str | None
    raw: str
    closed: bool


class Feed:
    """The captions of one stream, in order. ``name`` is what messages call it. ``clock`` gives seconds that only rise.
    The captions are kept in the file ``kept`` as they come.

    ``captions`` are those that are whole. ``first_changed`` is the lowest position that the last ``take``, ``anew`` or
    ``close`` changed; the number of captions if it changed none. ``notices`` are told once each, in order.
    """

    def __init__(
        self,
        name: str,
        clock: Callable[[], float] = time.monotonic,
        kept: Path | None = None,
        *,
        stall_s: float = STALL_S,
    ) -> None:
        self.name = name
        self.state: StreamState = "waiting"
        self.captions: list[LiveCaption] = []
        self.notices: list[Notice] = []
        self.first_changed = 0
        self._clock = clock
        self._stall_s = stall_s
        self._kept = Kept(kept, lambda said: self._tell("kept", self._timeline.now, said)) if kept else None
        self._lines = Lines(self._broken)
        self._splitter: Splitter | None = None
        self._timeline = Timeline(self._tell, self._moved)
        # The first lines, while their format is not known.
        self._opening: list[str] | None = []
        self._resumed = False
        self._magic: bytes | None = b""
        self._hash = hashlib.sha256()
        self._came = clock()
        self._began = self._came
        self._broken_count = 0

    @classmethod
    def resume(
        cls, kept: Path, name: str | None = None, clock: Callable[[], float] = time.monotonic, *,
        stall_s: float = STALL_S,
    ) -> Self:  # fmt: skip
        """A feed that goes on after the captions kept in a file, and keeps its own there, too. A caption that was not yet
        whole there is dropped. Without such a file the feed begins. Raises InputError if the file is none of captions."""
        feed = cls(name or kept.name, clock, kept, stall_s=stall_s)
        if not kept.exists() or not kept.stat().st_size:
            return feed
        before = cls(str(kept), clock)
        before.take(read_bytes(kept))
        if before._splitter is None or not before.captions:
            return feed
        feed._resume(before)
        return feed

    def _resume(self, before: Feed) -> None:
        assert before._splitter is not None
        self._splitter = before._splitter
        self._splitter.name = self.name
        self._timeline.ordered = before._timeline.ordered
        self._timeline.resume(before._timeline.pieces)
        self._timeline.as_came = False
        self._resumed = True
        self._opening = None
        self._began = self._clock() - self._timeline.now
        count, last = len(self._timeline.pieces), clock_text(self._timeline.now)
        self._tell(
            "kept",
            self._timeline.now,
            f"Goes on after {count} captions that were kept; the last is at {last}.",
        )
        self._refresh()

    @property
    def format(self) -> Format | None:
        """The format of the transcript, once it is known."""
        return _FORMATS[self._splitter.kind] if self._splitter is not None else None

    def take(self, data: bytes) -> bool:
        """Take in bytes of the stream; none if none have come for a while. Whether captions changed. Raises InputError for
        a format that cannot be read as it comes, and for what is no text."""
        if not data:
            self._check_stall()
            self.first_changed = len(self.captions)
            return False
        self._check_file(data)
        self._hash.update(data)
        now = self._clock()
        if self.state == "stalled":
            for_s = clock_text(now - self._came)
            self._tell("resumed", self._timeline.now, f"The stream goes on after {for_s} without a caption.")
        self._came, self.state = now, "running"
        self._timeline.first_changed = len(self.captions)
        for line in self._lines.take(data):
            self._line(line)
        return self._refresh()

    def anew(self, kind: str = "restarted", said: str = "The stream began again.") -> bool:
        """The bytes begin again: the line that was begun is dropped. ``said`` is told. Whether captions changed."""
        self._timeline.first_changed = len(self.captions)
        self._lines.anew()
        self._timeline.as_came = False
        if self._splitter is not None:
            self._add(self._splitter.anew())
            self._timeline.anew()
        self._tell(kind, self._timeline.now, said)
        return self._refresh()

    def close(self) -> bool:
        """The stream is over. Whether captions changed. Raises InputError as ``take``."""
        self._timeline.first_changed = len(self.captions)
        if self.state == "ended":
            return False
        for line in self._lines.end():
            self._line(line)
        if self._opening is not None:
            self._open(ended=True)
        if self._splitter is not None:
            self._add(self._splitter.end())
        self.state = "ended"
        changed = self._refresh()
        if self._kept is not None:
            self._kept.close()
        return changed

    def pull(self, source: Source, timeout_s: float) -> bool | None:
        """Read from a source and take in what came, with what there is to tell of it. None if it is over and this is
        closed, else whether captions changed. Raises InputError as ``take``."""
        data = source.read(timeout_s)
        first = len(self.captions)
        for news in source.news():
            if news.anew:
                self.anew(news.kind, news.text)
                first = min(first, self.first_changed)
            else:
                self._tell(news.kind, self._timeline.now, news.text)
        changed = self.close() if data is None else self.take(data)
        self.first_changed = min(first, self.first_changed)
        return None if data is None else changed or first < len(self.captions)

    def text(self, first: int = 0, last: int | None = None) -> str:
        """A transcript file in the stream's own format of the captions from the position ``first`` on, to before ``last``
        (None: all)."""
        if self._splitter is None:
            return ""
        header = self._splitter.short_header if first else self._splitter.header
        return (
            header + "".join(piece.raw for piece in self._timeline.pieces[first:last]) + self._splitter.tail
        )

    def index_of(self, position: int, first: int = 0) -> int:
        """The index that the cue of the caption at a position has in ``transcript(first)``."""
        return position - first + 1

    def transcript(self, first: int = 0, last: int | None = None) -> Transcript:
        """The transcript of the captions from the position ``first`` on, to before ``last`` (None: all). Once the stream is
        over it is what the finished file says. It has no cues if nothing was said yet."""
        name = Path(self.name).name
        while self._splitter is not None and len(self._timeline.pieces[:last]) > first:
            text = self.text(first, last)
            digest = self._hash if self._timeline.as_came and not first else hashlib.sha256(text.encode())
            source = self._splitter.source(text, digest.copy().hexdigest())
            try:
                if self.state == "ended":
                    return transcript_in(source)
                return self._splitter.read(single_spaced(source))
            except InputError as error:
                if error.problem == NO_TEXT or not self._leave_out(first, error):
                    break
        return Transcript(name, self.format or "block", self._hash.copy().hexdigest(), ())

    def _leave_out(self, first: int, error: InputError) -> bool:
        """Leave out the caption that no reader can read where it stands. Whether there is one."""
        assert self._splitter is not None
        line = (self._splitter.short_header if first else self._splitter.header).count("\n") + 1
        pieces = self._timeline.pieces
        at = first
        while (
            at < len(pieces) - 1
            and error.line is not None
            and line + pieces[at].raw.count("\n") <= error.line
        ):
            line += pieces[at].raw.count("\n")
            at += 1
        if at >= len(pieces):
            return False
        self._broken(f"The caption at {clock_text(pieces[at].start)} is left out: {error.problem}.")
        self._timeline.first_changed = len(self.captions)
        self._timeline.remove(at if error.line is not None else len(pieces) - 1)
        self._refresh()
        return True

    def _check_file(self, data: bytes) -> None:
        if self._magic is None:
            return
        self._magic += data[:_MAGIC]
        made = program_file(self._magic)
        if made is not None:
            raise InputError(self.name, f"is {made[0]}, no text", made[1])
        if len(self._magic) >= _MAGIC:
            self._magic = None

    def _check_stall(self) -> None:
        for_s = self._clock() - self._came
        if self.state == "running" and for_s >= self._stall_s:
            self.state = "stalled"
            self._tell("stalled", self._timeline.now, f"Nothing has come for {for_s:.0f} seconds.")

    def _line(self, line: str) -> None:
        if self._resumed and line.strip():
            assert self._splitter is not None
            self._splitter = going_on(self._splitter, self._timeline.pieces, line, self._broken, self._now)
            self._splitter.serial = len(self._timeline.pieces)
            self._resumed = False
        if self._opening is not None:
            self._opening.append(line)
            self._open()
        elif self._splitter is not None:
            self._add(self._splitter.take(line))

    def _open(self, *, ended: bool = False) -> None:
        """Find the format in the first lines. Until they show it they are talk as it comes."""
        assert self._opening is not None
        kind = kind_of(self.name, self._opening, ended=ended)
        lines = self._opening
        if kind is None or kind == "plain":
            if not may_be_talk(lines):
                if kind is None:
                    return
            elif self._splitter is None:
                self._splitter = splitter_for("plain", self.name, self._broken, lines, self._now)
            else:
                lines = lines[-1:] if not ended else []
            if kind == "plain":
                self._opening = None
                if self._splitter is None:
                    return
            self._timeline.as_came = False
            for line in lines:
                self._add(self._splitter.take(line) if self._splitter is not None else [])
            return
        self._timeline = Timeline(self._tell, self._moved)
        self._timeline.first_changed = 0
        self._splitter = splitter_for(kind, self.name, self._broken, lines, self._now)
        self._timeline.ordered = self._splitter.ordered
        self._opening = None
        for line in lines:
            self._add(self._splitter.take(line))

    def _add(self, pieces: Sequence[Piece]) -> None:
        assert self._splitter is not None
        for piece in pieces:
            self._timeline.add(piece, self._splitter.kind, self._came)

    def _moved(self, piece: Piece, by: float) -> Piece:
        assert self._splitter is not None
        return self._splitter.moved(piece, by)

    def _now(self) -> float:
        return self._clock() - self._began

    def _broken(self, said: str) -> None:
        self._timeline.as_came = False
        self._broken_count += 1
        if self._broken_count <= _BROKEN_TOLD or self._broken_count & (self._broken_count - 1) == 0:
            self._tell("broken", self._timeline.now, said)

    def _tell(self, kind: str, t: float, said: str) -> None:
        self.notices.append(Notice(len(self.notices) + 1, round(t, 2), kind, said))

    def _refresh(self) -> bool:
        """Bring the captions up to date. Whether any changed."""
        pieces = self._timeline.pieces
        first = min(self._timeline.first_changed, len(pieces), len(self.captions))
        changed = first < len(pieces) or len(pieces) != len(self.captions)
        self.first_changed = first if changed else len(pieces)
        # What was open is closed by what came after it.
        since = max(first - 1, 0)
        ended = self.state == "ended"
        self.captions[since:] = [
            _caption(k, piece, closed=ended or k < len(pieces) - 1 or piece.final is True)
            for k, piece in enumerate(pieces[since:], since)
        ]
        if self._kept is not None and self._splitter is not None and changed:
            end = "\n" if self._splitter.kind in ("vtt", "srt") else ""
            self._kept.write(self._splitter.header, [piece.raw for piece in pieces], first, end)
        return changed


def _caption(k: int, piece: Piece, *, closed: bool) -> LiveCaption:
    end = piece.end if piece.end is not None else piece.start + max(len(piece.text) / _RATE, 1.0)
    return LiveCaption(k + 1, piece.start, end, piece.text, piece.speaker, piece.raw, closed)
