"""Captions of a stream as a transcript file, and as what is read of it."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from extract.errors import InputError
from extract.live.captions import Piece, Splitter
from extract.live.captions.model import NO_TEXT
from extract.transcript.cue import Transcript
from extract.transcript.read import transcript_in
from extract.transcript.spacing import single_spaced

#: No more captions than this are left out because the others cannot be read with them.
_MOST_LEFT_OUT = 5


def text_of(splitter: Splitter, pieces: Sequence[Piece], tail: str = "", *, from_start: bool) -> str:
    """A file of these captions, in the stream's own format. ``tail`` stands after them."""
    header = splitter.header if from_start else splitter.short_header
    return header + "".join(piece.raw for piece in pieces) + tail


def read_pieces(
    splitter: Splitter,
    pieces: Sequence[Piece],
    tail: str,
    sha256: str | None,
    *,
    from_start: bool,
    ended: bool,
) -> tuple[Transcript | None, dict[int, str]]:
    """The transcript of these captions, and which of them had to be left out for it, by position, with the reason. It is
    None if they say nothing, or if nobody can read them yet. ``sha256`` is that of the stream, None if the captions are
    not just what came. With ``ended`` they are read as a finished file is."""
    left_out: dict[int, str] = {}
    while len(left_out) < min(len(pieces), _MOST_LEFT_OUT + 1):
        kept = [k for k in range(len(pieces)) if k not in left_out]
        text = text_of(splitter, [pieces[k] for k in kept], tail, from_start=from_start)
        source = splitter.source(text, sha256 or hashlib.sha256(text.encode("utf-8", "replace")).hexdigest())
        try:
            read = transcript_in(source) if ended else splitter.read(single_spaced(source))
        except InputError as error:
            if error.problem == NO_TEXT:
                break
            line = text_of(splitter, [], from_start=from_start).count("\n") + 1
            left_out[_at_line(pieces, kept, line, error.line)] = error.problem
            continue
        return read, left_out
    return None, {}


def _at_line(pieces: Sequence[Piece], kept: Sequence[int], first: int, line: int | None) -> int:
    """Which of the captions that are kept is at a line of their text, where they begin at the line ``first``. The last one
    if no line is known."""
    for k in kept:
        first += pieces[k].raw.count("\n")
        if line is not None and line < first:
            return k
    return kept[-1]
