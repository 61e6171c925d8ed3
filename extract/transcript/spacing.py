"""Texts with a blank line after each line, from tools that double line ends: back to single line ends."""

from __future__ import annotations

from dataclasses import replace

from extract.transcript.captions import is_timing
from extract.transcript.decode import WEBVTT, SourceText


def single_spaced(source: SourceText) -> SourceText:
    """``source`` without the blank lines, if every second line is blank and these are not its own. That shows if
    other blank lines are left between its cues, or if it is SubRip, where a timing line follows a number at once. Its
    errors still name the lines of the file."""
    lines = source.text.split("\n")
    for first in (0, 1):
        if any(line.strip() for line in lines[1 - first :: 2]):
            continue
        text = "\n".join(lines[first::2])
        kept = [line.strip() for line in text.strip().split("\n")]
        webvtt = kept[0].startswith(WEBVTT)
        if not all(kept) or (not webvtt and any(map(is_timing, kept))):
            return replace(source, text=text, first=first + 1, step=2)
    return source
