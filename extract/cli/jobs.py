"""The work of a call on transcripts: which files, which bout file belongs to each, where records go; and doing it."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from extract.cli.folders import Job, expand
from extract.errors import InputError
from extract.paths import beside, real

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

    from extract.log import Parameters
    from extract.record import Record
    from extract.transcript import Transcript

#: Exit statuses: the call cannot be done as given; some files of a folder or a source could not be used.
BAD_INPUT, FAILED = 2, 3


@dataclass(frozen=True, slots=True)
class BoutOptions:
    """What the options say about every bout of the call."""

    rules: str | None
    red: str | None
    blue: str | None
    parameters: Parameters | None
    lexicons: tuple[Path, ...] = ()
    alternatives: int = 0

    def __post_init__(self) -> None:
        from extract.transcript.bout_file import same_name

        for option, name in (("--red", self.red), ("--blue", self.blue)):
            if name is not None and not name.strip():
                raise InputError(option, "the name is empty", "give the name, or leave the option out")
        if same_name(self.red, self.blue):
            problem = f"the same name as --red, {self.blue!r}"
            raise InputError("--blue", problem, "give each side the name of its own athlete")


def find_jobs(
    files: Sequence[Path],
    bout: Path | None,
    *,
    out_dir: Path | None = None,
    decisions: Path | None = None,
    quiet: bool = False,
    recursive: bool = False,
) -> list[Job]:
    """The work to be done, after all checks of the call. Each file is taken once. The decisions are ``decisions`` or
    NAME.decisions.jsonl in the folder of the records (``out_dir``), else in that of the transcript. Unless ``quiet``,
    files of a folder that are left out are named on standard error. The folders in a folder are read if the call is
    ``recursive``."""
    wanted = [(path, "transcript") for path in files]
    wanted += [
        (path, what)
        for path, what in ((bout, "bout file"), (decisions, "decisions file"))
        if path is not None
    ]
    absent = [(path, what) for path, what in wanted if not path.exists()]
    for path, what in absent:
        complain(InputError(path, "no such file or folder", f"give the path of a {what}"))
    if absent:
        raise typer.Exit(BAD_INPUT)
    once: dict[Path, Job] = {}
    for each in expand(files, quiet, recursive):
        once.setdefault(real(each.path), each)
    found = list(once.values())
    for one, what, name in (
        (bout, "bout file", "bout.toml"),
        (decisions, "decisions file", "decisions.jsonl"),
    ):
        if one is not None and len(found) > 1:
            problem = f"one {what} cannot stand for {len(found)} transcripts"
            raise InputError(one, problem, f"put a NAME.{name} beside each transcript")
    named = {real(path) for path in files}
    return [
        replace(
            each,
            bout=bout or beside(each.path, "bout.toml"),
            decisions=decisions or _decisions_of(each, out_dir),
            named=real(each.path) in named,
        )
        for each in found
    ]


def given_rules(rules: str | None) -> str | None:
    """The ruleset that --rules means, if it is given. Raises InputError."""
    return None if rules is None else meant_rules(rules)


def meant_rules(rules: str) -> str:
    """The ruleset that --rules means. Raises InputError."""
    from extract.rules import UnknownRules, ruleset_named

    try:
        return ruleset_named(rules)
    except UnknownRules as error:
        raise InputError("--rules", error.problem, error.remedy) from None


def _decisions_of(job: Job, out_dir: Path | None) -> Path | None:
    """The decisions beside the record that there is to be, else beside the transcript."""
    folders = ([] if out_dir is None else [out_dir / job.below]) + [job.path.parent]
    found = (beside(job.path, "decisions.jsonl", folder) for folder in folders)
    return next((path for path in found if path is not None), None)


def check_targets(jobs: Iterable[Job], out_dir: Path, *, report: bool) -> None:
    """Check that no record would overwrite another one or a file that is read."""
    from extract.record import record_paths
    from extract.record.files import obstacle

    if out_dir.exists() and not out_dir.is_dir():
        raise InputError(out_dir, "is no folder", "give a folder with --out")
    jobs = [job for job in jobs if job.fault is None]
    read = {real(path) for job in jobs for path in (job.path, job.bout, job.decisions) if path is not None}
    owners: dict[str, Job] = {}
    for job in jobs:
        # On some systems names that differ only in case are the same file.
        owner = owners.setdefault(str(job.below / job.name).casefold(), job)
        if owner is not job:
            problem = f"its record would have the same name as that of {owner.path}"
            raise InputError(job.path, problem, "rename one, or run them apart with different --out folders")
        targets = record_paths(out_dir / job.below, job.name, page=report)
        if blocked := obstacle(targets):
            raise blocked
        for target in targets:
            if real(target) in read:
                problem = f"the tables of {job.path} would overwrite it"
                raise InputError(target, problem, "give another folder with --out")


def check_picture(path: Path, jobs: Sequence[Job]) -> None:
    """Check that --plot names a picture, for one bout, that overwrites nothing that is read."""
    from extract.record.source import check_out
    from extract.report.picture import check_picture_file

    if len(jobs) > 1:
        raise InputError("--plot", f"one picture cannot show {len(jobs)} bouts", "give one transcript")
    check_picture_file(path)
    check_out(path, tuple(read for job in jobs for read in (job.path, job.bout) if read is not None))


def run_jobs(
    jobs: Sequence[Job], given: BoutOptions, deliver: Callable[[Job, Record, Transcript], None]
) -> int:
    """Extract each job and deliver its record and its transcript. The exit status is 0. It is BAD_INPUT if a file
    that the call names could not be read, or a record not be delivered, and FAILED if only files of a folder could
    not be read. The others are done in any case."""
    failed = set()
    progress = ProgressBar(len(jobs))
    for job in jobs:
        status = BAD_INPUT if job.named else FAILED
        try:
            if job.fault is not None:
                raise job.fault
            with progress.shown(job.path.name):
                record, transcript = _extract(job, given)
            status = BAD_INPUT
            deliver(job, record, transcript)
        except InputError as error:
            complain(error)
            failed.add(status)
    return min(failed, default=0)


def _extract(job: Job, given: BoutOptions) -> tuple[Record, Transcript]:
    from extract.bout import extract_bout
    from extract.decisions import read_decisions
    from extract.record.plain import printable
    from extract.transcript import read_bout_file, read_transcript

    def several(bouts: int) -> None:
        told = f"{job.path}: seems to hold {bouts} bouts and is read as one; saidscore session gives each its own record"
        typer.echo(f"saidscore: {printable(told)}", err=True)

    transcript = read_transcript(job.path)
    tell_notices(job.path, transcript)
    bout = read_bout_file(job.bout) if job.bout is not None else None
    record = extract_bout(
        transcript,
        bout,
        rules=given.rules,
        red=given.red,
        blue=given.blue,
        parameters=given.parameters,
        lexicons=given.lexicons,
        alternatives=given.alternatives,
        decisions=read_decisions(job.decisions).decisions if job.decisions is not None else (),
        several=several,
    )
    return record, transcript


def tell_notices(path: Path, transcript: Transcript) -> None:
    """Says on standard error what of a file was not used, or not as it stands. Those who want no summary want to know
    too."""
    from extract.record.plain import printable

    for notice in transcript.notices:
        typer.echo(f"saidscore: {printable(f'{path}: {notice}')}", err=True)


def given_parameters(file: Path | None) -> Parameters | None:
    """What --parameters names. None for the shipped ones."""
    if file is None:
        return None
    from extract.log.parameters import read_parameters

    return read_parameters(file)


def given_lexicons(files: Sequence[Path] | None) -> tuple[Path, ...]:
    """What --lexicon names, each file once. Raises InputError for the first fault in their structure."""
    named = tuple(dict.fromkeys(files or ()))
    if named:
        from extract.mentions.lexicon_check import check_own

        check_own(named)
    return named


class ProgressBar:
    """A progress bar on standard error, if that is a terminal and there are several files."""

    def __init__(self, files: int) -> None:
        self._bar: Bar | None = None
        if files > 1 and sys.stderr.isatty():
            from rich.console import Console
            from rich.progress import Progress as Bar

            self._bar = Bar(console=Console(stderr=True), transient=True)
            self._task = self._bar.add_task("", total=files)

    @contextmanager
    def shown(self, name: str) -> Iterator[None]:
        """Show the bar during the work on one file. It is off the screen before and after."""
        if self._bar is None:
            yield
            return
        from rich.markup import escape

        from extract.record.plain import printable

        self._bar.update(self._task, description=escape(printable(name)))
        with self._bar:
            yield
        self._bar.advance(self._task)


def print_text(text: str) -> None:
    """Print what another program will read."""
    # It is UTF-8 whatever the terminal uses: JSON by RFC 8259, section 8.1, WebVTT by its section on file structure.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    sys.stdout.write(text)
    sys.stdout.flush()


def complain(error: InputError) -> None:
    from extract.record.plain import printable

    typer.echo(f"saidscore: {printable(str(error))}", err=True)
