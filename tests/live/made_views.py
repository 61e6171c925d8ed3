"""Views of a live desk made by hand, and a desk that shows a row of them: what a screen is tested with.

``python -m tests.live.made_views ...`` is the command ``saidscore ...`` with such a desk in place of the real one, for
tests in a terminal of their own. Its answers are written to the file that ANSWERS names.
"""

from __future__ import annotations

import os
import sys
import threading
import time
import types
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from extract.decisions.make import Refused
from extract.live.model import (
    Answer,
    Board,
    LiveCall,
    LiveFlag,
    LiveSide,
    Notice,
    StreamState,
    View,
    WouldBe,
)
from extract.live.options import LiveOptions
from extract.record.model import Pair
from extract.record.said_table import Spoken

#: What must never reach a terminal.
EVIL = "four\x1b[2J nothing\x07 \x9b31m\u202e"


def side(name: str, points: int, full_name: str | None = None) -> LiveSide:
    return LiveSide(name, full_name, points, 1, 0, 0)


def board(score: Pair = (0, 0), t: float = 60.0, **other: Any) -> Board:
    red, blue = side("Brannoway", score[0]), side("Skelvara", score[1], "Junia Skelvara")
    leader = "red" if score[0] > score[1] else "blue" if score[1] > score[0] else None
    made = Board(
        1, t, "freestyle", "2026", red, blue, 0.93, t - 5, True, 1, 180 - t, 2.0, None, None, leader,
        "points" if leader else "", "more points" if leader else "no points yet",
        (WouldBe("takedown", "A takedown makes it 2-2", "red", 2, (2, 2), None, False),),
        ("Brannoway needs 3 points to lead",),
    )  # fmt: skip
    return replace(made, **other)


def call(n: int, t: float, score: Pair, text: str = "Skelvara's takedown (2)", **other: Any) -> LiveCall:
    made = LiveCall(
        f"e{n}", 1, t, 1, 180 - t, "takedown", "blue", 2, text, score, "stands", "said", 0.97, True
    )
    return replace(made, **other)


def flag(n: int, t: float, **other: Any) -> LiveFlag:
    made = LiveFlag(
        f"f{n}", 1, t, t + 4, 1, 180 - t, "score", "old score", Spoken("Deck", "and it's ", "four nothing", " now"),
        "4-0 Skelvara", "2-0 Skelvara", "Correction: it was 2-0 to Skelvara.", "Out of date.", 0.9,
        said_score=(0, 4), should_be_score=(0, 2), cue_t=t - 1,
    )  # fmt: skip
    return replace(made, **other)


def view(revision: int, t: float = 60.0, state: StreamState = "running", **other: Any) -> View:
    return View(revision, "match.srt", state, t, **{"board": board(t=t), **other})


def story() -> list[View]:
    """A bout in eight views: two calls, an old score, one call taken back, the flag withdrawn, the end."""
    first, second = call(1, 46, (0, 2)), call(2, 51, (0, 4), "Skelvara's exposure (2)")
    known = side("Brannoway", 0, "Ottilie Brannoway")
    raised = flag(1, 87)
    return [
        View(1, "match.srt", "waiting", 0.0, None),
        view(2, 10),
        view(3, 47, board=board((0, 2), 47), calls=(first,)),
        view(4, 52, board=replace(board((0, 4), 52), red=known), calls=(second, first)),
        view(5, 80, board=replace(board((0, 2), 80), red=known), calls=(first,)),
        view(6, 91, board=replace(board((0, 2), 91), red=known), calls=(first,), flags=(raised,),
             notices=(Notice(1, 90, "repeated", "3 captions came twice"),)),
        view(7, 120, state="stalled", board=replace(board((0, 2), 120), red=known), calls=(first,), flags=(raised,)),
        view(8, 400, state="ended", captions=120, calls=(first,),
             board=replace(board((0, 2), 400), red=known, period=2, over="Skelvara wins 2-0 by points"),
             flags=(replace(raised, state="withdrawn", why="It was said again."),)),
    ]  # fmt: skip


class MadeDesk:
    """A desk that goes through a row of views, and keeps what is asked of it. If it is ``paced`` it waits until somebody
    has seen each view. It ``stays`` at the last one until it is stopped."""

    def __init__(
        self,
        views: Sequence[View],
        *,
        paced: bool = False,
        error: BaseException | None = None,
        told_path: Path | None = None,
        resumed: bool = False,
        stays: bool = False,
    ) -> None:
        self._views, self._paced, self._error, self._stays = list(views), paced, error, stays
        self._now = self._views[0]
        self._seen = -1
        self._changed = threading.Condition()
        self._stop = threading.Event()
        self.asked: list[Any] = []
        self.options: LiveOptions | None = None
        self.written: list[Path] = []
        self.told_path, self.resumed = told_path, resumed

    def view(self) -> View:
        with self._changed:
            return self._look()

    def wait(self, revision: int, timeout_s: float) -> View:
        with self._changed:
            self._changed.wait_for(lambda: self._now.revision != revision, timeout_s)
            return self._look()

    def _look(self) -> View:
        self._seen = self._now.revision
        self._changed.notify_all()
        return self._now

    def _set(self, now: View) -> None:
        with self._changed:
            self._now = now
            self._changed.notify_all()

    def answer(self, flag: str, answer: Answer) -> str:
        self.asked.append(("answer", flag, answer))
        if log := os.environ.get("ANSWERS"):
            with open(log, "a") as file:
                file.write(f"{flag} {answer}\n")
        now = self.view()
        flags = tuple(
            replace(each, state="answered", answer=answer) if each.id == flag else each for each in now.flags
        )
        self._set(replace(now, revision=now.revision + 100, flags=flags))
        return f"Kept: {answer}"

    def correct(self, score: Pair) -> str:
        self.asked.append(("correct", score))
        if max(score) > 50:
            raise Refused("no such score")
        return "Kept: the score"

    def undo(self) -> str:
        raise Refused("nothing to undo")

    def at(self, t: float) -> Board | None:
        self.asked.append(("at", t))
        boards = [each.board for each in self._views if each.board is not None and each.board.t <= t]
        return replace(boards[-1], t=t) if boards else None

    def run(self) -> None:
        for each in self._views[1:]:
            with self._changed:
                while self._paced and self._seen < self._now.revision and not self._stop.is_set():
                    self._changed.wait(0.1)
            if self._stop.is_set():
                return
            self._set(each)
        if self._error is not None:
            raise self._error
        if self._stays:
            self._stop.wait()

    def keep_step(self) -> None:
        self._paced = True

    def stop(self) -> None:
        self._stop.set()


def put_in_place(desk: MadeDesk) -> types.ModuleType:
    """The module of a desk that is this one."""
    module = types.ModuleType("extract.live.desk")

    def open_desk(options: LiveOptions) -> MadeDesk:
        desk.options = options
        return desk

    module.open_desk = open_desk  # type: ignore[attr-defined]
    return module


def _main() -> None:
    which = os.environ.get("DESK", "")
    views = story()[:6] if which else story()
    error = RuntimeError("the desk broke") if which == "breaks" else None
    desk = MadeDesk(views, paced=True, error=error, stays=True)
    if which == "breaks":
        # Long enough to be seen on the screen first.
        desk.run, run = (lambda: (time.sleep(1), run())[1]), desk.run  # type: ignore[method-assign]
    sys.modules["extract.live.desk"] = put_in_place(desk)
    from extract.cli.app import main

    main()


if __name__ == "__main__":
    _main()
