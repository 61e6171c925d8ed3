"""The full-screen view: what it draws, and what it does in a real terminal."""

from __future__ import annotations

import io
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from fcntl import ioctl
from pathlib import Path

import pytest
from rich.console import Console

from extract.live.controls import Controls
from extract.live.model import View
from extract.live.screen import screen
from extract.record.said_table import Spoken
from tests.docs import ROOT
from tests.live.made_views import EVIL, MadeDesk, board, call, flag, side, story, view

SIZES = [(80, 24), (120, 40), (60, 20)]


def drawn(now: View, width: int, height: int, controls: Controls | None = None, **given: object) -> list[str]:
    out = io.StringIO()
    console = Console(file=out, width=width, height=height, color_system=None)
    controls = controls or Controls(MadeDesk([now]))
    console.print(screen(now, controls, width, height, **given), end="")  # type: ignore[arg-type]
    return out.getvalue().split("\n")


def full() -> View:
    calls = tuple(
        call(n, 20.0 * n, (n, 2 * n), status="overturned" if n == 5 else "stands") for n in range(6, 0, -1)
    )
    return replace(story()[5], calls=calls, flags=(flag(1, 87), flag(0, 30, state="answered", answer="slip")))


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_everything_has_its_place(width: int, height: int) -> None:
    lines = drawn(full(), width, height)
    assert len(lines) == height
    assert max(map(len, lines)) <= width
    text = "\n".join(lines)
    flag_at, plate_at, keys_at = (text.index(each) for each in ("OLD SCORE", "RED ", "[q] quit"))
    assert flag_at < plate_at < text.index("Skelvara's takedown") < keys_at
    for shown in (
        "said 4-0 Skelvara; should be 2-0 Skelvara", 'Deck: "and it\'s four nothing now"', "confidence 90 %",
        "Correction: it was 2-0 to Skelvara.", "[1] it was right", "Ottilie Brannoway", "2 leads", "Period 1, about 1:29",
        "Brannoway needs 3 points to lead",
    ):  # fmt: skip
        assert shown in text


def test_notices_have_room_at_the_usual_size() -> None:
    assert any("3 captions came twice" in line for line in drawn(full(), 80, 24))


def test_a_larger_terminal_shows_more() -> None:
    now = replace(full(), heard=((80.0, "and a shot"),))
    text = "\n".join(drawn(now, 120, 40, address="http://127.0.0.1:9/x/"))
    for shown in ("(it was a slip)", "said, overturned", "and a shot", "http://127.0.0.1:9/x/"):
        assert shown in text


@pytest.mark.parametrize("now", story(), ids=lambda now: f"{now.revision}")
@pytest.mark.parametrize(("width", "height"), [*SIZES, (20, 5), (1, 1)])
def test_any_view_fits_any_size(now: View, width: int, height: int) -> None:
    lines = drawn(now, width, height)
    assert len(lines) == height
    assert max(map(len, lines)) <= width


def test_states_are_words_and_not_colours_alone() -> None:
    assert "STALLED" in drawn(story()[6], 80, 24)[0]
    assert "ENDED" in drawn(story()[7], 80, 24)[0]
    assert "Over: Skelvara wins 2-0 by points" in "\n".join(drawn(story()[7], 80, 24))


def test_a_bout_that_is_over_has_no_clock() -> None:
    assert "Period" not in "\n".join(drawn(story()[7], 80, 24))


def test_the_columns_of_the_calls_stand_one_below_the_other() -> None:
    inferred = call(1, 46, (0, 2), source="inferred")
    now = replace(full(), calls=(*full().calls, inferred))
    head, *rows = [line for line in drawn(now, 80, 30) if line.endswith(("conf.", " 97 %"))]
    assert len(rows) == 7
    assert {line.index("97 %") + 4 for line in rows} == {len(head)}


def test_the_clock_runs_on_while_the_stream_does() -> None:
    now = view(1, 60.0)
    assert "about 1:50 left" in "\n".join(drawn(now, 80, 24, ran_on_s=10.0))
    stalled = replace(now, state="stalled")
    assert "about 2:00 left" in "\n".join(drawn(stalled, 80, 24, ran_on_s=10.0))


def test_a_moment_that_was_asked_for_stands_in_place_of_now() -> None:
    now = full()
    controls = Controls(MadeDesk([now]))
    controls.board_at = board((6, 1), 70.0)
    text = "\n".join(drawn(now, 80, 24, controls, ran_on_s=30.0))
    assert "AS IT WAS AT 1:10" in text
    assert "6-1 Brannoway" in text
    assert "about 1:50 left" in text


def test_markup_and_control_characters_of_a_transcript_are_only_text() -> None:
    evil = f"[bold]{EVIL}[/bold]"
    now = replace(
        full(), source=evil, flags=(flag(1, 9, spoken=Spoken(evil, evil, evil, evil), sentence=evil),),
        board=replace(board(over=evil), red=side(evil, 0, evil), needs=(evil,)), calls=(call(1, 5, (0, 2), evil),),
        heard=((1.0, evil),),
    )  # fmt: skip
    text = "\n".join(drawn(now, 200, 40))
    assert "[bold]four [2J nothing" in text
    assert all(line.isprintable() for line in text.split("\n"))


