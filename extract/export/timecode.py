"""Time code of SMPTE ST 12-1: HH:MM:SS:FF for every frame, HH:MM:SS;FF where frame numbers are dropped.

Drop-frame leaves out the first two numbers of every minute except each tenth. So at 29.97 frames a second the count
keeps up with the clock. The standard's text was not at hand; its rule is told at
https://davidheidelberger.com/2010/06/10/drop-frame-timecode. That the frames of 50 a second and more have numbers of
their own, up to 59, is common practice of editing programs.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

_LABEL = re.compile(r"([0-9]{2}):([0-9]{2}):([0-9]{2})([:;])([0-9]{2,3})")


@dataclass(frozen=True, slots=True)
class FrameRate:
    """A frame rate: ``per_second`` frames a second, numbered from 0 to ``nominal - 1``. ``dropped`` numbers are left
    out at the start of every minute except each tenth."""

    name: str
    per_second: Fraction
    nominal: int
    dropped: int = 0

    @property
    def ten_minutes(self) -> int:
        """Frames in ten minutes of time code."""
        return 600 * self.nominal - 9 * self.dropped

    @property
    def day(self) -> int:
        """Frames in 24 hours of time code. After these it starts again."""
        return 144 * self.ten_minutes


def _ntsc(nominal: int) -> Fraction:
    return Fraction(nominal * 1000, 1001)


#: The frame rates by the names that they go by.
RATES = {
    rate.name: rate
    for rate in (
        FrameRate("23.976", _ntsc(24), 24),
        FrameRate("24", Fraction(24), 24),
        FrameRate("25", Fraction(25), 25),
        FrameRate("29.97", _ntsc(30), 30, dropped=2),
        FrameRate("30", Fraction(30), 30),
        FrameRate("50", Fraction(50), 50),
        FrameRate("59.94", _ntsc(60), 60),
        FrameRate("60", Fraction(60), 60),
    )
}


class BadTimecode(ValueError):
    """A time code that cannot be, with the reason."""


def frame_at(seconds: float, rate: FrameRate) -> int:
    """The number of the frame, from 0, whose start is nearest to a time of the recording in seconds.

    >>> frame_at(1.02, RATES["25"]), frame_at(60.06, RATES["29.97"])
    (26, 1800)
    """
    return max(int(Fraction(seconds) * rate.per_second + Fraction(1, 2)), 0)


def label(frame: int, rate: FrameRate) -> str:
    """The time code of a frame. It starts again after 24 hours.

    >>> label(1799, RATES["29.97"]), label(1800, RATES["29.97"])
    ('00:00:59;29', '00:01:00;02')
    """
    frame %= rate.day
    tens, rest = divmod(frame, rate.ten_minutes)
    # The first of ten minutes has all its numbers.
    short = max(rest - 60 * rate.nominal, -1) // (60 * rate.nominal - rate.dropped) + 1
    number = frame + rate.dropped * (9 * tens + short)
    seconds, frames = divmod(number, rate.nominal)
    mark = ";" if rate.dropped else ":"
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}{mark}{frames:02d}"


def frame_of(text: str, rate: FrameRate) -> int:
    """The frame that has a time code. In drop-frame a colon before the frames will do too. Raises BadTimecode.

    >>> frame_of("00:01:00;02", RATES["29.97"])
    1800
    """
    match = _LABEL.fullmatch(text)
    if match is None:
        raise BadTimecode("is no time code HH:MM:SS:FF")
    hours, minutes, seconds, frames = (int(match[group]) for group in (1, 2, 3, 5))
    if match[4] == ";" and not rate.dropped:
        raise BadTimecode(f"is drop-frame, which {rate.name} frames a second have not")
    if hours > 23 or minutes > 59 or seconds > 59 or frames >= rate.nominal:
        raise BadTimecode(f"goes beyond 23:59:59 or frame {rate.nominal - 1}")
    if seconds == 0 and frames < rate.dropped and minutes % 10:
        raise BadTimecode("is one of the numbers that drop-frame leaves out")
    whole = 60 * hours + minutes
    return (60 * whole + seconds) * rate.nominal + frames - rate.dropped * (whole - whole // 10)


def seconds_of(frame: int, rate: FrameRate) -> float:
    """The time at which a frame begins, seconds from frame 0."""
    return float(frame / rate.per_second)
