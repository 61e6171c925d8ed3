"""A live desk whose views are set by hand, and its page served while a test runs. All names are made up."""

from __future__ import annotations

import secrets
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any

import uvicorn

from extract.decisions.make import Refused
from extract.live.model import Answer, Board, LiveCall, LiveFlag, LiveSide, Notice, View, WouldBe
from extract.live.page import live_app
from extract.record.model import Pair, Status
from extract.record.said_table import Spoken
from extract.rules.base import Corner

BOARD = Board(
    bout=1, t=391.2, rules="freestyle", edition="2026",
    red=LiveSide("Brannoway", "Ottilie Brannoway", 6, 1, 0, 1),
    blue=LiveSide("Skelvara", "Junia Skelvara", 3, 0, 1, 0),
    confidence=0.94, since=384.0, tentative=True, period=2, clock_s=94.6, clock_uncertainty_s=8.0,
    activity="blue", activity_s=17.5, leader="red", leads_by="points", why="",
    would_be=(
        WouldBe("takedown", "Skelvara's takedown: 6-5 Brannoway", "blue", 2, (6, 5), "red", False),
        WouldBe("step_out", "Skelvara's step-out: 6-4 Brannoway", "blue", 1, (6, 4), "red", False),
    ),
    needs=("Skelvara needs 3 points to be level, 4 to lead",),
)  # fmt: skip

OLD = LiveFlag(
    id="1.3", bout=1, t=389.0, raised=391.2, period=2, clock_s=97.0, kind="score", head="old score",
    spoken=Spoken("Dessa", "A minute and a half, and it's ", "five-three Brannoway", ", she only has to stay on her feet."),
    said="5-3 Brannoway", should_be="6-3 Brannoway",
    sentence="It is six-three to Brannoway: the lost challenge gave her a point at 6:24.",
    why="Out of date: Brannoway's challenge point (1) came at 6:24.", confidence=0.93,
)  # fmt: skip

SWAPPED = LiveFlag(
    id="1.2", bout=1, t=352.0, raised=358.0, period=2, clock_s=131.0, kind="score", head="wrong wrestler",
    spoken=Spoken("", "", "five-three Skelvara", " as they restart"), said="5-3 Skelvara", should_be="5-3 Brannoway",
    sentence="It is five-three to Brannoway.", why="Right numbers, wrong wrestler: it is 5-3 Brannoway.",
    confidence=0.88,
)  # fmt: skip

ANSWERED = replace(
    OLD, id="1.1", t=87.0, said="4-0 Skelvara", should_be="2-0 Skelvara", state="answered", answer="slip"
)


def call(
    id_: str, t: float, clock_s: float, kind: str, corner: Corner, points: int, text: str, after: Pair,
    *, status: Status = "stands", source: str = "said", tentative: bool = False,
) -> LiveCall:  # fmt: skip
    """Points or a warning; the first period is over at 3:13."""
    period = 1 if t < 193 else 2
    return LiveCall(
        id_, 1, t, period, clock_s, kind, corner, points, text, after, status, source, 0.94, tentative
    )


#: A bout in its last minutes, with two flags that wait.
BUSY = View(
    revision=41, source="lantern-final.srt", state="running", t=391.2, board=BOARD, flags=(OLD, SWAPPED, ANSWERED),
    calls=(
        call("1.9", 384.0, 98.0, "challenge_point", "red", 1, "Brannoway's challenge point (1)", (6, 3), tentative=True),
        call("1.8", 346.0, 138.0, "takedown", "red", 2, "Brannoway's takedown (2)", (5, 3), source="inferred"),
        call("1.7", 329.0, 124.0, "passivity_warning", "red", 0, "passivity warning against Brannoway", (3, 3)),
        call("1.6", 286.0, 167.0, "step_out", "blue", 1, "Skelvara's step-out (1)", (3, 3)),
        call("1.5", 171.0, 58.0, "takedown", "red", 2, "Brannoway's takedown (2)", (3, 2)),
        call("1.2", 51.0, 142.0, "exposure", "blue", 2, "Skelvara's exposure (2)", (0, 4), status="overturned"),
    ),
    notices=(
        Notice(1, 84.0, "taken_back", "at 1:20 taken back: Skelvara's exposure (2); the score is 2-0 Skelvara"),
        Notice(2, 371.0, "repeated", "3 captions came twice and were read once"),
    ),
    heard=(
        (381.0, "Blue brick is out of it, the call stands, and red gets one for it."),
        (387.5, "A minute and a half, and it's five-three Brannoway, she only has to stay on her feet."),
    ),
    captions=96,
)  # fmt: skip

