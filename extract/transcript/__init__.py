"""Transcripts: readers of the formats in which the talk over a bout comes, all giving the same cues.

The text of a cue keeps its positions in the source: ``Cue.origin``. Each reader says what the source's text of a cue
is. For SubRip and WebVTT it is the lines of the caption with their markup. For TTML it is what stands inside ``p``.
For JSON and tables it is the value that was read. For paragraph-time text it is what stands between two times.
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
