"""The commands on lexicons: ``lexicon check`` and ``lexicon hear``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extract.cli.completion import complete_rules
from extract.cli.help import READING, Group, add
from extract.cli.jobs import given_lexicons, meant_rules
from extract.cli.labelled import LexiconFiles

FAULTY = 1

lexicon_app = typer.Typer(
    cls=Group,
    name="lexicon",
    add_completion=False,
    rich_markup_mode=None,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Check your own words, or hear a sentence.",
    epilog='saidscore lexicon hear "Two for red, and that is four-nothing"',
)


@lexicon_app.callback()
def _lexicon() -> None:
    pass


def check(
    files: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="FILE",
            readable=False,
            help="Lexicons of your own; none: the shipped ones.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Print each problem of a lexicon.

    One a line: file:line: problem; remedy. Exit status 1 if there is any, 2 for a file that cannot be read.

    A FILE is checked as it works over the shipped lexicons: a form or a row that takes the place of a shipped one is
    noted. The sentences of each row are heard: it must be found in what it says, and not in what it says not.
    """
    from extract.mentions.lexicon_check import check_files, check_shipped
    from extract.record.plain import printable

    report = check_files(files) if files else check_shipped()
    for text in (*report.notes, *report.problems):
        typer.echo(printable(str(text)))
    if report.problems:
        raise typer.Exit(FAULTY)
    entries = "1 entry" if report.entries == 1 else f"{report.entries} entries"
    forms = "1 form" if report.forms == 1 else f"{report.forms} forms"
    rows = "" if not report.rows else ", 1 row" if report.rows == 1 else f", {report.rows} rows"
    typer.echo(f"{entries}, {forms}{rows}: no problem")


def hear(
    sentence: Annotated[str, typer.Argument(metavar="SENTENCE", help="What is said.", show_default=False)],
    lexicons: LexiconFiles = None,
    rules: Annotated[
        str,
        typer.Option(
            "--rules",
            metavar="NAME",
            help="The ruleset whose lexicon is taken.",
            autocompletion=complete_rules,
            rich_help_panel=READING,
        ),
    ] = "freestyle",
) -> None:
    """Print what is heard in one sentence.

    Each is printed with the row of lexicons/phrases that it was found by.
    It is said over the bout of the examples: Okomfo in red, of Harbour Lights, against Umarike in blue, of Saltmarsh.
    """
    from extract.mentions.lexicon_check import own_lexicon
    from extract.mentions.row_check import hear_sentence, mention_text
    from extract.record.plain import printable

    heard = hear_sentence(sentence, own_lexicon(meant_rules(rules), given_lexicons(lexicons)))
    for mention in heard.mentions:
        typer.echo(printable(f"{heard.place(mention).text}: {mention_text(mention)}"))
    if not heard.mentions:
        typer.echo("nothing is heard there")


add(lexicon_app, check, "saidscore lexicon check mine.toml")
add(lexicon_app, hear, 'saidscore lexicon hear "Two for red, and that is four-nothing"')