#: The same with nothing to answer, before all that.
QUIET = replace(BUSY, revision=40, flags=(ANSWERED,), t=386.0)


@dataclass
class ScriptedDesk:
    """Shows the view that was put last. What a person does is noted in ``done`` and changes the view as a desk would."""

    now: View = QUIET
    done: list[tuple[Any, ...]] = field(default_factory=list)
    #: How many threads wait for a change now.
    waiting: int = 0
    broken: bool = False
    _changed: threading.Condition = field(default_factory=threading.Condition)

    def put(self, view: View) -> int:
        """Show this from now on, under the next revision; that revision."""
        with self._changed:
            self.now = replace(view, revision=self.now.revision + 1)
            self._changed.notify_all()
            return self.now.revision

    def view(self) -> View:
        with self._changed:
            return self.now

    def wait(self, revision: int, timeout_s: float) -> View:
        with self._changed:
            if self.broken:
                raise RuntimeError("the desk broke")
            self.waiting += 1
            self._changed.wait_for(lambda: self.now.revision != revision, timeout_s)
            self.waiting -= 1
            return self.now

    def answer(self, flag: str, answer: Answer) -> str:
        self.done.append(("answer", flag, answer))
        flags = tuple(
            replace(f, state="answered", answer=answer) if f.id == flag else f for f in self.now.flags
        )
        self.put(replace(self.now, flags=flags))
        return f"Kept: flag {flag} is answered."

    def correct(self, score: Pair) -> str:
        self.done.append(("correct", score))
        board = self.now.board
        if board is None or score == board.score:
            raise Refused("that is the score already")
        red, blue = replace(board.red, points=score[0]), replace(board.blue, points=score[1])
        self.put(replace(self.now, board=replace(board, red=red, blue=blue)))
        return "Kept: the score is corrected by hand."

    def undo(self) -> str:
        self.done.append(("undo",))
        if len(self.done) < 2:
            raise Refused("there is nothing to undo")
        return "Undone."

    def at(self, t: float) -> Board | None:
        board = self.now.board
        if board is None or t > self.now.t:
            return None
        return replace(board, t=t, red=replace(board.red, points=3), blue=replace(board.blue, points=3))


@dataclass
class ServedPage:
    """The page of a desk: where it is. It can be cut off and come back at the same address."""

    desk: ScriptedDesk
    token: str
    beat_s: float
    listener: socket.socket | None = None
    port: int = 0
    _server: uvicorn.Server | None = None
    _thread: threading.Thread | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/{self.token}/"

    def start(self) -> None:
        self.listener = socket.create_server(("127.0.0.1", self.port))
        self.port = self.listener.getsockname()[1]
        app = live_app(self.desk, self.token, beat_s=self.beat_s)
        config = uvicorn.Config(app, log_level="critical", lifespan="off", timeout_graceful_shutdown=0)
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(
            target=self._server.run, kwargs={"sockets": [self.listener]}, daemon=True
        )
        self._thread.start()

    def stop(self) -> None:
        if self._server is None or self._thread is None or self.listener is None:
            return
        self._server.should_exit = True
        self._thread.join(10)
        self.listener.close()
        self._server = None


@contextmanager
def serving_page(desk: ScriptedDesk, beat_s: float = 4.0) -> Iterator[ServedPage]:
    """Serves the page of a desk until the block is left."""
    served = ServedPage(desk, secrets.token_urlsafe(12), beat_s)
    served.start()
    try:
        yield served
    finally:
        served.stop()
