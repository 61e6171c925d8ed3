"""The command ``completion``, and what a shell may complete: rulesets, editions, export forms."""

from __future__ import annotations

import os
from enum import StrEnum
from typing import Annotated, Any

import typer

#: The variable by which a shell asks for completions, and the program that it asks.
COMPLETE, _PROGRAM = "_SAIDSCORE_COMPLETE", "saidscore"


class Shell(StrEnum):
    bash = "bash"
    zsh = "zsh"
    fish = "fish"


def completion(
    shell: Annotated[Shell, typer.Argument(metavar="SHELL", help="bash, zsh or fish.", show_default=False)],
) -> None:
    """Print the script by which a shell completes commands."""
    from typer._completion_shared import get_completion_script

    typer.echo(get_completion_script(prog_name=_PROGRAM, complete_var=COMPLETE, shell=shell.value))


def prepare_completion() -> None:
    """Make the shells known, if it is a shell that asks."""
    if COMPLETE in os.environ:
        from typer._completion_classes import completion_init

        completion_init()


def complete_rules(incomplete: str) -> list[str]:
    """The rulesets that begin so."""
    from extract.rules import ruleset_names

    return [name for name in ruleset_names() if name.startswith(incomplete.casefold())]


def complete_editions(ctx: typer.Context, incomplete: str) -> list[str]:
    """The editions that begin so, of the ruleset that is named, or of all."""
    from extract.rules import UnknownRules, edition_names, ruleset_names

    # As long as --edition has no value, the line is not fully read.
    named: Any = ctx.params.get("name") or next(iter(ctx.args), None)
    try:
        editions = (
            edition_names(named) if named else [e for name in ruleset_names() for e in edition_names(name)]
        )
    except UnknownRules:
        return []
    return [edition for edition in dict.fromkeys(editions) if edition.startswith(incomplete)]


def complete_forms(incomplete: str) -> list[str]:
    """The forms of export that begin so."""
    from extract.export import FORMS

    return [name for name in FORMS if name.startswith(incomplete)]


def complete_when(incomplete: str) -> list[str]:
    """The moments of a caption's score that begin so."""
    from extract.export.captions import When

    return [when for when in When if when.startswith(incomplete)]
