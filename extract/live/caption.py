"""A caption of a stream, as the live desk has it."""

from __future__ import annotations

from dataclasses import dataclass

from extract.live.captions import Piece

#: Nobody says how long a caption without an end lasts: as long as its text takes at so many characters a second.
_RATE = 15.0


@dataclass(frozen=True, slots=True)
class LiveCaption:
    """A caption of the stream. ``number`` counts from 1 and is the index of its cue in the transcript. ``start`` and
    ``end`` are seconds of the recording; the end is estimated where the stream gives none. ``raw`` is the caption as the
    transcript has it. A caption that is not ``closed`` may still be rewritten, as recognisers do with their last one."""

    number: int
    start: float
    end: float
    text: str
    speaker: str | None
    raw: str
    closed: bool


def caption_of(k: int, piece: Piece, *, closed: bool) -> LiveCaption:
    """The caption at a position of the stream."""
    end = piece.end if piece.end is not None else piece.start + max(len(piece.text) / _RATE, 1.0)
    return LiveCaption(k + 1, piece.start, end, piece.text, piece.speaker, piece.raw, closed)
