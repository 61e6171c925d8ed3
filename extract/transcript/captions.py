"""The timing line that SubRip and WebVTT share."""

from __future__ import annotations

import re

from extract.transcript.decode import Source
from extract.transcript.times import clock_seconds, time_problem

_TIMING = re.compile(r"\s*[-−+]?[0-9](?:[0-9:.,]*[0-9])?\s*-->")


def is_timing(line: str) -> bool:
    """Whether a line is meant to give the times of a caption: an arrow after what begins as a time does."""
    return "-->" in line and _TIMING.match(line) is not None


def read_timing(source: Source, line: str, number: int) -> tuple[float, float]:
    """Start and end, seconds, of a timing line; what follows the end (settings) is passed over."""
    before, _, after = line.partition("-->")
    shown = (before.strip(), (after.split() or [""])[0])
    start, end = (clock_seconds(text) for text in shown)
    if start is None or end is None:
        problem = time_problem(shown[1] if start is not None else shown[0])
        raise source.error(problem, "write hours:minutes:seconds as in 00:01:02.500 --> 00:01:04.000", number)
    return start, end
