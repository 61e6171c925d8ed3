"""What a person does with keys in the terminal: which flag waits for an answer, what is being typed, what came of it."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from extract.decisions.make import Refused
from extract.live.key_table import ANSWERS, CORRECT, MOMENT, NEXT, PREVIOUS, QUIT, UNDO
from extract.live.model import Answer, Board, LiveFlag, Shown, View
from extract.record.model import Pair
from extract.record.plain import printable
from extract.transcript.times import any_seconds

ESCAPE, ENTER, BACKSPACE = "\x1b", ("\r", "\n"), ("\x7f", "\b")
#: A flag is answered only after it has been seen for so many seconds: a key may have been meant for the one before.
SETTLE_S = 0.5
#: No more characters than these are typed.
_LONGEST = 12
_SCORE = re.compile(r"\s*([0-9]{1,3})\s*[-:, ]\s*([0-9]{1,3})\s*")


@dataclass
class Controls:
    """The state of the keys. ``shown`` is the desk, ``clock`` tells seconds that only go forward."""

    shown: Shown
    clock: Callable[[], float] = time.monotonic
    mode: Literal["watch", "correct", "at"] = "watch"
    typed: str = ""
    message: str = ""
    #: The score at a moment that was asked for, in place of the one now.
    board_at: Board | None = None
    ended: bool = False
    _flag: tuple[int, str] | None = None
    _flag_since: float = field(default=-SETTLE_S)

    def flag(self, view: View) -> LiveFlag | None:
        """The flag that is shown: the newest open one, until it is answered or withdrawn, or the next one is asked for. A
        newer one does not push it away under the finger of whoever answers."""
        waiting = open_flags(view)
        found = next((flag for flag in waiting if (flag.bout, flag.id) == self._flag), None)
        if found is None:
            found = waiting[0] if waiting else None
            self._show(found)
        return found

    def press(self, key: str, view: View) -> None:
        """Do what a key means."""
        if self.mode != "watch":
            self._type(key)
        elif key in ANSWERS:
            self._answer(ANSWERS[key], view)
        elif key in (NEXT, PREVIOUS):
            self._step(view, 1 if key == NEXT else -1)
        elif key in (CORRECT, MOMENT):
            self.mode, self.typed, self.message = ("correct" if key == CORRECT else "at"), "", ""
        elif key == UNDO:
            self._tell(self.shown.undo)
        elif key == ESCAPE:
            self.board_at, self.message = None, ""
        elif key == QUIT:
            self.ended = True

    def _type(self, key: str) -> None:
        if key == ESCAPE:
            self.mode, self.typed = "watch", ""
        elif key in ENTER:
            self._typed_out()
        elif key in BACKSPACE:
            self.typed = self.typed[:-1]
        elif key.isprintable() and len(self.typed) < _LONGEST:
            self.typed += key

    def _typed_out(self) -> None:
        if self.mode == "correct":
            score = score_typed(self.typed)
            if score is None:
                self.message = f'"{self.typed}" is no score: type red and blue, like 4-2'
                return
            self._tell(lambda: self.shown.correct(score))
        else:
            moment = any_seconds(self.typed)
            if moment is None:
                self.message = f'"{self.typed}" is no time: type it like 5:40'
                return
            self.board_at = self.shown.at(moment)
            self.message = "" if self.board_at is not None else f"No bout was running at {self.typed}"
        self.mode, self.typed = "watch", ""

    def _answer(self, answer: Answer, view: View) -> None:
        last = self._flag
        flag = self.flag(view)
        if flag is None:
            self.message = "No flag waits for an answer"
        elif last != self._flag or self.clock() - self._flag_since < SETTLE_S:
            self.message = "The flag has only just come: look at it, then answer again"
        else:
            self._tell(lambda: self.shown.answer(flag.id, answer))

    def _step(self, view: View, by: int) -> None:
        waiting = open_flags(view)
        here = next((n for n, flag in enumerate(waiting) if (flag.bout, flag.id) == self._flag), -by)
        if waiting:
            self._show(waiting[(here + by) % len(waiting)])

    def _show(self, flag: LiveFlag | None) -> None:
        which = None if flag is None else (flag.bout, flag.id)
        if which != self._flag:
            self._flag, self._flag_since = which, self.clock()

    def _tell(self, do: Callable[[], str]) -> None:
        try:
            self.message = printable(do())
        except Refused as error:
            self.message = f"Not kept: {printable(str(error))}"


def open_flags(view: View) -> tuple[LiveFlag, ...]:
    """The flags that wait for an answer, the newest first."""
    return tuple(flag for flag in view.flags if flag.state == "open")


def score_typed(text: str) -> Pair | None:
    """A score as it is typed, red first.

    >>> score_typed("4-2"), score_typed("4 2"), score_typed("four")
    ((4, 2), (4, 2), None)
    """
    match = _SCORE.fullmatch(text) if text.isascii() else None
    return (int(match[1]), int(match[2])) if match else None
