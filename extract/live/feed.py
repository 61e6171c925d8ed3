"""The captions of a stream as they come: from its bytes to the transcript so far."""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Self

from extract.checks.words import clock_text
from extract.errors import InputError
from extract.live.caption import LiveCaption, caption_of
from extract.live.captions import Kind, Piece, Splitter
from extract.live.captions.opening import going_on, kind_of, may_be_talk, splitter_for
from extract.live.kept import Kept
from extract.live.lines import Lines
from extract.live.model import Notice, StreamState
from extract.live.pieces import read_pieces, text_of
from extract.live.sources import Source
from extract.live.timeline import Timeline
from extract.transcript.binary import program_file
from extract.transcript.cue import Format, Transcript
from extract.transcript.decode import read_bytes

#: A stream stalls after this many seconds without a byte.
STALL_S = 20.0
#: This many bytes show that a file is another program's.
_MAGIC = 16
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
        """The bytes begin again: the line that was begun is dropped. ``said`` is told, if it is anything. Whether captions
        changed."""
        self._timeline.first_changed = len(self.captions)
        self._lines.anew()
        self._timeline.as_came = False
        if self._splitter is not None:
            self._add(self._splitter.anew())
            self._timeline.anew()
        if said:
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
            self._timeline.end()
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
        pieces = self._timeline.pieces
        tail = self._splitter.tail if last is None or last >= len(pieces) else ""
        return text_of(self._splitter, pieces[first:last], tail, from_start=not first)

    def index_of(self, position: int, first: int = 0) -> int:
        """The index that the cue of the caption at a position has in ``transcript(first)``."""
        return position - first + 1

    def transcript(self, first: int = 0, last: int | None = None) -> Transcript:
        """The transcript of the captions from the position ``first`` on, to before ``last`` (None: all). Once the stream is
        over it is what the finished file says. It has no cues if nothing was said yet."""
        pieces = self._timeline.pieces[first:last]
        to_end = last is None or last >= len(self._timeline.pieces)
        if self._splitter is not None:
            came = self._timeline.as_came and not first and to_end
            digest = self._hash.copy().hexdigest() if came else None
            tail = self._splitter.tail if to_end else ""
            ended = self.state == "ended" and to_end
            read, problems = read_pieces(
                self._splitter, pieces, tail, digest, from_start=not first, ended=ended
            )
            if read is not None:
                self._leave_out({first + k: problem for k, problem in problems.items()})
                return read
        return Transcript(Path(self.name).name, self.format or "block", self._hash.copy().hexdigest(), ())

    def _leave_out(self, problems: Mapping[int, str]) -> None:
        """Leave out the captions at these positions, which no reader can read where they stand."""
        if not problems:
            return
        self._timeline.first_changed = len(self.captions)
        for at in sorted(problems, reverse=True):
            start = clock_text(self._timeline.pieces[at].start)
            self._broken(f"The caption at {start} is left out: {problems[at]}.")
            self._timeline.remove(at)
        self._refresh()

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
            caption_of(k, piece, closed=ended or k < len(pieces) - 1 or piece.final is True)
            for k, piece in enumerate(pieces[since:], since)
        ]
        if self._kept is not None and self._splitter is not None and changed:
            end = "\n" if self._splitter.kind in ("vtt", "srt") else ""
            self._kept.write(self._splitter.header, pieces, first, end)
        return changed
