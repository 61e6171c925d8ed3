"""A whole session: its parts, and the record of each bout."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from extract.bout import extract_bout
from extract.log.parameters import Parameters
from extract.record.model import Record
from extract.recording.sheet import Sheet
from extract.session.find import find_parts
from extract.session.parts import Session, part_transcript
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

    ``sheet``, ``rules`` and ``lexicons`` are as for ``find_parts``. ``parameters`` (those of the log) and
    ``alternatives`` are as for ``extract_bout``. In a record every time is in seconds from the recording's start,
    every cue is that of the whole transcript, and ``source.part`` says which part it is. Raises InputError if a
    ruleset or an edition is unknown, or a lexicon is malformed.
    """
    session = find_parts(transcript, sheet=sheet, rules=rules, lexicons=lexicons)
    records = [
        extract_bout(
            part_transcript(transcript, part),
            part.bout,
            parameters=parameters,
            lexicons=lexicons,
            alternatives=alternatives,
        )
        for part in session.bouts
    ]
    return session, records
