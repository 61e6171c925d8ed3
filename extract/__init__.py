"""saidscore: from the timed talk over a wrestling bout to a checked event log.

>>> from extract import extract_bout, read_transcript
>>> record = extract_bout(read_transcript("sample_transcripts/lantern-final.srt"))  # doctest: +SKIP
"""

from __future__ import annotations

# Type checkers take this for true. typing itself is slow to load, and an interrupt this early cannot be caught.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from extract.bout import extract_bout
    from extract.errors import InputError
    from extract.record.frames import frames
    from extract.record.model import Record
    from extract.transcript import read_bout_file, read_transcript

__version__ = "0.1.0"
__all__ = ["InputError", "Record", "extract_bout", "frames", "read_bout_file", "read_transcript"]

# Loaded on first use, so that the command answers at once.
_HOMES = {
    "extract_bout": "extract.bout",
    "InputError": "extract.errors",
    "frames": "extract.record.frames",
    "Record": "extract.record.model",
    "read_bout_file": "extract.transcript",
    "read_transcript": "extract.transcript",
}


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
