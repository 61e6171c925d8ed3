"""The command ``facts``: the fact sheet of an existing record."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.export import RecordFile, TranscriptFile
from extract.cli.jobs import print_text
from extract.cli.options import only_one
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.record import Record
    from extract.transcript import Transcript


def facts(
    record: RecordFile,
    transcript: TranscriptFile = None,
    html: Annotated[bool, typer.Option("--html", help="Print one HTML page.")] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print JSON Lines, an object for each thing said.")
    ] = False,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print a CSV table, a row for each thing said.")
    ] = False,
) -> None:
    """Print a fact sheet: what was said, the wrong things first.

    Each wrong one has its line of the transcript, what it should be, and a sentence to read out.
    """
    from extract.record import from_json

    only_one({"--html": html, "--json": as_json, "--csv": as_csv})
    read = from_json(record)
    talk = _transcript(read, record, transcript)
    if as_json or as_csv:
        from extract.record.disagreements import on_air
        from extract.record.files import csv_text, record_name
        from extract.record.said_table import COLUMNS, json_line, said_rows

        rows = said_rows(on_air(read), read, read.source.file, record_name(record), talk)
        print_text("".join(map(json_line, rows)) if as_json else csv_text(COLUMNS, rows))
        return
    from extract.export.facts import fact_sheet

    sheet = fact_sheet(read, talk)
    if html:
        from extract.export.facts_html import facts_html

        print_text(facts_html(sheet))
    else:
        from extract.export.facts_text import facts_text

        typer.echo(facts_text(sheet), nl=False)


def _transcript(record: Record, path: Path, given: Path | None) -> Transcript | None:
    """The transcript that is given, else the one that is found. The sheet does without one."""
    from extract.record.source import source_transcript

    with contextlib.suppress(InputError) if given is None else contextlib.nullcontext():
        return source_transcript(record, path, given)[1]
    return None
