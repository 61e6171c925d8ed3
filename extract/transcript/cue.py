"""A timed transcript as the later stages see it, whatever file it came from."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from dataclasses import dataclass, replace
from typing import Literal

Format = Literal["srt", "vtt", "ttml", "asr", "block", "csv", "lines"]
#: Steps of the grid in a second. It is a power of two, so sums and differences of times have no rounding error, for a
#: day and far longer.
_STEPS = 2.0**20


@dataclass(frozen=True, slots=True)
class Cue:
    """One timed stretch of text.

    ``index`` counts the cues of the source from 1. If one of those has several speakers, there is a cue for each of
    the same index. ``start`` and ``end`` are seconds from the recording's start. ``text`` is the text as a person
    reads it. Markup and character references are resolved, invisible characters and signs of a change of speaker are
    gone, and every stretch of blanks is one blank. ``origin`` gives for each position of ``text`` (and its end) the
    position in the cue's text as it stands in the source. It is empty if both are the same. ``anchors`` are known
    word times, ``(position in text, seconds)``, ascending. Without them time runs evenly over the characters.
    ``turn`` says that a sign in the source marks another speaker here. A ``heading`` stands above the first time: it
    tells who wrestles and in which style, and nothing of what happens.
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
        """Where a position of the source's own text of this cue stands in ``text``."""
        return bisect_left(self.origin, position) if self.origin else min(position, len(self.text))

    def source_position(self, position: int) -> int:
        """Where the character at ``position`` of ``text`` stands in the source's own text of this cue."""
        return self.origin[position] if self.origin else position


@dataclass(frozen=True, slots=True)
class PartOf:
    """The part of a recording that one of several bouts is: its number, counted from 1, its start and end in seconds
    of recording, and the positions of its cues in the whole transcript (``first`` from 0, ``last`` exclusive)."""

    number: int
    start: float
    end: float
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Order:
    """What stands for times where an account has none. Its entries come one after the other, a long one in several parts.
    Each of these begins ``step_s`` after the one before it and lasts ``length_s``, in seconds that nobody measured.
    ``lines`` are the lines of the source that they begin at, in order of what happened. ``newest_first`` says that the
    source has them the other way round. ``bouts`` are the positions of the cues with which a bout begins, where more than
    one is headed."""

    step_s: float
    length_s: float
    lines: tuple[int, ...]
    newest_first: bool = False
    bouts: tuple[int, ...] = ()

    def entry(self, t: float) -> int:
        """The position of the entry that a moment belongs to. What lies between two entries belongs to the later one:
        an award comes a little before the words that call it.

        >>> [Order(20.0, 8.0, (1, 3, 4)).entry(t) for t in (0.0, 8.0, 18.5, 28.0, 500.0)]
        [0, 0, 1, 1, 2]
        """
        return min(max(math.ceil(round((t - self.length_s) / self.step_s, 6)), 0), len(self.lines) - 1)

    def line(self, t: float) -> int:
        """The line of the source at which the entry of a moment begins."""
        return self.lines[self.entry(t)]


@dataclass(frozen=True, slots=True)
class Transcript:
    """The cues of one recording or of a part of it, in order of time, and where they came from.

    ``part`` is set if this was cut out of a longer recording; the cues keep their times and indexes. ``notices`` tell
    a person what of the file was not used, or not as it stands. ``typed`` is set for typed notes: short lines, each
    with its time, or a table of several columns. ``order`` is set where the source has no times: those of the cues then
    tell the order alone.
    """

    file: str
    format: Format
    sha256: str
    cues: tuple[Cue, ...]
    part: PartOf | None = None
    notices: tuple[str, ...] = ()
    typed: bool = False
    order: Order | None = None

    @property
    def by_order(self) -> bool:
        """Whether the times tell no more than the order of what was written."""
        return self.order is not None

    @property
    def interpolated(self) -> bool:
        """Whether the cues are long, so that times inside them are only estimates."""
        return self.format == "block" and not self.typed

    @property
    def begins(self) -> float:
        """Where the recording or the part of it begins, seconds from the recording's start. The first word may come
        much later."""
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
        """The same talk with times on a grid that begins with its first word. No time moves by as much as a
        microsecond. The
        distance between two moments is then the same to the last bit wherever the recording's clock began, and so is
        everything that depends on such distances."""
        begins = self.first_word
        return replace(self, cues=tuple(cue.evened(begins) for cue in self.cues))


def hundredths(t: float) -> float:
    """A number as records have it, in hundredths. The grid changes no such number: the time is first rounded to five
    places, which takes out what the grid moved.

    >>> hundredths(203.345 + 1e-7) == hundredths(203.345 - 1e-7)
    True
    """
    return round(round(t, 5), 2)


def _even(t: float) -> float:
    """A time, in seconds, on the grid."""
    return round(t * _STEPS) / _STEPS
