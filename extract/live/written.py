"""The records of a stream that is over, made of all of it as ``saidscore log`` and ``saidscore session`` make them."""

from __future__ import annotations

from pathlib import Path

from extract.bout import extract_bout
from extract.decisions import read_decisions
from extract.live.options import LiveOptions
from extract.record.files import write_record
from extract.recording.sheet import Sheet
from extract.session import extract_session
from extract.session.table import part_name
from extract.transcript import BoutFile, Transcript


def decided_path(folder: Path, name: str, number: int, *, several: bool) -> Path:
    """The file of the decisions on a bout: NAME.decisions.jsonl, or NAME.02.decisions.jsonl of one of several."""
    return folder / f"{part_name(name, number) if several else name}.decisions.jsonl"


def write_bout(
    transcript: Transcript, known: BoutFile | None, options: LiveOptions, folder: Path, name: str
) -> list[Path]:
    """The record of the one bout of a stream, with its tables. Raises InputError."""
    decided = decided_path(folder, name, 1, several=False)
    record = extract_bout(
        transcript,
        known,
        rules=options.rules,
        red=options.red,
        blue=options.blue,
        parameters=options.parameters,
        lexicons=options.lexicons,
        decisions=read_decisions(decided).decisions,
    )
    return list(write_record(record, folder, name))


def write_session(
    transcript: Transcript, sheet: Sheet | None, options: LiveOptions, folder: Path, name: str
) -> list[Path]:
    """The record of each bout of a stream, with its tables. Raises InputError."""
    _, records = extract_session(
        transcript, sheet=sheet, rules=options.rules, parameters=options.parameters, lexicons=options.lexicons
    )
    return [
        path
        for number, record in enumerate(records, 1)
        for path in write_record(record, folder, part_name(name, number))
    ]
