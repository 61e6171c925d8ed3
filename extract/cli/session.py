"""The command ``session``: a whole session in one recording, cut into its bouts."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.completion import complete_rules
from extract.cli.help import KNOWN, OUTPUT
from extract.cli.jobs import given_lexicons, given_parameters, given_rules, print_text, tell_notices
from extract.cli.labelled import LexiconFiles, ParametersFile
from extract.errors import InputError
from extract.paths import real

if TYPE_CHECKING:
    from extract.record import Record
    from extract.session import Session
    from extract.transcript import Transcript


def session(
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", readable=False, help="The transcript.", show_default=False),
    ],
    sheet: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="FILE",
            readable=False,
            help="The bouts that were to be: columns red and blue, and what else a bout file may say.",
            rich_help_panel=KNOWN,
        ),
    ] = None,
    rules: Annotated[
        str | None,
        typer.Option(
            "--rules",
            metavar="NAME",
            help="Ruleset of all bouts; see saidscore rules.",
            autocompletion=complete_rules,
            rich_help_panel=KNOWN,
        ),
    ] = None,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="DIR",
            readable=False,
            help="Where to write; else the current folder.",
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    report: Annotated[
        bool,
        typer.Option(
            "--report",
            help="Write NAME.01.report.html and so on and NAME.bouts.html too, and list what is to check.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    quiet: Annotated[
        bool, typer.Option("--quiet", "-q", help="Print nothing.", rich_help_panel=OUTPUT)
    ] = False,
    as_json: Annotated[
        bool,
        typer.Option(
            "--json",
            help="Print the records as JSON Lines and write files only with --out.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
) -> None:
    """Cut a recording of many bouts: a record of each.

    Writes NAME.01.record.json with its tables for the first bout and so on, and NAME.session.csv, whose rows are the
    parts of the recording: bouts, and the studio talk between them.

    A computed score is a reading of commentary, not an official result; the officials' score sheet stands.
    """
    out_dir = out if as_json or out else Path()
    rules = given_rules(rules)
    read = [path for path in (file, sheet) if path is not None]
    for path, what in ((file, "transcript"), (sheet, "bout sheet")):
        if path is not None and not path.exists():
            raise InputError(path, "no such file or folder", f"give the path of a {what}")
    if out_dir is not None and out_dir.exists() and not out_dir.is_dir():
        raise InputError(out_dir, "is no folder", "give a folder with --out")
    weights, words = given_parameters(parameters), given_lexicons(lexicon)

    from extract.session import extract_session, read_sheet
    from extract.session.table import part_lines
    from extract.transcript import read_transcript

    transcript = read_transcript(file)
    tell_notices(file, transcript)
    found, records = extract_session(
        transcript,
        sheet=read_sheet(sheet) if sheet is not None else None,
        rules=rules,
        parameters=weights,
        lexicons=words,
    )
    written = 0
    if out_dir is not None:
        pages = _pages(found, records, transcript) if report else [None] * len(records)
        written = _write(found, records, pages, out_dir, file.stem, read)
    if as_json:
        from extract.record import to_json

        for record in records:
            print_text(to_json(record, one_line=True))
    elif not quiet:
        from extract.record.model import NOTE
        from extract.record.plain import printable

        typer.echo(f"{printable(str(file))}: {len(records)} bouts")
        for line in part_lines(found, records):
            typer.echo(line)
        if report:
            _list_checks(records, file.stem)
        typer.echo(f"\n{NOTE}")
        if out_dir is not None:
            typer.echo(
                f"Written: {printable(str(out_dir / f'{file.stem}.session.csv'))} and {written - 1} other files"
            )


def _pages(found: Session, records: Sequence[Record], transcript: Transcript) -> list[str | None]:
    from extract.report import report_page
    from extract.session import part_transcript

    return [
        report_page(record, part_transcript(transcript, part))
        for part, record in zip(found.bouts, records, strict=True)
    ]


def _list_checks(records: Sequence[Record], name: str) -> None:
    """Prints what is to check in each bout, as ``saidscore check`` does."""
    from extract.record import disagreement_lines
    from extract.session.table import part_name

    lines = [
        line
        for number, record in enumerate(records, 1)
        for line in disagreement_lines(record, part_name(name, number))
    ]
    typer.echo("\nTo check" if lines else "\nNothing to check")
    for line in lines:
        typer.echo(f"  {line}")


def _write(
    found: Session,
    records: Sequence[Record],
    pages: Sequence[str | None],
    out_dir: Path,
    name: str,
    read: Sequence[Path],
) -> int:
    """Writes all or nothing. Returns the number of files."""
    from extract.record.files import record_contents, write_files
    from extract.session.table import part_name, parts_csv

    contents: dict[Path, bytes] = {}
    if records and all(pages):
        from extract.export.folder import address, folder_page

        names = [part_name(name, number) for number in range(1, len(records) + 1)]
        links = {each: address(f"{each}.report.html") for each in names}
        listed = folder_page(zip(names, records, strict=True), name, links=links)
        contents[out_dir / f"{name}.bouts.html"] = listed.encode()
    for number, (record, page) in enumerate(zip(records, pages, strict=True), 1):
        contents |= record_contents(record, out_dir, part_name(name, number), page)
    contents[out_dir / f"{name}.session.csv"] = parts_csv(found, records, name, read[0].name).encode(
        "utf-8-sig"
    )
    sources = {real(path) for path in read}
    for target in contents:
        if real(target) in sources:
            raise InputError(target, "would be overwritten, and it is read", "give another folder with --out")
    write_files(out_dir, contents)
    return len(contents)
