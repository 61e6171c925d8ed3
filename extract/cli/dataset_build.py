"""``dataset SOURCE`` and ``dataset check``: making tables of thousands of transcripts, and checking them."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from multiprocessing import active_children
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated, Any

import typer

from extract.cli.completion import complete_rules
from extract.cli.help import KNOWN, OUTPUT
from extract.cli.jobs import FAILED, complain, given_lexicons, given_parameters, given_rules
from extract.cli.labelled import LexiconFiles, ParametersFile
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.dataset.build import BuildCount
    from extract.dataset.engine import Engine
    from extract.dataset.quality import Quality
    from extract.dataset.settings import Settings
    from extract.dataset.source import SourceOf
    from extract.dataset.store import Store

FOUND, INTERRUPTED = 1, 130
#: How many seconds tidying up after Ctrl-C may take.
_TIDYING_S = 2.0
#: How many failures are printed. All of them are in the table.
_TOLD = 10
#: The group of options that say how the work is done.
_WORK = "How the work is done"


class EngineName(StrEnum):
    local = "local"
    dask = "dask"


class RecordingsAre(StrEnum):
    auto = "auto"
    bout = "bout"
    session = "session"


def _named(values: type[StrEnum]) -> str:
    return "|".join(values)


SourceArgument = Annotated[
    str,
    typer.Argument(
        metavar="SOURCE",
        help="A folder (with those in it), a pattern in quotation marks, a list (CSV with a column transcript), or a table "
        "(Parquet or JSON Lines with a column text).",
        show_default=False,
    ),
]
Dataset = Annotated[
    Path, typer.Argument(metavar="DIR", readable=False, help="A dataset's folder.", show_default=False)
]
_Rules = Annotated[
    str | None,
    typer.Option(
        "--rules",
        metavar="NAME",
        help="Ruleset of the inputs that name none.",
        autocompletion=complete_rules,
        rich_help_panel=KNOWN,
    ),
]
_Recordings = Annotated[
    RecordingsAre,
    typer.Option(
        "--recordings",
        metavar=_named(RecordingsAre),
        help="What a recording holds: one bout, a session of many, or to be found out.",
        rich_help_panel=KNOWN,
    ),
]
_Decisions = Annotated[
    Path | None,
    typer.Option(
        "--decisions",
        metavar="DIR",
        readable=False,
        help="Folder of the desk whose corrections hold (see dataset doubtful).",
        rich_help_panel=KNOWN,
    ),
]


def build(
    source: SourceArgument,
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            metavar="DIR",
            readable=False,
            help="The dataset's folder.",
            show_default=False,
            rich_help_panel=OUTPUT,
        ),
    ],
    engine: Annotated[
        EngineName,
        typer.Option(
            "--engine",
            metavar=_named(EngineName),
            help="Processes of this machine, or a Dask cluster.",
            rich_help_panel=_WORK,
        ),
    ] = EngineName.local,
    scheduler: Annotated[
        str | None,
        typer.Option(
            "--scheduler",
            metavar="ADDRESS",
            help="Dask scheduler, tcp://HOST:PORT; else one of our own.",
            rich_help_panel=_WORK,
        ),
    ] = None,
    jobs: Annotated[
        int | None,
        typer.Option(
            "--jobs",
            metavar="N",
            min=1,
            max=1024,
            help="Workers; else one a core.",
            rich_help_panel=_WORK,
        ),
    ] = None,
    rules: _Rules = None,
    recordings: _Recordings = RecordingsAre.auto,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    decisions: _Decisions = None,
    csv: Annotated[
        bool,
        typer.Option(
            "--csv",
            help="Write the tables as CSV too, into DIR/csv; later runs keep them up to date.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    redo: Annotated[
        bool,
        typer.Option(
            "--redo",
            help="Do everything anew, where the dataset was made in another way.",
            rich_help_panel=_WORK,
        ),
    ] = False,
    quiet: Annotated[
        bool, typer.Option("--quiet", "-q", help="Print nothing but errors.", rich_help_panel=OUTPUT)
    ] = False,
) -> None:
    """Read all transcripts of SOURCE into a dataset's tables.

    Stopped at any moment and started again, it goes on; inputs that have changed are done again, those that are gone are
    taken out. Exit status 3: some inputs could not be used; the table failures says which and why.
    A computed score is a reading of commentary, not an official result; the officials' score sheet stands.
    """
    from extract.dataset.build import BuildRun
    from extract.dataset.source import open_source
    from extract.dataset.store import Store

    if scheduler is not None and engine is not EngineName.dask:
        raise InputError("--scheduler", "is an address for Dask", "add --engine dask, or leave it out")
    settings = read_settings(rules, recordings, parameters, lexicon)
    given = open_source(source, out, decisions)
    store = Store(out)
    with _stoppable(), store.locked():
        _check_same(store, settings, given, decisions, redo)
        with _engine(engine, scheduler, jobs) as workers, _progress(given.total, quiet) as watch:
            tally = BuildRun(store, settings, workers, watch).build(given)
        quality = _finish(store, settings, given, csv=csv)
    if not quiet:
        _tell(out, given, tally, quality)
    if quality.inputs_failed:
        _tell_failures(store, quality.inputs_failed)
        raise typer.Exit(FAILED)


def read_settings(
    rules: str | None, recordings: RecordingsAre, parameters: Path | None, lexicon: list[Path] | None
) -> Settings:
    from extract.dataset.settings import settings_of

    rules = given_rules(rules)
    return settings_of(rules, recordings.value, given_lexicons(lexicon), given_parameters(parameters))


def _made_with(settings: Settings, source: SourceOf) -> dict[str, str]:
    """What a dataset is made with. A run with other values would make another dataset."""
    return {**settings.description, "source": source.name, "source_kind": source.kind}


def _check_same(
    store: Store, settings: Settings, source: SourceOf, decisions: Path | None, redo: bool
) -> None:
    """Check that the dataset is made in the same way as before, unless all of it is to be made again."""
    made_with = _made_with(settings, source)
    before = store.settings()
    if redo and before is not None:
        store.clear()
    elif before is not None:
        reviewed = before.pop("decisions", "")
        if other := [
            f"{key} was {before.get(key)!r}, now {value!r}"
            for key, value in made_with.items()
            if before.get(key) != value
        ]:
            remedy = "give another folder with --out, or --redo to do all of it anew"
            raise InputError(store.folder, f"was made in another way ({'; '.join(other)})", remedy)
        if reviewed and decisions is None:
            problem = f"has the decisions of the review in {reviewed}, and this run has none"
            raise InputError(
                store.folder, problem, f"give --decisions {reviewed}, or --redo to leave them out"
            )
    store.keep_settings({**made_with, "decisions": str(decisions or "")})


@contextmanager
def _stoppable() -> Iterator[None]:
    """Ctrl-C ends the work at once, wherever it is, and says that nothing is lost by it.

    The workers are killed first, so that nothing waits for them. If that still takes long, another Ctrl-C ends this
    process at once. A dataset survives that like any other end."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.getsignal(signal.SIGINT)

    def stop(number: int, frame: FrameType | None) -> None:
        begun = time.monotonic()

        def stop_now(number: int, frame: FrameType | None) -> None:
            if time.monotonic() - begun > _TIDYING_S:
                os._exit(INTERRUPTED)

        signal.signal(signal.SIGINT, stop_now)
        for worker in active_children():
            worker.kill()
        raise KeyboardInterrupt

    signal.signal(signal.SIGINT, stop)
    try:
        yield
    except KeyboardInterrupt:
        # After this there is nothing left to interrupt.
        before = signal.SIG_IGN
        typer.echo("saidscore: stopped; the same command goes on from here", err=True)
        raise typer.Exit(INTERRUPTED) from None
    finally:
        signal.signal(signal.SIGINT, before)


