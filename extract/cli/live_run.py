"""Running a live desk beside its screen, its lines or its page, and ending it."""

from __future__ import annotations

import contextlib
import os
import secrets
import signal
import sys
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from extract.cli.jobs import print_text
from extract.cli.serving import address_of, listening, open_browser, served
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.live.changes import Change
    from extract.live.model import View
    from extract.live.options import LiveOptions, RunningDesk
    from extract.live.told import Told

#: Seconds that a desk gets to come to its end when it was asked to.
_END_S = 60.0


class Killed(BaseException):
    """The command was ended from outside by a signal, which gives the exit ``status``."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.status = 128 + number


class Running:
    """A desk that runs in a thread."""

    def __init__(self, desk: RunningDesk) -> None:
        self.desk = desk
        self.told: Told | None = None
        self._error: BaseException | None = None
        self._thread = threading.Thread(target=self._run, daemon=True, name="desk")

    def start(self) -> None:
        """Begin to follow the stream."""
        self._thread.start()

    def _run(self) -> None:
        try:
            self.desk.run()
        except BaseException as error:  # It is raised again where the command can answer it.
            self._error = error

    @property
    def failed(self) -> bool:
        """Whether it ended with an error."""
        return self._error is not None

    @property
    def done(self) -> bool:
        """Whether it has ended."""
        return not self._thread.is_alive()

    def wait(self) -> None:
        """Wait until the stream has ended. Raises what it ended with."""
        self._thread.join()
        if self._error is not None:
            raise self._error

    def finish(self) -> None:
        """Ask it to end, wait until what is to be written is written, and raise what it ended with."""
        self.desk.stop()
        if self._thread.ident is not None:
            self._thread.join(_END_S)
        if self._error is not None:
            raise self._error
        if self.told is not None:
            self.told.end()


class Page:
    """The page beside the screen or the lines, where it is ``wanted``. The port is taken before anything else is done."""

    def __init__(self, wanted: bool, port: int, *, browser: bool) -> None:
        self._listener = listening(port) if wanted else None
        self._browser = browser
        self._stack = contextlib.ExitStack()
        self.address: str | None = None

    def __enter__(self) -> Page:
        if self._listener is not None:
            self._stack.enter_context(self._listener)
        return self

    def __exit__(self, *error: object) -> None:
        self._stack.close()

    def open(self, desk: RunningDesk) -> None:
        """Serve it and say where."""
        if self._listener is None:
            return
        from extract.live.page import live_app

        token = secrets.token_urlsafe(24)
        self.address = address_of(self._listener, token)
        self._stack.enter_context(served(live_app(desk, token), self._listener))
        # Standard output may be what another program reads.
        typer.echo(f"Live desk: {self.address}", err=True)
        if self._browser:
            open_browser(self.address)

    def stay(self) -> None:
        """Keep the page when the stream is over, until Ctrl-C: a flag may still wait for an answer."""
        if self.address is not None:
            typer.echo("The stream has ended. Ctrl-C ends the page.", err=True)
            _stay()


def _stay() -> None:
    threading.Event().wait()


def full_screen() -> bool:
    """Whether standard output is a terminal that can show a screen."""
    return sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb"


def print_moment(desk: Running, moment: float, *, jsonl: bool) -> None:
    """Read what there is and print the score at a moment of it. Raises InputError if no bout was running then."""
    from extract.checks.words import clock_text
    from extract.live.told_json import JsonTeller
    from extract.live.told_lines import board_lines

    desk.start()
    desk.wait()
    board = desk.desk.at(moment)
    if board is None:
        heard = clock_text(desk.desk.view().t)
        problem = f"no bout was running at {clock_text(moment)}; what there is goes to {heard}"
        raise InputError("--at", problem, "give a moment of a bout")
    if jsonl:
        print_text(f"{JsonTeller().board(board)}\n")
    else:
        for line in (clock_text(moment), *board_lines(board)):
            typer.echo(line)


class Screen:
    """Shows the desk full-screen."""

    def __init__(self, desk: Running, page: Page) -> None:
        self._desk, self._page = desk, page

    def run(self) -> None:
        """Show it until a person quits or it fails."""
        from rich.console import Console

        from extract.live.terminal import watch

        self._page.open(self._desk.desk)
        self._desk.start()
        console = Console(highlight=False)
        watch(self._desk.desk, console, lambda: self._desk.failed, address=self._page.address or "")

    def end(self) -> None:
        """Print the files that were written."""
        _print_written(self._desk.desk.written)


class Lines:
    """Prints what changes: as lines, or with ``jsonl`` as JSON Lines."""

    def __init__(self, desk: Running, page: Page, options: LiveOptions, *, jsonl: bool) -> None:
        from extract.live.told import Told
        from extract.live.told_json import JsonTeller

        self._desk, self._page, self._options = desk, page, options
        self._json = JsonTeller() if jsonl else None
        desk.told = self._told = Told(desk.desk.told_path)

    def run(self) -> None:
        """Print until the stream ends, and while the page stays."""
        from extract.live.tell import Teller, tell

        self._page.open(self._desk.desk)
        goes_on = self._told.goes_on or self._desk.desk.resumed
        if self._json is not None:
            start = self._json.start(self._options.source, resumed=goes_on, page=self._page.address)
            print_text(f"{start}\n")
        self._desk.desk.keep_step()
        self._desk.start()
        tell(self._desk.desk, Teller(self._write, self._told), lambda: self._desk.done)
        if not self._desk.failed:
            self._page.stay()

    def _write(self, told: Sequence[Change], view: View) -> None:
        from extract.live.told_lines import change_line

        if self._json is not None:
            for line in self._json.lines(told, view.board):
                print_text(f"{line}\n")
            return
        for change in told:
            if shown := change_line(change):
                typer.echo(shown)
        sys.stdout.flush()

    def end(self) -> None:
        """Print the end: the files that were written."""
        desk = self._desk.desk
        if self._json is None:
            _print_written(desk.written)
        else:
            last = desk.view()
            print_text(f"{self._json.end(last.t, last.captions, desk.written)}\n")


def _print_written(written: Sequence[Path]) -> None:
    from extract.record.plain import printable

    if written:
        more = len(written) - 1
        others = f" and {more} other file{'' if more == 1 else 's'}" if more else ""
        typer.echo(f"Written: {printable(str(written[0]))}{others}")


@contextlib.contextmanager
def ended_by_signals() -> Iterator[None]:
    """Whoever ends the command from outside finds the terminal restored: the signal becomes ``Killed``, once."""
    numbers = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]

    def end(number: int, _frame: object) -> None:
        for each in numbers:
            signal.signal(each, signal.SIG_IGN)
        raise Killed(number)

    before = {number: signal.signal(number, end) for number in numbers}
    try:
        yield
    except Killed as killed:
        # What was kept is there for the next run. No record is written of what goes on.
        raise SystemExit(killed.status) from None
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
