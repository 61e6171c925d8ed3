"""The command ``saidscore``.

Exit status: 0 done, 1 ``check`` found disagreements, 2 bad input or usage, 130 interrupted, 141 the reader
of the output went away. Whatever is slow to import (spaCy, pandas, rich) is imported where it is used.
"""

from __future__ import annotations

import gc
import io
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperGroup

from extract.errors import InputError

if TYPE_CHECKING:
    from rich.progress import Progress

    from extract.record import Record

DISAGREES, BAD_INPUT, PIPE_CLOSED = 1, 2, 141


class _Group(TyperGroup):
    """Turns what a command raises for bad input, and a closed pipe, into an exit status."""

    def invoke(self, ctx: Any) -> Any:
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                # A name that the terminal's encoding lacks must not end the run.
                stream.reconfigure(errors="replace")
        try:
            result = super().invoke(ctx)
            sys.stdout.flush()
            return result
        except InputError as error:
            _complain(error)
            raise typer.Exit(BAD_INPUT) from None
        except BrokenPipeError:
            # What is still in the buffer would raise once more when the interpreter flushes it at the end.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise typer.Exit(PIPE_CLOSED) from None


app = typer.Typer(
    cls=_Group,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Turn the timed talk over a wrestling bout into a checked event log.",
)

_Files = Annotated[
    list[Path],
    typer.Argument(metavar="FILE", help="Transcripts, or folders of them.", show_default=False),
]
_Bout = Annotated[
    Path | None,
    typer.Option("--bout", metavar="FILE", help="What is known; else NAME.bout.toml beside the transcript."),
]
_Rules = Annotated[
    str | None, typer.Option("--rules", metavar="NAME", help="Ruleset; see the command rules.")
]
_Red = Annotated[str | None, typer.Option("--red", metavar="NAME", help="Who is in red.")]
_Blue = Annotated[str | None, typer.Option("--blue", metavar="NAME", help="Who is in blue.")]


@dataclass(frozen=True, slots=True)
class _Job:
    """One transcript and the bout file that goes with it."""

    path: Path
    bout: Path | None

    @property
    def name(self) -> str:
        return self.path.stem


@dataclass(frozen=True, slots=True)
class _Given:
    """What the options say about every bout of the call."""

    rules: str | None
    red: str | None
    blue: str | None


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"saidscore {version('saidscore')}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    pass


@app.command()
def log(
    files: _Files,
    bout: _Bout = None,
    rules: _Rules = None,
    red: _Red = None,
    blue: _Blue = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Where to write; else the current folder.")
    ] = None,
    quiet: Annotated[bool, typer.Option("--quiet", "-q", help="Print no summary.")] = False,
    as_json: Annotated[
        bool,
        typer.Option(
            "--json",
            help="Print the record as JSON (JSON Lines for several) and write files only with --out.",
        ),
    ] = False,
) -> None:
    """Write the record of each transcript, and print a summary.

    Writes NAME.record.json and NAME.events.csv, .statements.csv, .clock.csv and .flags.csv for each.
    """
    jobs = _jobs(files, bout, rules)
    out_dir = out if as_json or out else Path()
    if out_dir is not None:
        _check_targets(jobs, out_dir)
    # The form of the output hangs on the call alone, not on how many files a folder happens to hold.
    lines = len(files) > 1 or files[0].is_dir()

    def deliver(job: _Job, record: Record) -> None:
        from extract.record import to_json, write_record

        paths = write_record(record, out_dir, job.name) if out_dir is not None else ()
        if as_json:
            _print_json(to_json(record, one_line=lines))
        elif not quiet:
            from extract.record.summary import print_summary

            print_summary(record, sys.stdout, title=str(job.path))
            typer.echo(f"Written: {paths[0]} and {len(paths) - 1} tables\n")

    if not _run(jobs, _Given(rules, red, blue), deliver):
        raise typer.Exit(BAD_INPUT)


@app.command()
def check(
    files: _Files, bout: _Bout = None, rules: _Rules = None, red: _Red = None, blue: _Blue = None
) -> None:
    """Print each thing said that disagrees with the log as file:cue:time: said, computed: why; status 1 if
    any."""
    jobs = _jobs(files, bout, rules)
    found = 0

    def deliver(job: _Job, record: Record) -> None:
        from extract.record import disagreement_lines

        nonlocal found
        for line in disagreement_lines(record, str(job.path)):
            found += 1
            typer.echo(line)

    if not _run(jobs, _Given(rules, red, blue), deliver):
        raise typer.Exit(BAD_INPUT)
    if found:
        raise typer.Exit(DISAGREES)


