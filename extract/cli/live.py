"""The command ``live``: follows a growing stream of captions, shows the score and what is said wrong while it happens."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import Annotated

import typer

from extract.cli.help import KNOWN, OUTPUT, READING
from extract.cli.jobs import BoutOptions, given_lexicons, given_parameters, given_rules
from extract.cli.labelled import BoutOption, LexiconFiles, ParametersFile
from extract.cli.live_run import Lines, Page, Running, Screen, ended_by_signals, full_screen, print_moment
from extract.cli.options import BlueOption, RedOption, RulesOption, only_one
from extract.cli.serving import ByOption, NoBrowserOption, who
from extract.errors import InputError

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
    it and writes the record, as q does. A run that was killed goes on where it was when it is started again.

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
    full = not (plain or jsonl or moment is not None) and full_screen()
    wanted = page if page is not None else full or port is not None
    with ended_by_signals(), Page(wanted, port or 0, browser=not no_browser) as page_beside:
        desk = Running(open_desk(options))
        if moment is not None:
            print_moment(desk, moment, jsonl=jsonl)
            return
        shown = Screen(desk, page_beside) if full else Lines(desk, page_beside, options, jsonl=jsonl)
        with contextlib.suppress(KeyboardInterrupt):
            # This is how a person ends it.
            shown.run()
        desk.finish()
        shown.end()


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
