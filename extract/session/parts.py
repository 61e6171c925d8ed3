"""The parts of a recording: its bouts, and the talk between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from extract.transcript import BoutFile, Transcript
from extract.transcript.cue import Order, PartOf

Kind = Literal["bout", "studio"]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a recording.

    It goes from ``start`` to ``end``, seconds from the recording's start, and holds the cues at the positions
    ``first`` to ``last`` (exclusive). ``number`` counts the bouts from 1. It is 0 for ``studio``, which is everything
    outside a bout: presenters, previews, replays, adverts, ceremonies. ``bout`` is what the sheet, or the session
    around it, says of the bout beforehand, or None. ``label`` is what the sheet calls it, ``row`` the position of its
    row there. ``confidence`` is 0 to 1. ``why`` says in a sentence what speaks for the part.
    """

    kind: Kind
    start: float
    end: float
    first: int
    last: int
    number: int = 0
    bout: BoutFile | None = None
    confidence: float = 1.0
    why: str = ""
    label: str | None = None
    row: int | None = None


@dataclass(frozen=True, slots=True)
class Session:
    """A recording in parts. They are in order, without gap or overlap, and together are the whole of it."""

    parts: tuple[Part, ...]
    #: Set where times tell no more than the order of what was written.
    order: Order | None = None

    @property
    def bouts(self) -> tuple[Part, ...]:
        """The parts that are bouts, in order. The first has number 1."""
        return tuple(part for part in self.parts if part.kind == "bout")


def part_transcript(transcript: Transcript, part: Part) -> Transcript:
    """The talk of one part, with the times and the cue indexes of the whole recording."""
    return transcript.cut(PartOf(part.number, part.start, part.end, part.first, part.last))
