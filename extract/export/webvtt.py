"""WebVTT as the W3C has it: "WebVTT: The Web Video Text Tracks Format", from its section "WebVTT file structure" on,
as seen in the editor's draft at https://github.com/w3c/webvtt (index.bs)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from extract.record.model import NOTE


@dataclass(frozen=True, slots=True)
class TrackCue:
    """One cue: ``start`` and ``end`` in seconds, and ``payload`` in the form of its kind of track, without a blank
    line."""

    start: float
    end: float
    payload: str


def webvtt(cues: Iterable[TrackCue], note: str = NOTE) -> str:
    """The file's text: the header, ``note`` as a comment, then the cues by their start.

    Every cue has a length, as the format wants an end after the start.
    """
    blocks = ["WEBVTT", f"NOTE {note.replace('-->', '->')}"]
    for cue in sorted(cues, key=lambda cue: cue.start):
        start = thousandths(cue.start)
        end = max(thousandths(cue.end), start + 1)
        blocks.append(f"{timestamp(start)} --> {timestamp(end)}\n{cue.payload}")
    return "\n\n".join(blocks) + "\n"


def escape(text: str) -> str:
    """Words as cue text that cannot be taken for markup or an arrow.

    >>> escape("a <b> & c --> d")
    'a &lt;b&gt; &amp; c --&gt; d'
    """
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def thousandths(seconds: float) -> int:
    """A time of the recording in whole milliseconds, never before its start."""
    return max(round(seconds * 1000), 0)


def timestamp(milliseconds: int, mark: str = ".") -> str:
    """A time with its hours; ``mark`` stands before the thousandths.

    >>> timestamp(3723004)
    '01:02:03.004'
    """
    seconds, thousandth = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02d}:{seconds % 3600 // 60:02d}:{seconds % 60:02d}{mark}{thousandth:03d}"
