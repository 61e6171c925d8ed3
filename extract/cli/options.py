"""The options that several commands on transcripts share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extract.errors import InputError

# readable=False: Typer's own check of a path answers with the usage: whoever reads the file says it better.
TranscriptFiles = Annotated[
    list[Path],
    typer.Argument(
        metavar="FILE", readable=False, help="Transcripts, or folders of them.", show_default=False
    ),
]
RulesOption = Annotated[
    str | None, typer.Option("--rules", metavar="NAME", help="Ruleset; see the command rules.")
]
RedOption = Annotated[str | None, typer.Option("--red", metavar="NAME", help="Who is in red.")]
BlueOption = Annotated[str | None, typer.Option("--blue", metavar="NAME", help="Who is in blue.")]


DecisionsOption = Annotated[
    Path | None,
    typer.Option(
        "--decisions",
        metavar="FILE",
        readable=False,
        help="What people have decided; else NAME.decisions.jsonl beside the record or the transcript.",
    ),
]


def only_one(given: dict[str, bool]) -> None:
    """Check that no more than one of some options is given that exclude each other. Raises InputError."""
    named = [option for option, there in given.items() if there]
    if len(named) > 1:
        raise InputError(named[1], f"does not go with {named[0]}", "give one of them")
