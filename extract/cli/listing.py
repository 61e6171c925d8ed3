"""The command ``list``: the bouts of a folder of records."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.jobs import FAILED, complain, print_text
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.export.folder import Named

_ENDING = ".record.json"
_PAGE = "bouts.html"


def list_bouts(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="DIR",
            readable=False,
            help="A folder of records; folders in it are read too.",
            show_default=False,
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", readable=False, help=f"Where to write; else DIR/{_PAGE}."),
    ] = None,
    as_csv: Annotated[
        bool, typer.Option("--csv", help="Print a CSV table instead, or write it with --out.")
    ] = False,
) -> None:
    """Write a page that lists the bouts of a folder.

    Each with its result, how many of the scores stated were wrong, and a link to its report. Exit status 3 if some records
    could not be read.
    """
    from extract.export.folder import folder_csv, folder_page
    from extract.paths import write_whole
    from extract.record.source import check_out

    paths = _record_paths(folder)
    target = out or (None if as_csv else folder / _PAGE)
    if target is not None:
        check_out(target, tuple(paths.values()))
    records, broken = _read(paths)
    if not records:
        raise InputError(folder, "no record in it can be read", "make them anew with saidscore log")
    links = _links(paths, folder if target is None else target.parent)
    if as_csv:
        text = folder_csv(records, links)
    else:
        names = [f"{name}{_ENDING}" for name in broken]
        text = folder_page(records, folder.resolve().name or "Bouts", names, links)
    if target is None:
        print_text(text)
    else:
        content = text.encode("utf-8-sig" if as_csv else "utf-8", errors="replace")
        write_whole(target, content, "--out")
        typer.echo(f"Written: {target} ({len(records)} bout{'' if len(records) == 1 else 's'})")
    if broken:
        raise typer.Exit(FAILED)


def _record_paths(folder: Path) -> dict[str, Path]:
    """The records of a folder and of those in it by their names, which have the folders too. Raises
    InputError if there is none."""
    if not folder.exists():
        raise InputError(folder, "no such file or folder", "give the path of a folder with records")
    if not folder.is_dir():
        raise InputError(folder, "is no folder", "give the folder that the record lies in")
    paths = sorted(path for path in folder.rglob(f"*{_ENDING}") if path.is_file())
    if not paths:
        raise InputError(
            folder, "no record in this folder", "make some with saidscore log or saidscore session"
        )
    return {path.relative_to(folder).as_posix().removesuffix(_ENDING): path for path in paths}


def _read(paths: dict[str, Path]) -> tuple[list[Named], list[str]]:
    """The records that can be read with their names, and the names of the others, which are complained of."""
    from extract.record import from_json

    records, broken = [], []
    for name, path in paths.items():
        try:
            records.append((name, from_json(path)))
        except InputError as error:
            complain(error)
            broken.append(name)
    return records, broken


def _links(paths: dict[str, Path], base: Path) -> dict[str, str]:
    """The addresses from a folder of the reports that lie beside the records, by name."""
    reports = {
        name: path.with_name(f"{path.name.removesuffix(_ENDING)}.report.html") for name, path in paths.items()
    }
    links = {name: _link(report, base) for name, report in reports.items() if report.is_file()}
    return {name: link for name, link in links.items() if link is not None}


def _link(report: Path, base: Path) -> str | None:
    """The address of a report from the folder of the page. None on another drive, to which no relative path leads."""
    from extract.export.folder import address

    try:
        way = os.path.relpath(report.absolute(), base.absolute())
    except ValueError:
        return None
    return address(Path(way).as_posix())
