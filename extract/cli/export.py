"""The command ``export``: a record in a form for another tool."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extract.cli.completion import complete_forms, complete_when
from extract.cli.help import OUTPUT, TIMES
from extract.cli.jobs import print_text
from extract.errors import InputError

if TYPE_CHECKING:
    from extract.export import ExportForm, Options
    from extract.export.captions import When
    from extract.record import Record

#: The longest time that a clip may have before or after its event, in seconds.
_LONGEST_S = 3600.0

RecordFile = Annotated[
    Path,
    typer.Argument(
        metavar="RECORD", readable=False, help="A NAME.record.json that log wrote.", show_default=False
    ),
]

TranscriptFile = Annotated[
    Path | None,
    typer.Option(
        "--transcript",
        metavar="FILE",
        readable=False,
        help="What the record was made from; else the file of its name beside it or here.",
    ),
]


def export(
    record: RecordFile,
    form: Annotated[
        str | None,
        typer.Option(
            "--as",
            metavar="FORM",
            help="captions-vtt, captions-srt, chapters-vtt, markers-csv, clips-csv or metadata-vtt.",
            autocompletion=complete_forms,
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="FILE",
            readable=False,
            help="Where to write; else it is printed.",
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    transcript: TranscriptFile = None,
    when: Annotated[
        str | None,
        typer.Option(
            "--when",
            metavar="start|end|change",
            help="The score of a caption: that at its start or its end, or only where it has changed; else start.",
            autocompletion=complete_when,
            rich_help_panel=OUTPUT,
        ),
    ] = None,
    fps: Annotated[
        str | None,
        typer.Option(
            "--fps",
            metavar="N",
            help="Frames a second of the time code; else 25.",
            rich_help_panel=TIMES,
        ),
    ] = None,
    start_timecode: Annotated[
        str | None,
        typer.Option(
            "--start-timecode",
            metavar="TIME",
            help="Time code of the recording's start, HH:MM:SS:FF.",
            rich_help_panel=TIMES,
        ),
    ] = None,
    before: Annotated[
        float | None,
        typer.Option(
            "--before",
            metavar="S",
            help="Seconds of a clip before its event; else 6.",
            rich_help_panel=TIMES,
        ),
    ] = None,
    after: Annotated[
        float | None,
        typer.Option(
            "--after",
            metavar="S",
            help="Seconds of a clip after its event; else 4.",
            rich_help_panel=TIMES,
        ),
    ] = None,
) -> None:
    """Print a record as captions, chapters, markers or clips.

    A form is named with --as. Each takes the options that matter for it.
    """
    from dataclasses import replace

    from extract.paths import write_whole
    from extract.record.source import check_out

    chosen = _form(form)
    # A transcript is taken for each form, so that one loop may go over all of them.
    given = {
        "--when": when,
        "--fps": fps,
        "--start-timecode": start_timecode,
        "--before": before,
        "--after": after,
    }
    unfit = [option for option, value in given.items() if value is not None and option not in chosen.takes]
    if unfit:
        one = len(unfit) == 1
        problem = f"{'does' if one else 'do'} not go with --as {form}"
        raise InputError(" ".join(unfit), problem, f"leave {'it' if one else 'them'} out")
    if out is not None:
        check_out(out, tuple(path for path in (record, transcript) if path is not None))
    options = replace(_timing(fps, start_timecode, before, after), when=_when(when))
    read = _read(record)
    if read.source.order is not None:
        problem = f"its account has no times, and --as {form} needs those of a recording"
        raise InputError(record, problem, "use saidscore report or facts, or give a transcript with times")
    if "--transcript" in chosen.takes:
        options = _with_transcript(options, read, record, transcript, out)
    text = chosen.text(read, options)
    if out is None:
        print_text(text)
    else:
        write_whole(out, text.encode(), "--out")


def _read(path: Path) -> Record:
    from extract.record import from_json

    return from_json(path)


def _form(name: str | None) -> ExportForm:
    from extract.export import FORMS

    remedy = f"use one of {', '.join(FORMS)}"
    if name is None:
        raise InputError("--as", "no form is named", remedy)
    if name not in FORMS:
        raise InputError("--as", f"unknown form {name!r}", remedy)
    return FORMS[name]


def _when(name: str | None) -> When:
    from extract.export.captions import When

    if name is not None and name not in list(When):
        raise InputError("--when", f"unknown moment {name!r}", f"use one of {', '.join(When)}")
    return When(name or "start")


def _timing(
    fps: str | None, start_timecode: str | None, before: float | None, after: float | None
) -> Options:
    from extract.export import Options
    from extract.export.timecode import RATES, BadTimecode, frame_of

    usual = Options()
    rate = usual.rate if fps is None else RATES.get(fps.strip())
    if rate is None:
        raise InputError("--fps", f"unknown frame rate {fps!r}", f"use one of {', '.join(RATES)}")
    start = usual.start
    if start_timecode is not None:
        try:
            start = frame_of(start_timecode.strip(), rate)
        except BadTimecode as error:
            remedy = "give the time code of the recording's first frame, as in 10:00:00:00"
            raise InputError("--start-timecode", f"{start_timecode!r} {error}", remedy) from None
    for option, value in (("--before", before), ("--after", after)):
        if value is not None and not (math.isfinite(value) and 0 <= value <= _LONGEST_S):
            raise InputError(option, f"{value:g} is no such time", f"give seconds from 0 to {_LONGEST_S:g}")
    return Options(
        rate=rate,
        start=start,
        before=usual.before if before is None else before,
        after=usual.after if after is None else after,
    )


def _with_transcript(
    options: Options, record: Record, record_path: Path, given: Path | None, out: Path | None
) -> Options:
    from dataclasses import replace

    from extract.record.source import check_out, source_transcript

    path, transcript = source_transcript(record, record_path, given)
    if out is not None:
        check_out(out, (path,))
    return replace(options, transcript=transcript)