def _cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def _engine(name: EngineName, scheduler: str | None, jobs: int | None) -> Iterator[Engine]:
    from extract.dataset.engine import LocalEngine

    workers = jobs or _cores()
    if name is EngineName.local:
        yield LocalEngine(workers)
        return
    from extract.dataset.engine_dask import DaskEngine

    engine = DaskEngine(scheduler, workers)
    try:
        yield engine
    finally:
        engine.close()


@contextmanager
def _progress(total: int, quiet: bool) -> Iterator[Callable[[int], None]]:
    """A bar on standard error with the rate and the time left, if that is a terminal."""
    if quiet or not sys.stderr.isatty():
        yield lambda n: None
        return
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        ProgressColumn,
        TextColumn,
        TimeRemainingColumn,
    )
    from rich.text import Text

    class Throughput(ProgressColumn):
        def render(self, task: Any) -> Text:
            return Text(f"{task.speed:.1f}/s" if task.speed else "-/s")

    columns = (TextColumn("inputs"), BarColumn(), MofNCompleteColumn(), Throughput(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=total)
        yield lambda n: bar.advance(task, n)


def _finish(store: Store, settings: Settings, source: SourceOf, *, csv: bool) -> Quality:
    """Write the files about the whole dataset, the description last."""
    from extract.dataset.csv_files import has_csv, write_csv
    from extract.dataset.package import write_package
    from extract.dataset.quality import measure_quality
    from extract.dataset.quality_page import write_quality

    quality = measure_quality(store)
    write_quality(store, quality)
    if csv or has_csv(store):
        write_csv(store)
    write_package(store, source.name, _made_with(settings, source))
    return quality


def _tell(out: Path, source: SourceOf, tally: BuildCount, quality: Quality) -> None:
    from extract.dataset.quality import counted

    left = ", ".join(f"{n:,} ending in {ending}" for ending, n in sorted(source.left.items()))
    if left:
        typer.echo(f"Files left out, as no transcripts by their names: {left}", err=True)
    parts = [f"{counted(source.total, 'input')}: {tally.done} read now"]
    if tally.kept:
        parts.append(f"{tally.kept} stood from before")
    if tally.gone:
        parts.append(f"{tally.gone} gone from the source and taken out")
    if quality.inputs_failed:
        parts.append(f"{quality.inputs_failed} failed")
    typer.echo(f"{', '.join(parts)}; {counted(quality.bouts, 'bout')} in all")
    typer.echo(f"Written: {out} (see {out / 'quality.html'} and {out / 'dictionary.md'})")


def _tell_failures(store: Store, failed: int) -> None:
    from extract.dataset.quality import failures

    for number, row in enumerate(failures(store)):
        if number == _TOLD:
            typer.echo(f"saidscore: and {failed - _TOLD} more; the table failures has all of them", err=True)
            return
        complain(InputError(row["file"], row["problem"], row["remedy"], row["line"]))


def check(folder: Dataset) -> None:
    """Check the files and rows of a dataset.

    Files are held against their description, rows against the data dictionary and one another. Exit status 1: something
    is wrong.
    """
    from extract.dataset.check import check_dataset

    found = 0
    for finding in check_dataset(folder):
        found += 1
        typer.echo(f"{folder / finding.file}: {finding.problem}")
    if found:
        raise typer.Exit(FOUND)
    typer.echo(f"{folder}: in order")
