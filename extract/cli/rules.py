"""The command ``saidscore rules``: which rulesets there are, and what an edition of one says."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.completion import complete_editions, complete_rules
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.rules.edition import Edition

#: Columns of the printed rules.
_WIDTH, _WHAT = 110, 26


def rules_command(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="NAME",
            help="A ruleset; all are listed without it.",
            show_default=False,
            autocompletion=complete_rules,
        ),
    ] = None,
    edition: Annotated[
        str | None,
        typer.Option(
            "--edition",
            metavar="NAME",
            help="Its edition; else the latest.",
            autocompletion=complete_editions,
        ),
    ] = None,
    date: Annotated[
        str | None, typer.Option("--date", metavar="YYYY-MM-DD", help="The edition in force on that day.")
    ] = None,
) -> None:
    """List the rulesets, or print what an edition says.

    Each value is printed with its source.
    """
    from extract.rules import UnknownRules
    from extract.rules.edition import find_edition

    if name is None:
        if edition is not None or date is not None:
            option = "--edition" if edition is not None else "--date"
            raise InputError(option, "no ruleset is named", "name one, as in: saidscore rules freestyle")
        _list()
        return
    if edition is not None and date is not None:
        raise InputError("--date", "an edition is named as well", "give one of the two")
    try:
        found = find_edition(name, edition, date)
    except UnknownRules as error:
        raise InputError("rules", error.problem, error.remedy) from None
    _print(found)


def _list() -> None:
    from extract.rules.describe import in_force
    from extract.rules.edition import load_editions, style_names

    typer.echo(f"{'ruleset':<12}{'edition':<18}in force")
    for style, editions in load_editions().items():
        for edition in editions:
            typer.echo(f"{style:<12}{edition.name:<18}{in_force(edition)}")
    typer.echo("\nOther names, in any case, with or without blanks and hyphens")
    for style in load_editions():
        names = ", ".join(name for name, meant in style_names().items() if meant == style and name != style)
        typer.echo(_wrapped(names, f"{style:<12}"))
    typer.echo("\nsaidscore rules NAME prints the latest edition of one, with the source of each value.")


def _print(edition: Edition) -> None:
    from extract.rules.describe import describe, documents_of, in_force

    typer.echo(f"{edition.style}, edition {edition.name} ({in_force(edition)})")
    typer.echo(_wrapped(edition.source["valid_from"], "    source: "))
    for section in describe(edition):
        typer.echo(f"\n{section.heading}")
        source = None
        for row in section.rows:
            if source not in (None, row.source):
                typer.echo(_wrapped(str(source), "    source: "))
            source = row.source
            lead = f"  {row.what:<{_WHAT}}"
            if len(row.what) > _WHAT - 1:
                typer.echo(_wrapped(row.what, "  "))
                lead = " " * (_WHAT + 2)
            typer.echo(_wrapped(row.says, lead))
        typer.echo(_wrapped(str(source), "    source: "))
    typer.echo("\nSources")
    for short, text in documents_of(edition).items():
        typer.echo(_wrapped(text, f"  {short:<6}"))


def _wrapped(text: str, lead: str) -> str:
    return textwrap.fill(
        text, _WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead),
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