@app.command("rules")
def list_rules() -> None:
    """List the rulesets and their editions."""
    from extract.rules.edition import find_edition, load_editions

    typer.echo(f"{'ruleset':<12}{'edition':<12}{'from':<12}until")
    for style, editions in load_editions().items():
        for edition in editions:
            latest = edition == find_edition(style)
            until = edition.valid_to or ("now (used unless told)" if latest else "the next")
            typer.echo(f"{style:<12}{edition.name:<12}{edition.valid_from.isoformat():<12}{until}")


def _jobs(files: Sequence[Path], bout: Path | None, rules: str | None) -> list[_Job]:
    """The work to be done, everything about the call having been checked. Each file is taken once."""
    from extract.rules import ruleset_names

    if rules is not None and rules not in ruleset_names():
        raise InputError("--rules", f"unknown ruleset {rules!r}", f"use one of {', '.join(ruleset_names())}")
    absent = [path for path in (*files, bout) if path is not None and not path.exists()]
    for path in absent:
        _complain(InputError(path, "no such file or folder", "give the path of a transcript"))
    if absent:
        raise typer.Exit(BAD_INPUT)
    paths = list({path.resolve(): path for path in _expand(files)}.values())
    if bout is not None and len(paths) > 1:
        problem = f"one bout file cannot stand for {len(paths)} transcripts"
        raise InputError(bout, problem, "put a NAME.bout.toml beside each transcript")
    return [_Job(path, bout or _bout_beside(path)) for path in paths]


def _expand(files: Sequence[Path]) -> Iterator[Path]:
    from extract.transcript import transcript_files

    for path in files:
        if not path.is_dir():
            yield path
            continue
        inside = transcript_files(path)
        if not inside:
            raise InputError(path, "no transcript in this folder", "give a folder with transcripts")
        yield from inside


def _bout_beside(path: Path) -> Path | None:
    beside = path.with_name(f"{path.stem}.bout.toml")
    return beside if beside.is_file() else None


def _check_targets(jobs: Iterable[_Job], out_dir: Path) -> None:
    """That no record would overwrite another's or a file that is read."""
    from extract.record import record_paths

    if out_dir.exists() and not out_dir.is_dir():
        raise InputError(out_dir, "is no folder", "give a folder with --out")
    jobs = list(jobs)
    read = {path.resolve() for job in jobs for path in (job.path, job.bout) if path is not None}
    owners: dict[str, _Job] = {}
    for job in jobs:
        # Names that differ in case alone are the same file on some systems.
        owner = owners.setdefault(job.name.casefold(), job)
        if owner is not job:
            problem = f"its record would have the same name as that of {owner.path}"
            raise InputError(job.path, problem, "rename one, or run them apart with different --out folders")
        for target in record_paths(out_dir, job.name):
            if target.resolve() in read:
                problem = f"the tables of {job.path} would overwrite it"
                raise InputError(target, problem, "give another folder with --out")


def _run(jobs: Sequence[_Job], given: _Given, deliver: Callable[[_Job, Record], None]) -> bool:
    """Extract each job and deliver its record; False if one had bad input. The others are done all the
    same."""
    sound = True
    progress = _Progress(len(jobs))
    for job in jobs:
        try:
            with progress.shown(job.path.name):
                record = _extract(job, given)
            deliver(job, record)
        except InputError as error:
            _complain(error)
            sound = False
    return sound


def _extract(job: _Job, given: _Given) -> Record:
    from extract.bout import extract_bout
    from extract.transcript import read_bout_file, read_transcript

    transcript = read_transcript(job.path)
    bout = read_bout_file(job.bout) if job.bout is not None else None
    return extract_bout(transcript, bout, rules=given.rules, red=given.red, blue=given.blue)


class _Progress:
    """A progress bar on standard error, if that is a terminal and there are several files."""

    def __init__(self, files: int) -> None:
        self._bar: Progress | None = None
        if files > 1 and sys.stderr.isatty():
            from rich.console import Console
            from rich.progress import Progress

            self._bar = Progress(console=Console(stderr=True), transient=True)
            self._task = self._bar.add_task("", total=files)

    @contextmanager
    def shown(self, name: str) -> Iterator[None]:
        """Show the bar during the work on one file; it is off the screen before and after."""
        if self._bar is None:
            yield
            return
        from rich.markup import escape

        from extract.record.plain import printable

        self._bar.update(self._task, description=escape(printable(name)))
        with self._bar:
            yield
        self._bar.advance(self._task)


def _print_json(text: str) -> None:
    # JSON that goes from one system to another is UTF-8 whatever the terminal uses (RFC 8259, section 8.1).
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    sys.stdout.write(text)
    sys.stdout.flush()


def _complain(error: InputError) -> None:
    from extract.record.plain import printable

    typer.echo(f"saidscore: {printable(str(error))}", err=True)


def main() -> None:
    """The console entry point: run the command and leave with its exit status."""
    # A run makes millions of small objects and next to no cycles: collecting them seldom saves a tenth of its time.
    gc.set_threshold(200_000, 50, 50)
    app()