class InTerminal:
    """The command in a terminal of its own. ``fd`` is the other end of it."""

    def __init__(self, fd: int, process: subprocess.Popen[bytes]) -> None:
        self.fd, self.process, self.seen = fd, process, ""

    def read_until(self, text: str) -> None:
        """Read what it prints until the text stands in it."""
        while text not in self.seen:
            ready, _, _ = select.select([self.fd], [], [], 60)
            assert ready, f"{text!r} did not come: {self.seen[-2000:]!r}"
            self.seen += self._read()

    def _read(self) -> str:
        return os.read(self.fd, 65536).decode(errors="replace")

    def press(self, keys: str) -> None:
        os.write(self.fd, keys.encode())

    def ended(self) -> int:
        """Its exit status, when it has ended and all that it printed was read."""
        status = None
        while status is None:
            status = self.process.poll()
            while select.select([self.fd], [], [], 0.05)[0]:
                self.seen += self._read()
        return status

    def modes(self) -> list[object]:
        """Whether it shows what is typed, line by line, and interrupts."""
        attributes = termios.tcgetattr(self.fd)
        return [attributes[3] & (termios.ECHO | termios.ICANON | termios.ISIG), attributes[6][termios.VSUSP]]


@contextmanager
def in_terminal(tmp_path: Path, which: str = "stays", *, piped: bool = False) -> Iterator[InTerminal]:
    """With ``piped`` captions come on standard input, which is no terminal then."""
    (tmp_path / "match.srt").write_text("")
    fd, inner = pty.openpty()
    ioctl(fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))

    def take_terminal() -> None:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        ioctl(1, termios.TIOCSCTTY, 0)

    source = "-" if piped or which == "typed" else str(tmp_path / "match.srt")
    command = [
        sys.executable,
        "-m",
        "tests.live.made_views",
        "live",
        source,
        "--no-page",
        "--keep",
        str(tmp_path),
    ]
    more = {
        "PYTHONPATH": str(ROOT),
        "TERM": "xterm-256color",
        "DESK": which,
        "ANSWERS": str(tmp_path / "answers"),
    }
    process = subprocess.Popen(
        command,
        stdin=subprocess.PIPE if piped else inner,
        stdout=inner,
        stderr=inner,
        start_new_session=True,
        preexec_fn=take_terminal,
        cwd=ROOT,
        env={**os.environ, **more},
    )
    try:
        yield InTerminal(fd, process)
    finally:
        process.kill()
        process.wait()
        os.close(inner)
        os.close(fd)


_ALTERNATE, _BACK = "\x1b[?1049h", "\x1b[?1049l"
_SHOW_CURSOR = "\x1b[?25h"


def restored(terminal: InTerminal, before: list[object]) -> bool:
    return (
        terminal.modes() == before
        and terminal.seen.rfind(_BACK) > terminal.seen.rfind(_ALTERNATE) > -1
        and terminal.seen.rfind(_SHOW_CURSOR) > terminal.seen.rfind("\x1b[?25l")
    )


def test_a_key_answers_a_flag_and_q_leaves_the_terminal_as_it_was(tmp_path: Path) -> None:
    with in_terminal(tmp_path) as terminal:
        before = terminal.modes()
        terminal.read_until("OLD SCORE")
        assert terminal.modes() != before
        # A flag that has only just come is not answered.
        time.sleep(0.7)
        terminal.press("2")
        terminal.read_until("Kept: slip")
        terminal.press("q")
        assert terminal.ended() == 0
        assert restored(terminal, before)
    assert (tmp_path / "answers").read_text() == "f1 slip\n"


def test_keys_come_from_the_terminal_while_captions_come_on_standard_input(tmp_path: Path) -> None:
    with in_terminal(tmp_path, piped=True) as terminal:
        before = terminal.modes()
        terminal.read_until("OLD SCORE")
        terminal.press("h0:55\r")
        terminal.read_until("AS IT WAS AT 0:55")
        terminal.press("q")
        assert terminal.ended() == 0
        assert restored(terminal, before)


def test_captions_that_would_have_to_be_typed_are_asked_for(tmp_path: Path) -> None:
    with in_terminal(tmp_path, "typed") as terminal:
        terminal.read_until(
            "FILE: no captions come on standard input; give a file or an address, or send captions"
        )
        assert terminal.ended() == 2


@pytest.mark.parametrize(("by", "status"), [("\x03", 0), (signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_the_terminal_is_restored_when_it_is_ended(
    by: str | signal.Signals, status: int, tmp_path: Path
) -> None:
    with in_terminal(tmp_path) as terminal:
        before = terminal.modes()
        terminal.read_until("OLD SCORE")
        terminal.press(by) if isinstance(by, str) else terminal.process.send_signal(by)
        assert terminal.ended() == status
        assert restored(terminal, before)
        assert "Traceback" not in terminal.seen


def test_the_terminal_is_restored_when_the_desk_breaks(tmp_path: Path) -> None:
    with in_terminal(tmp_path, "breaks") as terminal:
        before = terminal.modes()
        terminal.read_until("the desk broke")
        assert terminal.ended() == 1
        assert restored(terminal, before)
        # What went wrong is told where it stays to be read.
        assert terminal.seen.rfind("the desk broke") > terminal.seen.rfind(_BACK)
