"""A whole session in one recording: its bouts, each with its own record, and the studio talk."""

from __future__ import annotations

from extract.recording.sheet import Sheet, SheetBout, read_sheet
from extract.session.find import find_parts, find_spans
from extract.session.parts import Part, Session, part_transcript
from extract.session.records import extract_session

__all__ = [
    "Part",
    "Session",
    "Sheet",
    "SheetBout",
    "extract_session",
    "find_parts",
    "find_spans",
    "part_transcript",
    "read_sheet",
]
