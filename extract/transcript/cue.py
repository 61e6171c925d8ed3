"""A timed transcript as the later stages see it, whatever file it came from."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, replace
from typing import Literal

Format = Literal["srt", "vtt", "ttml", "asr", "block", "csv"]
#: Times of so many to a second have sums and differences without an error of rounding (a power of two), in all of a day
#: and far beyond.
_STEPS = 2.0**20


@dataclass(frozen=True, slots=True)
class Cue:
    """One timed stretch of text.

    ``index`` counts the cues of the source from 1; where one of those has several speakers, there is a cue for each,
    of the same index. ``start`` and ``end`` are seconds from the recording's start.
    ``text`` is the text as a person reads it: markup and character references resolved, without characters that nobody
    sees and signs of a change of speaker, every stretch of blanks one blank. ``origin`` gives, for each position of
    ``text`` (and its end), the position in the cue's text as it stands in the source; it is empty when both are
    the same. ``anchors`` are known word times, ``(position in text, seconds)``, ascending; where there are none,
    time runs evenly over the characters. ``turn`` tells that a sign in the source says that another speaker begins here.
    A ``heading`` is what stands above the first time: it tells who wrestles and in which style, and nothing of what
    happens.
    """

    index: int
    start: float
    end: float
    text: str
    speaker: str | None = None
    origin: tuple[int, ...] = ()
    anchors: tuple[tuple[int, float], ...] = ()
    turn: bool = False
    heading: bool = False

    def time_at(self, position: int) -> float:
        """Seconds at which the character at ``position`` of ``text`` is spoken, interpolated.

        >>> Cue(1, 10.0, 20.0, "two points").time_at(5)
        15.0
        """
        if not self.anchors:
            share = min(max(position / max(len(self.text), 1), 0.0), 1.0)
            return self.start + _even((self.end - self.start) * share)
        points = [(0, self.start), *self.anchors, (max(len(self.text), 1), self.end)]
        i = min(bisect_right(points, (position, float("inf"))), len(points) - 1)
        (a, ta), (b, tb) = points[i - 1], points[i]
        if b <= a:
            return ta
        return ta + _even((tb - ta) * min(max((position - a) / (b - a), 0.0), 1.0))

    def evened(self, begins: float) -> Cue:
        """The same cue with its times on the grid of a talk that begins at ``begins``."""

        def at(t: float) -> float:
            return _even(begins) + _even(t - begins)

        anchors = tuple((position, at(t)) for position, t in self.anchors)
        return replace(self, start=at(self.start), end=at(self.end), anchors=anchors)

    def plain_position(self, position: int) -> int:
        """Where a position of the source's own text of this cue stands in ``text``: the other way round."""
        return bisect_left(self.origin, position) if self.origin else min(position, len(self.text))

    def source_position(self, position: int) -> int:
        """Where the character at ``position`` of ``text`` stands in the source's own text of this cue."""
        return self.origin[position] if self.origin else position


@dataclass(frozen=True, slots=True)
class PartOf:
    """A bout's part of a recording of several: its number, counted from 1, its start and end in seconds of recording, and
    the positions of its cues in the whole transcript (``first`` from 0, ``last`` exclusive)."""

    number: int
    start: float
    end: float
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Transcript:
    """The cues of one recording or of a part of it, in order of time, and where they came from.

    What was cut out of a longer recording says which ``part`` of it that is; its cues keep their times and indexes.
    ``notices`` say, for a person, what of the file was not used, or not as it stands. ``typed`` is a text of short
    lines, each with its time, or a table of several columns, as somebody types them.
    """

    file: str
    format: Format
    sha256: str
    cues: tuple[Cue, ...]
    part: PartOf | None = None
    notices: tuple[str, ...] = ()
    typed: bool = False

    @property
    def interpolated(self) -> bool:
        """Whether times inside the cues, which are long, are only estimated."""
        return self.format == "block" and not self.typed

    @property
    def begins(self) -> float:
        """Where the recording or the part of it begins, seconds from the recording's start; the first word may come a
        good deal later."""
        return self.part.start if self.part is not None else 0.0

    @property
    def first_word(self) -> float:
        """Start of the first cue, seconds from the recording's start."""
        return self.cues[0].start if self.cues else self.begins

    @property
    def seconds(self) -> float:
        """End of the last cue, seconds from the recording's start."""
        return max((cue.end for cue in self.cues), default=self.begins)

    def cut(self, part: PartOf) -> Transcript:
        """One part of the recording, as a talk of its own."""
        return replace(self, cues=self.cues[part.first : part.last], part=part)

    def since(self, first: int) -> Transcript:
        """The same talk without the cues before the position ``first``."""
        return replace(self, cues=self.cues[first:]) if first else self

    def evened(self) -> Transcript:
        """The same talk with times on a grid, less than a microsecond off, that is laid from its first word on. How far
        apart two moments are then comes out the same to the last bit wherever the recording's clock began, and with it
        everything that hangs on such distances."""
        begins = self.first_word
        return replace(self, cues=tuple(cue.evened(begins) for cue in self.cues))


def hundredths(t: float) -> float:
    """A number as records have it, in hundredths. That a time lies on the grid moves none: what files say of
    milliseconds is what is rounded.

    >>> hundredths(203.345 + 1e-7) == hundredths(203.345 - 1e-7)
    True
    """
    return round(round(t, 5), 2)


def _even(t: float) -> float:
    """A time, in seconds, on the grid."""
    return round(t * _STEPS) / _STEPS
