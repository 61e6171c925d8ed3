"""The command ``report``: the page of an existing record."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extract.cli.export import RecordFile, TranscriptFile


def report(
    record: RecordFile,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FILE", readable=False, help="Where to write; else NAME.report.html beside it."
        ),
    ] = None,
    transcript: TranscriptFile = None,
) -> None:
    """Write an HTML report of a bout.

    It shows the record and the transcript it was made from.
    """
    from extract.paths import write_whole
    from extract.record import from_json
    from extract.record.source import check_out, source_transcript
    from extract.report import report_page

    target = out or record.with_name(f"{record.name.removesuffix('.record.json')}.report.html")
    check_out(target, tuple(path for path in (record, transcript) if path is not None))
    read = from_json(record)
    path, talk = source_transcript(read, record, transcript)
    check_out(target, (path,))
    write_whole(target, report_page(read, talk).encode(), "--out")
    typer.echo(f"Written: {target}")
