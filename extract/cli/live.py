"""The command ``live``: follows a growing stream of captions, shows the score and what is said wrong while it happens."""

from __future__ import annotations

import contextlib
import os
import secrets
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.help import KNOWN, OUTPUT, READING
from extract.cli.jobs import BoutOptions, given_lexicons, given_parameters, given_rules, print_text
from extract.cli.labelled import BoutOption, LexiconFiles, ParametersFile
from extract.cli.options import BlueOption, RedOption, RulesOption, only_one
from extract.cli.serving import ByOption, NoBrowserOption, address_of, listening, open_browser, served, who
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.live.changes import Change
    from extract.live.model import View
    from extract.live.options import LiveOptions, RunningDesk

#: Seconds that a desk gets to come to its end when it was asked to.
_END_S = 30.0
_STDIN = "-"
_ADDRESSES = ("http://", "https://")


def live(
    source: Annotated[
        str,
        typer.Argument(
            metavar="FILE|ADDRESS",
            help="A transcript, an http address on this machine, or - for standard input, as without it.",
            show_default=False,
        ),
    ] = _STDIN,
    bout: BoutOption = None,
    sheet: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="FILE",
            readable=False,
            help="The bouts that are to be, in their order: columns red and blue, and what else a bout file may say.",
            rich_help_panel=KNOWN,
        ),
    ] = None,
    rules: RulesOption = None,
    red: RedOption = None,
    blue: BlueOption = None,
    follow: Annotated[
        bool,
        typer.Option(
            "--follow",
            "-f",
            help="The file is still being written: wait for more at its end.",
            rich_help_panel=READING,
        ),
    ] = False,
    flag_at: Annotated[
        float | None,
        typer.Option(
            "--flag-at",
            metavar="X",
            help="How sure it must be, 0 to 1, before a flag is raised. Lower is sooner, with more false alarms.",
            rich_help_panel=READING,
        ),
    ] = None,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    at: Annotated[
        str | None,
        typer.Option(
            "--at",
            metavar="M:SS",
            help="Print the score at a moment of the recording, who leads and why and what is left, and end.",
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    jsonl: Annotated[
        bool,
        typer.Option("--jsonl", help="Print a JSON object a line for each change.", rich_help_panel=OUTPUT),
    ] = False,
    plain: Annotated[
        bool,
        typer.Option(
            "--plain",
            help="Print a line for each change, as to a file; no full screen.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    keep: Annotated[
        Path,
        typer.Option(
            "--keep",
            metavar="DIR",
            readable=False,
            help="Where the record, the corrections and the state are kept; else the current folder.",
            show_default=False,
            rich_help_panel=OUTPUT,
        ),
    ] = Path(),
    page: Annotated[
        bool | None,
        typer.Option(
            "--page/--no-page",
            help="Serve a page to this machine, or do not; it is served with the full screen and with --port.",
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    port: Annotated[
        int | None,
        typer.Option(
            "--port",
            metavar="N",
            min=0,
            max=65535,
            help="Port on this machine; else any that is free.",
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    no_browser: NoBrowserOption = False,
    by: ByOption = None,
) -> None:
    """Follow a bout while it happens: score, clock, flags.

    Shows the score, the clock and what was said wrong, full-screen in a terminal and as lines anywhere else. Ctrl-C ends
    it, and q. A run that was broken off goes on where it was when it is started again.

    A computed score is a reading of commentary, not an official result; the officials' score sheet stands.
    """  # fmt: skip
    only_one({"--plain": plain, "--jsonl": jsonl})
    only_one({"--sheet": sheet is not None, "--bout": bout is not None})
    only_one({"--no-page": page is False, "--port": port is not None})
    for option, there in (
        ("--follow", follow),
        ("--page", page is True),
        ("--port", port is not None),
        ("--plain", plain),
    ):
        only_one({"--at": at is not None, option: there})
    for path, what in ((bout, "bout file"), (sheet, "bout sheet")):
        if path is not None and not path.is_file():
            raise InputError(path, "no such file", f"give the path of a {what}")
    _check_source(source)
    moment = _moment(at)
    if flag_at is not None and not 0 <= flag_at <= 1:
        raise InputError("--flag-at", f"{flag_at:g} is not from 0 to 1", "give how sure it must be, like 0.8")
    if keep.exists() and not keep.is_dir():
        raise InputError(keep, "is no folder", "give a folder with --keep")
    given = BoutOptions(given_rules(rules), red, blue, given_parameters(parameters), given_lexicons(lexicon))

    from extract.live.desk import open_desk
    from extract.live.options import LiveOptions

    options = LiveOptions(
        source, follow, bout, sheet, given.rules, red, blue, given.parameters, given.lexicons, keep, flag_at,
        who(by), keeps_state=moment is None,
    )  # fmt: skip
    full = not (plain or jsonl or moment is not None) and _full_screen()
    with _ending(), _Page(page if page is not None else full or port is not None, port or 0) as served_page:
        desk = _Running(open_desk(options))
        try:
            if moment is not None:
                _print_moment(desk, moment, jsonl=jsonl)
            elif full:
                served_page.open(desk.desk, browser=not no_browser)
                _watch(desk, served_page.address)
            else:
                served_page.open(desk.desk, browser=not no_browser)
                _tell(desk, options, served_page.address, jsonl=jsonl)
                if not desk.failed:
                    served_page.stay()
        except KeyboardInterrupt:
            # This is how a person ends it.
            pass
        finally:
            desk.finish()
        desk.raise_error()
        if moment is None and not jsonl:
            _print_written(desk.desk.written)


def _check_source(source: str) -> None:
    if source == _STDIN:
        if sys.stdin is None or sys.stdin.isatty():
            problem = "no captions come on standard input"
            raise InputError("FILE", problem, "give a file or an address, or send captions through a pipe")
    elif not source.startswith(_ADDRESSES):
        path = Path(source)
        if not path.exists():
            raise InputError(source, "no such file", "give the path of a transcript; it may still be empty")
        if path.is_dir():
            raise InputError(source, "is a folder", "give the path of one transcript")


def _moment(at: str | None) -> float | None:
    if at is None:
        return None
    from extract.transcript.times import any_seconds

    seconds = any_seconds(at)
    if seconds is None:
        raise InputError("--at", f"{at!r} is no time", "write it as m:ss, h:mm:ss or seconds")
    return seconds


def _full_screen() -> bool:
    return sys.stdout.isatty() and os.environ.get("TERM", "dumb") != "dumb"


class _Running:
    """A desk that runs in a thread."""

    def __init__(self, desk: RunningDesk) -> None:
        self.desk = desk
        self._error: BaseException | None = None
        self._thread = threading.Thread(target=self._run, daemon=True, name="desk")

    def start(self) -> None:
        self._thread.start()

    def _run(self) -> None:
        try:
            self.desk.run()
        except BaseException as error:  # It is raised again where the command can answer it.
            self._error = error

    @property
    def failed(self) -> bool:
        return self._error is not None

    @property
    def done(self) -> bool:
        return not self._thread.is_alive()

    def wait(self) -> None:
        """Until the stream has ended."""
        self._thread.join()

    def finish(self) -> None:
        """Ask it to end, and wait until it has."""
        self.desk.stop()
        if self._thread.ident is not None:
            self._thread.join(_END_S)

    def raise_error(self) -> None:
        if self._error is not None:
            raise self._error


class _Page:
    """The page beside the screen or the lines, where it is wanted. The port is taken before anything else is done."""

    def __init__(self, wanted: bool, port: int) -> None:
        self._listener = listening(port) if wanted else None
        self._stack = contextlib.ExitStack()
        self.address: str | None = None

    def __enter__(self) -> _Page:
        self._stack.__enter__()
        if self._listener is not None:
            self._stack.enter_context(self._listener)
        return self

    def __exit__(self, *error: object) -> None:
        self._stack.close()

    def open(self, desk: RunningDesk, *, browser: bool) -> None:
        """Serve it and say where."""
        if self._listener is None:
            return
        from extract.live.page import live_app

        token = secrets.token_urlsafe(24)
        self.address = address_of(self._listener, token)
        self._stack.enter_context(served(live_app(desk, token), self._listener))
        # Standard output may be what another program reads.
        typer.echo(f"Live desk: {self.address}", err=True)
        if browser:
            open_browser(self.address)

    def stay(self) -> None:
        """Keep the page when the stream is over, until Ctrl-C: a flag may still wait for an answer."""
        if self.address is not None:
            typer.echo("The stream has ended. Ctrl-C ends the page.", err=True)
            _stay()


def _stay() -> None:
    threading.Event().wait()


def _print_moment(desk: _Running, moment: float, *, jsonl: bool) -> None:
    from extract.checks.words import clock_text
    from extract.live.told_json import JsonTeller
    from extract.live.told_lines import board_lines

    desk.start()
    desk.wait()
    desk.raise_error()
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


def _watch(desk: _Running, address: str | None) -> None:
    from rich.console import Console

    from extract.live.terminal import watch

    desk.start()
    watch(desk.desk, Console(highlight=False), lambda: desk.failed, address=address or "")


def _tell(desk: _Running, options: LiveOptions, address: str | None, *, jsonl: bool) -> None:
    from extract.live.tell import tell
    from extract.live.told import Told

    told = Told(desk.desk.told_path, goes_on=desk.desk.resumed)
    write, end = (
        _json_writer(options.source, address, resumed=desk.desk.resumed) if jsonl else (_write_lines, None)
    )
    desk.desk.keep_step()
    desk.start()
    last = tell(desk.desk, write, told, lambda: desk.done)
    if end is not None and not desk.failed:
        end(last, desk.desk.written)


def _write_lines(told: Sequence[Change], view: View) -> None:
    from extract.live.told_lines import change_line

    for change in told:
        if line := change_line(change):
            typer.echo(line)
    sys.stdout.flush()


def _json_writer(
    source: str, address: str | None, *, resumed: bool
) -> tuple[Callable[[Sequence[Change], View], None], Callable[[View, Sequence[Path]], None]]:
    """What writes the changes as JSON Lines, and what writes the last line."""
    from extract.live.told_json import JsonTeller

    teller = JsonTeller()
    print_text(f"{teller.start(source, resumed=resumed, page=address)}\n")

    def write(told: Sequence[Change], view: View) -> None:
        for line in teller.lines(told, view.board):
            print_text(f"{line}\n")

    def end(last: View, written: Sequence[Path]) -> None:
        print_text(f"{teller.end(last.t, last.captions, written)}\n")

    return write, end


def _print_written(written: Sequence[Path]) -> None:
    from extract.record.plain import printable

    if written:
        more = len(written) - 1
        others = f" and {more} other file{'' if more == 1 else 's'}" if more else ""
        typer.echo(f"Written: {printable(str(written[0]))}{others}")


@contextlib.contextmanager
def _ending() -> Iterator[None]:
    """Whoever ends the command from outside finds the terminal restored and the state kept: the signal becomes an
    exception, once."""
    numbers = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]

    def end(number: int, _frame: object) -> None:
        for each in numbers:
            signal.signal(each, signal.SIG_IGN)
        raise SystemExit(128 + number)

    before = {number: signal.signal(number, end) for number in numbers}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
