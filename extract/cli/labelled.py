"""The commands on labelled bouts: ``measure`` and ``fit``."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.help import KNOWN, OUTPUT, READING
from extract.cli.jobs import ProgressBar, given_lexicons, given_parameters, print_text
from extract.errors import InputError
from extract.paths import real

if TYPE_CHECKING:
    from extract.labelled import LabelledBout
    from extract.log import Parameters

BoutOption = Annotated[
    Path | None,
    typer.Option(
        "--bout",
        metavar="FILE",
        readable=False,
        help="What is known; else NAME.bout.toml beside the transcript.",
        rich_help_panel=KNOWN,
    ),
]
ParametersFile = Annotated[
    Path | None,
    typer.Option(
        "--parameters",
        metavar="FILE",
        readable=False,
        help="Parameters that fit wrote, in place of the shipped ones.",
        rich_help_panel=READING,
    ),
]
LexiconFiles = Annotated[
    list[Path] | None,
    typer.Option(
        "--lexicon",
        metavar="FILE",
        readable=False,
        help="Words of your own, added to the shipped ones; may be given several times.",
        rich_help_panel=READING,
    ),
]
_Folders = Annotated[
    list[Path],
    typer.Argument(
        metavar="LABELLED_DIR",
        readable=False,
        help="Folders with NAME.truth.json beside each transcript.",
        show_default=False,
    ),
]


def measure(
    folders: _Folders,
    cross_validate: Annotated[
        bool,
        typer.Option(
            "--cross-validate",
            help="Measure each bout with parameters fitted on all the others.",
            rich_help_panel=READING,
        ),
    ] = False,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
    no_bout_file: Annotated[
        bool,
        typer.Option("--no-bout-file", help="Measure with the transcripts alone.", rich_help_panel=READING),
    ] = False,
    resamples: Annotated[
        int,
        typer.Option(
            "--resamples",
            metavar="N",
            min=0,
            max=100_000,
            help="Draws of bouts for the intervals; 0: none.",
            rich_help_panel=OUTPUT,
        ),
    ] = 2000,
    phrases: Annotated[
        bool,
        typer.Option(
            "--phrases",
            help="Print what each row of the lexicon did: how often it fired, right or wrong.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    misses: Annotated[
        bool,
        typer.Option(
            "--misses",
            help="List what was missed or wrong: time, measure, the truth and the record.",
            rich_help_panel=OUTPUT,
        ),
    ] = False,
    live: Annotated[
        bool,
        typer.Option(
            "--live",
            help="Replay the bouts in time: how right flags and score are as they come, and how late.",
            rich_help_panel=READING,
        ),
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print one JSON document.", rich_help_panel=OUTPUT)
    ] = False,
) -> None:
    """Print how right the records of labelled bouts are.

    Each record is held against NAME.truth.json, what people found to be true.
    """
    if cross_validate and parameters is not None:
        problem = "does not go with --cross-validate, which fits its own"
        raise InputError("--parameters", problem, "leave one of them out")
    if misses and phrases:
        raise InputError("--misses", "does not go with --phrases", "leave one of them out")
    for option, given in (("--misses", misses), ("--phrases", phrases), ("--no-bout-file", no_bout_file)):
        if live and given:
            raise InputError(option, "does not go with --live", "leave one of them out")
    chosen = given_parameters(parameters)
    lexicons = given_lexicons(lexicon)
    bouts = _read(folders)
    if live:
        _measure_live(bouts, chosen, lexicons, cross_validate=cross_validate, as_json=as_json)
        return

    from extract.labelled import report as reports
    from extract.labelled import validate
    from extract.log.parameters import default_parameters

    watch = ProgressBar(len(bouts)).shown
    fitted_on: tuple[str, ...] = ()
    bout_files = not no_bout_file
    if cross_validate:
        measured = validate.cross_validate(
            bouts, bout_files=bout_files, lexicons=lexicons, watch=watch, phrases=phrases
        )
        how = "each with parameters fitted on all the others"
    else:
        measured = validate.measure_bouts(
            bouts, chosen, bout_files=bout_files, lexicons=lexicons, watch=watch, phrases=phrases
        )
        how = "shipped parameters" if parameters is None else f"parameters of {parameters}"
        fitted_on = (chosen or default_parameters()).fitted_on
    if lexicons:
        how += f", with the words of {', '.join(map(str, lexicons))}"
    report = reports.MeasureReport(measured, how, fitted_on, cross_validate, bout_files, resamples, misses)
    if phrases:
        from extract.labelled import row_table

        if as_json:
            print_text(row_table.rows_json(report))
        else:
            row_table.print_rows(report, sys.stdout)
    elif as_json:
        print_text(reports.to_json(report))
    else:
        reports.print_report(report, sys.stdout)


def _measure_live(
    bouts: Sequence[LabelledBout],
    parameters: Parameters | None,
    lexicons: Sequence[Path],
    *,
    cross_validate: bool,
    as_json: bool,
) -> None:
    from extract.labelled.live_replay import replay
    from extract.labelled.live_report import live_json, live_reports, print_live

    replayed = []
    bar = ProgressBar(len(bouts))
    for bout in bouts:
        with bar.shown(bout.truth.id):
            replayed.append(replay(bout, parameters, lexicons))
    reports = live_reports(replayed, cross_validate=cross_validate)
    if as_json:
        print_text(live_json(reports))
    else:
        print_live(reports, sys.stdout)


def fit(
    folders: _Folders,
    out: Annotated[
        Path,
        typer.Option(
            "--out", metavar="FILE", readable=False, help="The TOML file to write.", show_default=False
        ),
    ],
    lexicon: LexiconFiles = None,
) -> None:
    """Fit the parameters on labelled bouts.

    The file that it writes is for --parameters.
    """
    _check_out(out, folders)
    lexicons = given_lexicons(lexicon)
    bouts = _read(folders)

    from extract.labelled.fit import fit as fit_bouts
    from extract.labelled.parameter_file import write_parameters

    # Names and not paths, so the same bouts give the same file wherever they lie.
    source = " ".join(dict.fromkeys(real(folder).name for folder in folders))
    write_parameters(fit_bouts(bouts, source=source, lexicons=lexicons), out)
    typer.echo(f"Written: {out}, fitted on {len(bouts)} labelled bouts")


def _read(folders: Sequence[Path]) -> list[LabelledBout]:
    from extract.labelled import read_labelled

    return read_labelled(*folders)


def _check_out(out: Path, folders: Sequence[Path]) -> None:
    """Check before any work that the file can be written and is none of those that are read."""
    if out.is_dir() or not out.parent.is_dir():
        raise InputError(
            out, "no file can be written there", "name a file in a folder that exists with --out"
        )
    if out.exists() and real(out).parent in {real(folder) for folder in folders}:
        problem = "stands among the labelled bouts and would be overwritten"
        raise InputError(out, problem, "name another file with --out")
