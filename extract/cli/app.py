"""The command ``saidscore``.

Exit status: 0 done, 1 ``check`` found something wrong, 2 bad input or usage, 3 some inputs of a folder or of a dataset
could not be used, 130 interrupted, 141 the reader of the output went away. Whatever is slow to import (spaCy, pandas,
rich) is imported where it is used.
"""

from __future__ import annotations

import gc
import io
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from extract.cli.check import check
from extract.cli.completion import COMPLETE, completion, prepare_completion
from extract.cli.correct import correct
from extract.cli.dataset import dataset_app
from extract.cli.export import export
from extract.cli.facts import facts
from extract.cli.folders import Job
from extract.cli.help import OUTPUT, Group, add
from extract.cli.jobs import (
    BAD_INPUT,
    BoutOptions,
    check_picture,
    check_targets,
    complain,
    find_jobs,
    given_lexicons,
    given_parameters,
    given_rules,
    print_text,
    run_jobs,
)
from extract.cli.label import label
from extract.cli.labelled import BoutOption, LexiconFiles, ParametersFile, fit, measure
from extract.cli.lexicon import lexicon_app
from extract.cli.listing import list_bouts
from extract.cli.live import live
from extract.cli.options import (
    BlueOption,
    DecisionsOption,
    RecursiveOption,
    RedOption,
    RulesOption,
    TranscriptFiles,
)
from extract.cli.report import report as report_command
from extract.cli.rules import rules_command
from extract.cli.session import session
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.record import Record
    from extract.transcript import Transcript

PIPE_CLOSED = 141


class _Group(Group):
    """Turns errors about bad input, and an output that is closed or full, into an exit status."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        kwargs.setdefault("complete_var", COMPLETE)
        prepare_completion()
        try:
            return super().main(*args, **kwargs)
        except OSError as error:
            if error.filename is not None:
                problem, remedy = f"cannot be used ({error.strerror})", "give the path of a readable file"
                complain(InputError(str(error.filename), problem, remedy))
            elif isinstance(error, FileNotFoundError):
                # Only the system's own word on where we are has no name.
                complain(InputError(".", "the current folder is not there any more", "change to one that is"))
            else:
                problem, remedy = f"cannot be written ({error.strerror})", "send it where there is room"
                complain(InputError("standard output", problem, remedy))
                _drop_output()
            sys.exit(BAD_INPUT)

    def invoke(self, ctx: Any) -> Any:
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, io.TextIOWrapper):
                # A name that the terminal's encoding lacks must not stop the run.
                stream.reconfigure(errors="replace")
        try:
            result = super().invoke(ctx)
            sys.stdout.flush()
            return result
        except InputError as error:
            complain(error)
            raise typer.Exit(BAD_INPUT) from None
        except BrokenPipeError:
            _drop_output()
            raise typer.Exit(PIPE_CLOSED) from None


def _drop_output() -> None:
    # The rest of the buffer would raise an error again when the interpreter flushes it at the end.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


app = typer.Typer(
    cls=_Group,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Turn the transcript of a bout's commentary into a checked event log.",
    epilog="saidscore log match.srt",
)


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"saidscore {version('saidscore')}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option("--version", "-V", callback=_print_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    pass


def _page(record: Record, transcript: Transcript) -> str:
    from extract.report import report_page

    return report_page(record, transcript)


def log(
    files: TranscriptFiles,
    bout: BoutOption = None,
    rules: RulesOption = None,
    red: RedOption = None,
    blue: BlueOption = None,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    decisions: DecisionsOption = None,
    recursive: RecursiveOption = False,
    alternatives: Annotated[
        int,
        typer.Option(
            "--alternatives",
            metavar="N",
            min=0,
            help="List so many other possible logs.",
            rich_help_panel=OUTPUT,
        ),
    ] = 0,
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
            help="Write NAME.report.html too, a page to look at the bout.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    plot: Annotated[
        Path | None,
        typer.Option(
            "--plot",
            metavar="FILE",
            readable=False,
            help="Draw the score over time into a .png or .svg file.",
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    quiet: Annotated[
        bool, typer.Option("--quiet", "-q", help="Print no summary.", rich_help_panel=OUTPUT)
    ] = False,
    explain: Annotated[
        bool,
        typer.Option(
            "--explain",
            help="Print the reason for each entry too, and the row of the lexicon it was found by.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    as_json: Annotated[
        bool,
        typer.Option(
            "--json",
            help="Print the record as JSON (JSON Lines for several) and write files only with --out.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
) -> None:
    """Write the record of each transcript, and print a summary.

    Writes NAME.record.json and NAME.events.csv, .statements.csv, .clock.csv and .flags.csv for each.
    """
    out_dir = out if as_json or out else Path()
    rules = given_rules(rules)
    jobs = find_jobs(files, bout, out_dir=out_dir, decisions=decisions, quiet=quiet, recursive=recursive)
    given = BoutOptions(rules, red, blue, given_parameters(parameters), given_lexicons(lexicon), alternatives)
    if out_dir is not None:
        check_targets(jobs, out_dir, report=report)
    if plot is not None:
        check_picture(plot, jobs)
    # The form of the output depends on the call alone, not on the number of files in a folder.
    lines = len(files) > 1 or files[0].is_dir()

    def deliver(job: Job, record: Record, transcript: Transcript) -> None:
        from extract.record import to_json, write_record

        page = _page(record, transcript) if report and out_dir is not None else None
        folder = None if out_dir is None else out_dir / job.below
        paths = write_record(record, folder, job.name, page) if folder is not None else ()
        if plot is not None:
            from extract.report.picture import save_picture

            save_picture(record, plot)
        if as_json:
            print_text(to_json(record, one_line=lines))
        elif not quiet:
            from extract.record.summary import print_summary

            print_summary(record, sys.stdout, title=str(job.path))
            if explain:
                from extract.lexicon.load import row_places
                from extract.record.reasons import reason_lines

                print_text("".join(f"{line}\n" for line in reason_lines(record, row_places(given.lexicons))))
            tables = len(paths) - 1 - (page is not None)
            more = f", {paths[-1]}" if page is not None else ""
            typer.echo(f"Written: {paths[0]} and {tables} tables{more}\n")

    if status := run_jobs(jobs, given, deliver):
        raise typer.Exit(status)


add(app, log, "saidscore log match.srt --out records --report")
add(app, check, "saidscore check match.srt")
add(app, export, "saidscore export match.record.json --as captions-vtt --out match.vtt")
add(app, facts, "saidscore facts match.record.json --html > match.html")
add(app, list_bouts, "saidscore list records", "list")
add(app, session, "saidscore session evening.srt --sheet bouts.csv --out evening")
add(app, live, "saidscore live captions.vtt --follow\nsaidscore live match.srt --at 5:40")
add(app, report_command, "saidscore report match.record.json --transcript match.srt", "report")
add(app, correct, "saidscore correct match.record.json --transcript match.srt")
add(app, rules_command, "saidscore rules\nsaidscore rules collegiate --date 2023-01-14", "rules")
add(app, label, "saidscore label match.record.json --transcript match.srt --out labelled")
add(app, measure, "saidscore measure labelled_bouts --cross-validate")
add(app, fit, "saidscore fit labelled_bouts --out fitted.toml")
app.add_typer(dataset_app)
app.add_typer(lexicon_app)
add(app, completion, "saidscore completion bash >> ~/.bashrc")


def main() -> None:
    """The console entry point: run the command and leave with its exit status."""
    # A run makes millions of small objects and almost no cycles. Collecting them rarely saves a tenth of its time.
    gc.set_threshold(200_000, 50, 50)
    app()
