"""The bout record: its data types, its files, its tables and the summary to read."""

from extract.record.disagreements import disagreement_lines, disagreements
from extract.record.files import from_json, record_paths, to_json, write_record
from extract.record.frames import frames
from extract.record.model import (
    NOTE,
    SCHEMA,
    Alternative,
    BoardEntry,
    BoutInfo,
    Challenge,
    ClockReading,
    Event,
    Evidence,
    Flag,
    OwnLexicon,
    Record,
    Result,
    RidingTime,
    SideInfo,
    Source,
    Statement,
    Victory,
)

__all__ = [
    "NOTE",
    "SCHEMA",
    "Alternative",
    "BoardEntry",
    "BoutInfo",
    "Challenge",
    "ClockReading",
    "Event",
    "Evidence",
    "Flag",
    "OwnLexicon",
    "Record",
    "Result",
    "RidingTime",
    "SideInfo",
    "Source",
    "Statement",
    "Victory",
    "disagreement_lines",
    "disagreements",
    "frames",
    "from_json",
    "record_paths",
    "to_json",
    "write_record",
]
