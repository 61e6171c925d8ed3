"""The command ``check``: what was said on air and does not fit the log."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.folders import Job
from extract.cli.help import OUTPUT
from extract.cli.jobs import (
    BoutOptions,
    find_jobs,
    given_lexicons,
    given_parameters,
    given_rules,
    print_text,
    run_jobs,
)
from extract.cli.labelled import BoutOption, LexiconFiles, ParametersFile
from extract.cli.options import (
    BlueOption,
    DecisionsOption,
    RecursiveOption,
    RedOption,
    RulesOption,
    TranscriptFiles,
    only_one,
)

if TYPE_CHECKING:
    from extract.record import Record
    from extract.record.tables import Cell
    from extract.transcript import Transcript

WRONG = 1


def check(
    files: TranscriptFiles,
    bout: BoutOption = None,
    rules: RulesOption = None,
    red: RedOption = None,
    blue: BlueOption = None,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    decisions: DecisionsOption = None,
    recursive: RecursiveOption = False,
    as_json: Annotated[
        bool,
        typer.Option("--json", help="Print JSON Lines, an object for each thing.", rich_help_panel=OUTPUT),
    ] = False,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print one CSV table, a row for each thing.", rich_help_panel=OUTPUT)
    ] = False,
) -> None:
    """Print what was said on air and does not fit the log.

    One a line, the worst first: file:cue:time: kind of slip: said, should be, confidence: why. Exit status 1 if anything
    is wrong; what is only unclear does not count.
    """
    only_one({"--json": as_json, "--csv": as_csv})
    rules = given_rules(rules)
    jobs = find_jobs(files, bout, decisions=decisions, recursive=recursive)
    given = BoutOptions(rules, red, blue, given_parameters(parameters), given_lexicons(lexicon))
    wrong = False
    table: list[tuple[Cell, ...]] = []

    def deliver(job: Job, record: Record, transcript: Transcript) -> None:
        from extract.record.disagreements import disagreement_lines, disagreements
        from extract.record.said_table import json_line, said_rows

        nonlocal wrong
        found = disagreements(record)
        wrong = wrong or any(item.verdict == "wrong" for item in found)
        if not (as_json or as_csv):
            for line in disagreement_lines(record, str(job.path)):
                typer.echo(line)
            return
        rows = said_rows(found, record, str(job.path), job.name, transcript)
        if as_json:
            print_text("".join(map(json_line, rows)))
        else:
            table.extend(rows)

    status = run_jobs(jobs, given, deliver)
    if as_csv:
        from extract.record.files import csv_text
        from extract.record.said_table import COLUMNS

        print_text(csv_text(COLUMNS, table))
    if status:
        raise typer.Exit(status)
    if wrong:
        raise typer.Exit(WRONG)
