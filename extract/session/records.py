"""The way of a whole session: its parts, and the record of each bout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from extract.bout import extract_bout
from extract.decisions import Decision
from extract.log.parameters import Parameters
from extract.record.model import PartInfo, Record
from extract.session.find import find_parts
from extract.session.parts import Part, Session, part_transcript
from extract.session.sheet import Sheet
from extract.transcript import Transcript


def extract_session(
    transcript: Transcript,
    *,
    sheet: Sheet | None = None,
    rules: str | None = None,
    parameters: Parameters | None = None,
    lexicons: Sequence[str | Path] = (),
    alternatives: int = 0,
) -> tuple[Session, list[Record]]:
    """The parts of a recording, and the record of each bout in order.

    ``sheet``, ``rules`` and ``lexicons`` as for ``find_parts``; ``parameters`` and ``alternatives`` as for
    ``extract_bout``. Raises InputError where a ruleset or an edition is unknown, or a lexicon is malformed.
    """
    session = find_parts(transcript, sheet=sheet, rules=rules, lexicons=lexicons)
    records = [
        record_of(transcript, part, parameters=parameters, lexicons=lexicons, alternatives=alternatives)
        for part in session.bouts
    ]
    return session, records


def record_of(
    transcript: Transcript,
    part: Part,
    *,
    parameters: Parameters | None = None,
    lexicons: Sequence[str | Path] = (),
    alternatives: int = 0,
    decisions: Sequence[Decision] = (),
) -> Record:
    """The record of one bout of a recording; ``decisions`` as for ``extract_bout``. Its times are seconds from the
    recording's start, its cues those of the whole transcript, and ``source.part`` says which part it is."""
    record = extract_bout(
        part_transcript(transcript, part),
        part.bout,
        parameters=parameters,
        lexicons=lexicons,
        alternatives=alternatives,
        decisions=decisions,
    )
    place = PartInfo(part.number, round(part.start, 2), round(part.end, 2), part.first, part.last)
    return replace(record, source=replace(record.source, part=place))
