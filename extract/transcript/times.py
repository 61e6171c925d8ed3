"""Times as transcripts write them."""

from __future__ import annotations

import math
import re
from typing import Any

from extract.transcript.plain import plain

_CLOCK = re.compile(r"(?:([0-9]{1,5}):)?([0-9]{1,5}):([0-9]{2})(?:[.,]([0-9]{1,9}))?")
_SECONDS = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,9})?")

#: What to do about a time that cannot be read.
TIME_REMEDY = "write times as m:ss, h:mm:ss or seconds from the recording's start"


def clock_seconds(text: str) -> float | None:
    """Seconds of ``m:ss`` or ``h:mm:ss``, with or without a decimal point or comma. None if it is no such time.

    >>> clock_seconds("1:02:03,5")
    3723.5
    """
    match = _CLOCK.fullmatch(plain(text))
    if match is None:
        return None
    hours, minutes, seconds, fraction = match.groups()
    if int(seconds) > 59 or (hours is not None and int(minutes) > 59):
        return None
    whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    return float(f"{whole}.{fraction or 0}")


def any_seconds(text: str) -> float | None:
    """As ``clock_seconds``; plain seconds (``75``, ``75.5``, ``75,5``) also.

    >>> any_seconds("75,5")
    75.5
    """
    shown = plain(text)
    if _SECONDS.fullmatch(shown):
        return float(shown.replace(",", "."))
    return clock_seconds(shown)


def number_seconds(value: Any) -> float | None:
    """Seconds of a JSON value: a finite number from 0 up, or text that ``any_seconds`` reads; else None."""
    if isinstance(value, str):
        return any_seconds(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        seconds = float(value)
    except OverflowError:
        return None
    return seconds if math.isfinite(seconds) and seconds >= 0 else None


def time_problem(shown: str) -> str:
    """What is wrong with a time that cannot be read: negative, not finite, or broken."""
    time = plain(shown).lower()
    if time.lstrip("+-") in ("nan", "inf", "infinity"):
        return f"the time {shorten(shown)} is not finite"
    if time.startswith("-") and time[1:].strip()[:1].isdigit():
        return f"the time {shorten(shown)} is negative"
    return f"broken time {shorten(shown)}"


def shorten(shown: str) -> str:
    """Text of a file quoted for a message, not too long for one line."""
    flat = " ".join(shown.split())
    return repr(flat if len(flat) <= 40 else flat[:37] + "...")
