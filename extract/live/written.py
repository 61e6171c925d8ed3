"""The records of a stream that is over, made of all of it as ``saidscore log`` and ``saidscore session`` make them."""

from __future__ import annotations

import glob
from collections.abc import Sequence
from pathlib import Path

from extract.bout import extract_bout
from extract.decisions import Decision, Journal, in_force, read_decisions
from extract.decisions.place import decided_times
from extract.live.options import LiveOptions
from extract.record.files import write_record
from extract.recording.sheet import Sheet
from extract.session import Part, find_parts, part_transcript
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
    """The record of each bout of a stream, with its tables. What was decided while it went on holds in the bout that it
    was decided on. Raises InputError."""
    session = find_parts(transcript, sheet=sheet, rules=options.rules, lexicons=options.lexicons)
    decided = _by_part(folder, name, session.bouts)
    out: list[Path] = []
    for part in session.bouts:
        decisions = decided.get(part.number, ())
        record = extract_bout(
            part_transcript(transcript, part),
            part.bout,
            parameters=options.parameters,
            lexicons=options.lexicons,
            decisions=decisions,
        )
        out += write_record(record, folder, part_name(name, part.number))
    return out


def _by_part(folder: Path, name: str, parts: Sequence[Part]) -> dict[int, tuple[Decision, ...]]:
    """The decisions on each bout, by its number. A bout may have had another number while the session went on: each file
    of decisions gets the name of the bout that its decisions are about."""
    found = [decided_path(folder, name, 1, several=False)]
    found += sorted(folder.glob(f"{glob.escape(name)}.[0-9]*.decisions.jsonl"))
    kept: dict[int, tuple[Decision, ...]] = {}
    for path in found:
        decisions = read_decisions(path).decisions
        times = decided_times(in_force(decisions))
        at = [part.number for part in parts if times and part.start <= min(times) < part.end]
        if at:
            kept[at[0]] = (*kept.get(at[0], ()), *decisions)
    wanted = {decided_path(folder, name, number, several=True): made for number, made in kept.items()}
    for path in found:
        if path not in wanted:
            path.unlink(missing_ok=True)
    for path, decisions in wanted.items():
        if read_decisions(path).decisions != decisions:
            path.unlink(missing_ok=True)
            Journal().append(path, decisions)
    return kept
