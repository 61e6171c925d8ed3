"""The options that several commands on transcripts share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extract.cli.completion import complete_rules
from extract.cli.help import KNOWN, READING
from extract.errors import InputError

# readable=False: Typer's own check of a path answers with the usage: whoever reads the file says it better.
TranscriptFiles = Annotated[
    list[Path],
    typer.Argument(
        metavar="FILE", readable=False, help="Transcripts, or folders of them.", show_default=False
    ),
]
RulesOption = Annotated[
    str | None,
    typer.Option(
        "--rules",
        metavar="NAME",
        help="Ruleset; see saidscore rules.",
        autocompletion=complete_rules,
        rich_help_panel=KNOWN,
    ),
]
RecursiveOption = Annotated[
    bool,
    typer.Option(
        "--recursive",
        "-r",
        help="Read the folders in a folder, too. Records keep their folder in --out.",
        rich_help_panel=READING,
    ),
]
RedOption = Annotated[
    str | None, typer.Option("--red", metavar="NAME", help="Who is in red.", rich_help_panel=KNOWN)
]
BlueOption = Annotated[
    str | None, typer.Option("--blue", metavar="NAME", help="Who is in blue.", rich_help_panel=KNOWN)
]
DecisionsOption = Annotated[
    Path | None,
    typer.Option(
        "--decisions",
        metavar="FILE",
        readable=False,
        help="Corrections; else NAME.decisions.jsonl beside the record or the transcript.",
        rich_help_panel=KNOWN,
    ),
]


def only_one(given: dict[str, bool]) -> None:
    """Check that no more than one of some options is given that exclude each other. Raises InputError."""
    named = [option for option, there in given.items() if there]
    if len(named) > 1:
        raise InputError(named[1], f"does not go with {named[0]}", "give one of them")
