"""Transcripts: readers of the formats in which the talk over a bout comes, all giving the same cues.

The text of a cue keeps its positions in the source: ``Cue.origin``. What the source's text of a cue is, each
reader says: for SubRip and WebVTT the lines of the caption with their markup, for TTML what stands inside ``p``,
for JSON and tables the value that was read, for paragraph-time text what stands between two times.
"""

from __future__ import annotations

from extract.transcript.bout_file import BoutFile, Side, read_bout_file
from extract.transcript.cue import Cue, Format, Transcript
from extract.transcript.read import read_transcript, transcript_files

__all__ = [
    "BoutFile",
    "Cue",
    "Format",
    "Side",
    "Transcript",
    "read_bout_file",
    "read_transcript",
    "transcript_files",
]
