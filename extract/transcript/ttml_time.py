"""The time expressions of TTML: W3C Timed Text Markup Language 2, section 12.3.1."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from extract.transcript.times import any_seconds

_FRAMES = re.compile(r"([0-9]{2,5}):([0-5][0-9]):([0-5][0-9]):([0-9]{2,4})(?:\.([0-9]{1,4}))?")
_OFFSET = re.compile(r"([0-9]{1,12}(?:\.[0-9]{1,12})?)(h|m|s|ms|f|t)")
_UNITS = {"h": 3600.0, "m": 60.0, "s": 1.0, "ms": 0.001}


@dataclass(frozen=True, slots=True)
class TimeRates:
    """The rates, a second, of frames and ticks, and how many sub-frames a frame has."""

    frames: float = 30.0
    sub_frames: float = 1.0
    ticks: float = 1.0

    @classmethod
    def of(cls, values: Mapping[str, str]) -> TimeRates:
        """The clock that the attributes of ``tt`` set, by local name; the defaults are the standard's (7.2)."""
        nominal = _positive(values.get("frameRate"))
        numbers = [_positive(part) for part in re.split(r"[\s:]+", values.get("frameRateMultiplier", "1 1"))]
        factor = 1.0
        if len(numbers) == 2 and numbers[0] is not None and numbers[1] is not None:
            factor = numbers[0] / numbers[1]
        frames = (nominal or 30.0) * factor
        sub_frames = _positive(values.get("subFrameRate")) or 1.0
        ticks = _positive(values.get("tickRate")) or (frames * sub_frames if nominal else 1.0)
        return cls(frames, sub_frames, ticks)

    def seconds(self, text: str) -> float | None:
        """Seconds of a time expression. None if it is not one, or is one of the wall clock. Plain ``m:ss`` and
        seconds without a unit are outside the standard but in use, so they are read too.

        >>> Clock(frames=24.0).seconds("00:00:01:12")
        1.5
        """
        if match := _OFFSET.fullmatch(text):
            count, unit = float(match[1]), match[2]
            if unit == "f":
                return count / self.frames
            return count / self.ticks if unit == "t" else round(count * _UNITS[unit], 6)
        if match := _FRAMES.fullmatch(text):
            whole = int(match[1]) * 3600 + int(match[2]) * 60 + int(match[3])
            return whole + (int(match[4]) + int(match[5] or 0) / self.sub_frames) / self.frames
        return any_seconds(text)


def _positive(text: str | None) -> float | None:
    if text is None or not re.fullmatch(r"[0-9]{1,12}", text.strip()):
        return None
    return float(text) or None
