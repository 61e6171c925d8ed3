"""The timing line that SubRip and WebVTT share."""

from __future__ import annotations

import re

from extract.transcript.decode import SourceText
from extract.transcript.plain import plain
from extract.transcript.times import clock_seconds, shorten, time_problem

_TIMING = re.compile(r"\s*[-−+]?[0-9](?:[0-9:.,]*[0-9])?\s*-->")

# Talk may contain a clock and even "0:45 - 2:40". It contains no hours and no fraction.
_FRACTION = r"[-−+]?[0-9]+(?::[0-9]{1,2}){1,2}[.,][0-9]+"
_FULL = rf"(?:{_FRACTION}|[-−+]?[0-9]+:[0-9]{{1,2}}:[0-9]{{1,2}})"
_SLIP = re.compile(rf"\s*(?:{_FULL}\s*[-–—=]*\s*[>→]\s*{_FULL}|{_FRACTION}\s*[-–—]+\s*{_FRACTION})")
_LONE = re.compile(rf"\s*{_FRACTION}\s*")
_REMEDY = "write hours:minutes:seconds as in 00:01:02.500 --> 00:01:04.000"


def is_timing(line: str) -> bool:
    """Whether a line is meant to give the times of a caption: an arrow stands after something that begins like a
    time."""
    return "-->" in line and _TIMING.match(_shown(line)) is not None


def read_timing(source: SourceText, line: str, number: int) -> tuple[float, float]:
    """Start and end of a timing line, in seconds. What follows the end (settings) is ignored."""
    if "\v" in line:
        # No white space in WebVTT, and none that a person has typed.
        raise source.error("a vertical tab in a timing line", _REMEDY, number)
    before, _, after = _shown(line).partition("-->")
    shown = (before.strip(), (after.split() or [""])[0])
    start, end = (clock_seconds(text) for text in shown)
    if start is None or end is None:
        problem = time_problem(shown[1] if start is not None else shown[0])
        raise source.error(problem, _REMEDY, number)
    return start, end


def _shown(line: str) -> str:
    return line if line.isascii() else plain(line)


def is_slip(line: str) -> bool:
    """Whether a line is two times with a broken arrow between them."""
    return not is_timing(line) and _SLIP.match(_shown(line)) is not None


def check_slips(source: SourceText, lines: list[str], first: int, stop: int) -> None:
    """Refuse a line from ``first`` to before ``stop`` that was meant as a timing line and is not one. It has two
    times with a broken arrow, or one time where a cue would begin."""
    for i in range(first, stop):
        if is_slip(lines[i]) or (_LONE.fullmatch(_shown(lines[i])) and _begins(lines, i)):
            raise source.error(f"broken timing line {shorten(lines[i])}", _REMEDY, i + 1)


def is_number(line: str) -> bool:
    """Whether a line is nothing but the number of a cue."""
    text = _shown(line).strip()
    return text.isascii() and text.isdigit() and len(text) < 10


def _begins(lines: list[str], i: int) -> bool:
    """Whether a cue could begin with the timing line ``i``. It stands after a blank line, or after a number that is
    not the first line of a caption. A time before a timing line is an identifier."""
    if i + 1 < len(lines) and is_timing(lines[i + 1]):
        return False
    if i == 0 or not lines[i - 1].strip():
        return i < 2 or not is_timing(lines[i - 2])
    return is_number(lines[i - 1]) and (i == 1 or not is_timing(lines[i - 2]))
