"""Which transcripts a call means: files, and those of folders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from extract.errors import InputError


@dataclass(frozen=True, slots=True)
class Job:
    """One transcript, its bout file, and the decisions that people have made on it. ``named`` says whether the call
    names the file and not a folder that holds it. Then ``below`` is the path of its own folder from that folder, and that
    of its record's from ``--out``. ``fault`` says why a folder in its place could not be read."""

    path: Path
    bout: Path | None
    decisions: Path | None = None
    named: bool = True
    below: Path = Path()
    fault: InputError | None = None

    @property
    def name(self) -> str:
        return self.path.stem


def expand(files: Sequence[Path], quiet: bool, recursive: bool) -> Iterator[Job]:
    """The transcripts that are named, and those of folders: of all folders in them, too, if ``recursive``. Unless
    ``quiet``, what is left out is told on standard error. Raises InputError for a folder without transcripts."""
    from extract.transcript import transcript_files

    for path in dict.fromkeys(files):
        if not path.is_dir():
            yield Job(path, None)
            continue
        if recursive:
            inside = list(_in_tree(path, quiet))
        else:
            taken = transcript_files(path)
            inside = [Job(each, None) for each in taken]
            if taken and not quiet:
                _tell_left_out(path, taken, folders=True)
        if not inside:
            remedy = "give a folder with transcripts"
            more = "" if recursive else ", or --recursive to read the folders in it, too"
            raise InputError(path, "no transcript in this folder", remedy + more)
        yield from inside


def _in_tree(top: Path, quiet: bool) -> Iterator[Job]:
    """The transcripts of a folder and of all folders in it. A folder that cannot be read is a job that fails."""
    from extract.record.plain import printable
    from extract.transcript import transcript_files
    from extract.transcript.tree import branches

    for branch in branches(top):
        if branch.why_not:
            if not quiet:
                typer.echo(
                    f"saidscore: {printable(f'{branch.folder}: not read: {branch.why_not}')}", err=True
                )
            continue
        try:
            taken = transcript_files(branch.folder)
            if not quiet:
                _tell_left_out(branch.folder, taken, folders=False)
        except InputError as error:
            if branch.folder == top:
                raise
            yield Job(branch.folder, None, below=branch.below, fault=error)
            continue
        for path in taken:
            yield Job(path, None, below=branch.below)


def _tell_left_out(folder: Path, taken: Sequence[Path], *, folders: bool) -> None:
    """Says in one line which files of a folder are not read and, where ``folders``, that the folders in it are not."""
    from extract.record.plain import printable
    from extract.transcript.read import goes_with_transcript

    left = sorted(path for path in set(folder.iterdir()).difference(taken) if path.name[0] != ".")
    inside = [path.name for path in left if folders and path.is_dir()]
    others = [path.name for path in left if not path.is_dir() and not goes_with_transcript(path)]
    reasons = []
    if others:
        reasons.append(f"not read, as no transcript: {', '.join(others)}")
    if inside:
        reasons.append(f"folders in it are not read (--recursive reads them): {', '.join(inside)}")
    if reasons:
        typer.echo(f"saidscore: {printable(f'{folder}: ' + '; '.join(reasons))}", err=True)
