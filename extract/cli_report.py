"""The command ``report``: the page of a record that is there already."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def report(
    record: Annotated[
        Path,
        typer.Argument(
            metavar="RECORD", readable=False, help="A NAME.record.json that log wrote.", show_default=False
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FILE", readable=False, help="Where to write; else NAME.report.html beside it."
        ),
    ] = None,
    transcript: Annotated[
        Path | None,
        typer.Option(
            "--transcript",
            metavar="FILE",
            readable=False,
            help="What the record was made from; else the file of its name beside it or here.",
        ),
    ] = None,
) -> None:
    """Write a page to look at a bout, from its record and its transcript."""
    from extract.record import from_json
    from extract.record.source import check_out, source_transcript, write_whole
    from extract.report import report_page

    target = out or record.with_name(f"{record.name.removesuffix('.record.json')}.report.html")
    check_out(target, tuple(path for path in (record, transcript) if path is not None))
    read = from_json(record)
    path, talk = source_transcript(read, record, transcript)
    check_out(target, (path,))
    write_whole(target, report_page(read, talk))
    typer.echo(f"Written: {target}")
