"""The command ``review``: the desk on which a person corrects records."""

from __future__ import annotations

import contextlib
import getpass
import secrets
import socket
from pathlib import Path
from typing import Annotated

import typer

from extract.cli.jobs import given_lexicons, given_parameters
from extract.cli.labelled import BoutOption, LexiconFiles, ParametersFile
from extract.errors import InputError

_HOST = "127.0.0.1"


def review(
    records: Annotated[
        Path,
        typer.Argument(
            metavar="RECORD|FOLDER",
            readable=False,
            help="A record (NAME.record.json), or a folder of them.",
            show_default=False,
        ),
    ],
    transcript: Annotated[
        Path | None,
        typer.Option(
            "--transcript",
            metavar="PATH",
            readable=False,
            help="The transcript, or the folder of them; else beside the record or in the current folder.",
        ),
    ] = None,
    bout: BoutOption = None,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    by: Annotated[
        str | None,
        typer.Option("--by", metavar="NAME", help="Who decides; else the name you are logged in as."),
    ] = None,
    port: Annotated[
        int,
        typer.Option(
            "--port", metavar="N", min=0, max=65535, help="Port on this machine; 0: any that is free."
        ),
    ] = 0,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Print the address and open no browser.")
    ] = False,
) -> None:
    """Open a page on this machine to correct records.

    It is served on this machine alone, until Ctrl-C.

    Decisions are kept in NAME.decisions.jsonl beside the record, the record and its tables are made anew after each,
    and saidscore log goes by them when it runs again.
    """
    import uvicorn

    from extract.desk import DeskOptions, desk_app, open_bout
    from extract.desk.folder import record_files

    folder = records.is_dir()
    if folder and bout is not None:
        raise InputError(
            bout, "one bout file cannot stand for a folder", "put a NAME.bout.toml beside each transcript"
        )
    if not folder and not records.is_file():
        raise InputError(
            records, "no such file or folder", "give a record that saidscore log wrote, or a folder of them"
        )
    given = DeskOptions(_who(by), transcript, bout, given_parameters(parameters), given_lexicons(lexicon))
    files = record_files(records) if folder else {records.name.removesuffix(".record.json"): records}
    if not folder:
        # Errors about it are printed here and not on a page.
        open_bout(records, given)
    token = secrets.token_urlsafe(24)
    with _listening(port) as listener:
        address = f"http://{_HOST}:{listener.getsockname()[1]}/{token}/"
        typer.echo(f"Review desk: {address}\nCtrl-C ends it; every decision is kept as it is made.")
        if not no_browser:
            _open(address)
        config = uvicorn.Config(
            desk_app(files, given, token, folder=folder), log_level="error", access_log=False, lifespan="off",
            server_header=False,
        )  # fmt: skip
        with contextlib.suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listener])


def _who(by: str | None) -> str:
    """Who decides. Raises InputError if that is not known."""
    if by is not None and not by.strip():
        raise InputError("--by", "the name is empty", "give the name, or leave the option out")
    try:
        return by.strip() if by is not None else getpass.getuser()
    except (OSError, KeyError):
        raise InputError("--by", "who decides is not known here", "give a name with --by") from None


def _listening(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((_HOST, port))
    except OSError as error:
        listener.close()
        raise InputError(
            "--port", f"{port} cannot be used ({error.strerror})", "give another, or 0 for any"
        ) from None
    listener.listen(64)
    return listener


def _open(address: str) -> None:
    import webbrowser

    with contextlib.suppress(webbrowser.Error):
        webbrowser.open(address)
