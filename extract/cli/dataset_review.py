"""What people do with a dataset: ``dataset doubtful`` hands bouts to the desk, ``dataset audit`` draws a sample."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extract.cli.dataset_build import Dataset, RecordingsAre, SourceArgument, read_settings
from extract.cli.jobs import FAILED, complain
from extract.cli.labelled import LexiconFiles, ParametersFile
from extract.errors import InputError


def doubtful(
    folder: Dataset,
    source: SourceArgument,
    out: Annotated[
        Path,
        typer.Option(
            "--out", metavar="DIR", readable=False, help="Folder for the correction desk.", show_default=False
        ),
    ],
    top: Annotated[int, typer.Option("--top", metavar="N", min=1, help="Bouts to hand over.")] = 20,
    parameters: ParametersFile = None,
    lexicon: LexiconFiles = None,
) -> None:
    """Put the bouts most in doubt into a folder for the desk.

    Each comes with its transcript.

    SOURCE is what the dataset was made from. What is decided at the desk goes into the dataset by its --decisions.
    """
    from extract.dataset.hand_over import hand_over
    from extract.dataset.package import read_package
    from extract.dataset.quality import most_doubtful
    from extract.dataset.source import open_source
    from extract.dataset.store import Store

    made_with = read_package(folder)["saidscore"]["made_with"]
    recordings = RecordingsAre(made_with["recordings"])
    settings = read_settings(made_with["rules"] or None, recordings, parameters, lexicon)
    if other := [key for key, value in settings.description.items() if made_with[key] != value]:
        problem = f"was made with other {' and '.join(other)} than this run has"
        raise InputError(
            folder, problem, "give the same --lexicon and --parameters, and use the same program"
        )
    wanted = most_doubtful(Store(folder), top)
    failed, put = False, 0
    for handed in hand_over(wanted, open_source(source, folder), settings, out):
        if handed.fault is not None:
            failed = True
            complain(handed.fault)
        else:
            put += 1
            typer.echo(f"{handed.bout_id}: {out / handed.name}.record.json")
    if put:
        typer.echo(f"Correct them with: saidscore correct {out}")
    if failed:
        raise typer.Exit(FAILED)


def audit(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="DIR", readable=False, help="A dataset's folder, to draw a sample from."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", readable=False, help="The sample to write, CSV."),
    ] = None,
    source: Annotated[
        str | None,
        typer.Option(
            "--source",
            metavar="SOURCE",
            help="What the dataset was made from: then the sample has the sentence of each entry.",
        ),
    ] = None,
    size: Annotated[int, typer.Option("--size", metavar="N", min=1, help="Entries in the sample.")] = 200,
    seed: Annotated[int, typer.Option("--seed", metavar="N", help="Draws another sample.")] = 1,
    answers: Annotated[
        Path | None,
        typer.Option(
            "--answers", metavar="FILE", readable=False, help="A sample with yes or no in the column right."
        ),
    ] = None,
) -> None:
    """Draw a sample to look at by hand, and count the wrong.

    The sample is of awards and stated scores. From the answers it tells how many of all are wrong.

    Look at each entry in the recording, write yes or no into the column right, and give the file with --answers.
    """
    from extract.dataset.audit import plan, plan_csv, read_answers
    from extract.dataset.package import read_package
    from extract.dataset.store import Store
    from extract.paths import write_whole

    if answers is not None:
        if folder is not None or out is not None or source is not None:
            raise InputError(
                "--answers", "does not go with DIR, --out and --source", "give the answers alone"
            )
        found = read_answers(answers)
        typer.echo(
            f"Wrong: {found.share:.1%} of {found.population:,} entries, between {found.low:.1%} and {found.high:.1%}"
            f" (95 %), by {found.looked:,} that were looked at"
        )
        for name, (population, looked, wrong) in sorted(found.strata.items()):
            none = "" if looked else " (left out, as none was looked at)"
            typer.echo(
                f"  confidence {name}: {wrong:,} of {looked:,} looked at wrong, of {population:,} in all{none}"
            )
        return
    if folder is None or out is None:
        raise InputError("dataset audit", "needs DIR and --out, or --answers", "see its --help")
    read_package(folder)
    if size > 1_000_000:
        raise InputError("--size", "is more than anybody can look at", "give a smaller one")
    if out.exists():
        raise InputError(out, "is there already, and may hold answers", "give another name, or move it away")
    rows = plan(Store(folder), size, seed)
    if not rows:
        raise InputError(folder, "holds no awards and no stated scores", "there is nothing to audit")
    if source is not None:
        from extract.dataset.sentences import add_sentences
        from extract.dataset.source import open_source

        for fault in add_sentences(rows, Store(folder), open_source(source, folder)):
            complain(fault)
    write_whole(out, plan_csv(rows), "--out")
    typer.echo(f"Written: {out}, {len(rows):,} entries to look at")
