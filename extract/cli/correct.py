"""The command ``correct``: the desk on which a person corrects records."""

from __future__ import annotations

import contextlib
import secrets
from pathlib import Path
from typing import Annotated

import typer

from extract.cli.jobs import given_lexicons, given_parameters
from extract.cli.labelled import BoutOption, LexiconFiles, ParametersFile
from extract.cli.serving import (
    ByOption,
    NoBrowserOption,
    PortOption,
    address_of,
    listening,
    open_browser,
    server,
    who,
)
from extract.errors import InputError


def correct(
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
    by: ByOption = None,
    port: PortOption = 0,
    no_browser: NoBrowserOption = False,
) -> None:
    """Correct records on a page served to this machine alone.

    Ctrl-C ends it. Corrections are kept in NAME.decisions.jsonl beside the record. The record and its tables are made
    anew after each, and saidscore log goes by them when it runs again.
    """
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
    given = DeskOptions(who(by), transcript, bout, given_parameters(parameters), given_lexicons(lexicon))
    files = record_files(records) if folder else {records.name.removesuffix(".record.json"): records}
    if not folder:
        # Errors about it are printed here and not on a page.
        open_bout(records, given)
    token = secrets.token_urlsafe(24)
    with listening(port) as listener:
        address = address_of(listener, token)
        typer.echo(f"Correction desk: {address}\nCtrl-C ends it; every correction is saved as it is made.")
        if not no_browser:
            open_browser(address)
        with contextlib.suppress(KeyboardInterrupt):
            server(desk_app(files, given, token, folder=folder)).run(sockets=[listener])
