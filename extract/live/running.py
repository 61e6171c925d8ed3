"""One bout of a stream, read again with each caption: its board, its calls and its flags."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from extract.bout import SoFar, read_running
from extract.checks import BoutRead
from extract.decisions import Decision
from extract.live.board import board_of, board_then
from extract.live.calls import Calls
from extract.live.flags import Flags
from extract.live.model import Board, LiveCall, LiveFlag
from extract.live.parameters import live_parameters
from extract.log import Parameters
from extract.record import Record
from extract.record.bout_words import short_sides
from extract.transcript import BoutFile, Transcript


@dataclass(frozen=True, slots=True)
class ReadWith:
    """What bouts are read with, as for ``extract_bout``; ``flag_at`` is how sure it must be before a flag is raised."""

    rules: str | None = None
    red: str | None = None
    blue: str | None = None
    parameters: Parameters | None = None
    lexicons: tuple[Path, ...] = ()
    flag_at: float | None = None


class RunningBout:
    """A bout that goes on. ``number`` counts those of the stream from 1; ``begins`` is where its talk begins, seconds of
    recording; ``bout`` is what is known of it beforehand."""

    def __init__(self, number: int, begins: float, bout: BoutFile | None, options: ReadWith) -> None:
        self.number, self.begins, self.bout = number, begins, bout
        self._options = options
        self._so_far = SoFar(live_parameters().get("bout", "goes_on_s"))
        self.calls = Calls(number)
        self.flags = Flags(number, options.flag_at)
        self.gone: tuple[LiveCall, ...] = ()
        self.board: Board | None = None
        self.record: Record | None = None
        self.talk: Transcript | None = None
        self._read: BoutRead | None = None

    def restored(self, calls: Sequence[LiveCall], flags: Sequence[LiveFlag]) -> None:
        """Take up what was shown before the desk was started again."""
        self.calls = Calls(self.number, calls)
        self.flags = Flags(self.number, self._options.flag_at, flags)

    def known_as(self, bout: BoutFile | None) -> None:
        """Take what is known of the bout from now on from ``bout``."""
        if bout != self.bout:
            self.bout = bout
            self.forget()

    def moved(self, begins: float) -> None:
        """Let the bout begin at another moment."""
        self.begins = begins
        self.forget()

    def forget(self) -> None:
        """Read all of it anew with the next caption."""
        self._so_far = SoFar(self._so_far.goes_on)

    def hear(self, talk: Transcript, decisions: Sequence[Decision]) -> None:
        """Take up the talk of the bout so far. Raises InputError as ``extract_bout``."""
        with_ = self._options
        read, record = read_running(
            talk,
            self.bout,
            so_far=self._so_far,
            rules=with_.rules,
            red=with_.red,
            blue=with_.blue,
            parameters=with_.parameters,
            lexicons=with_.lexicons,
            decisions=decisions,
        )
        now = talk.seconds
        self.talk, self.record, self._read = talk, record, read
        self.board = board_of(read, record, self.number, now)
        self.gone = self.calls.update(record, short_sides(record), now, over=bool(self.board.over))
        over = bool(self.board.over)
        # What is said long after the end is about something else.
        until = self._ends(read) + live_parameters().get("bout", "told_s") if over else math.inf
        self.flags.update(record, talk, now, over=over, until=until, score_sure=self.board.confidence)

    def _ends(self, read: BoutRead) -> float:
        last = read.log.events[-1].t if read.log.events else 0.0
        return last if read.log.best.state.over is not None else max(last, read.log.frame.end)

    def at(self, t: float) -> Board | None:
        """The board at a moment of the bout; None before it or before anything was heard."""
        if self.board is None or self._read is None or self.talk is None or t < self.talk.first_word:
            return None
        return self.board if t >= self.talk.seconds else board_then(self.board, self._read, t)
