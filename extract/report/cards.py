"""What was said wrongly, each with its whole line of the transcript; and what else is to be checked."""

from __future__ import annotations

from dataclasses import dataclass

from extract.checks.sides import Sides
from extract.record.bout_words import short_sides
from extract.record.disagreements import sentence
from extract.record.flag_words import flag_head, place_text, value_text
from extract.record.model import Doubt, Flag, Record
from extract.record.said_table import Spoken, spoken
from extract.transcript.cue import Transcript

#: Entries surer than this are no matter for a reader of the page.
_UNCERTAIN_BELOW = 0.9


@dataclass(frozen=True, slots=True)
class Card:
    """A flag for a reader. ``said`` and ``should_be`` are empty where there is nothing to compare, ``correction`` where
    nothing is to be read out."""

    flag: Flag
    head: str
    place: str
    said: str
    should_be: str
    spoken: Spoken
    correction: str

    @property
    def is_slip(self) -> bool:
        """Whether something was said that is wrong."""
        return self.flag.severity != "note" and bool(self.said and self.should_be)


def cards(record: Record, transcript: Transcript) -> tuple[Card, ...]:
    """A card for each flag, in the order of the record."""
    sides = short_sides(record)
    return tuple(_card(flag, record, transcript, sides) for flag in record.flags)


def _card(flag: Flag, record: Record, transcript: Transcript, sides: Sides) -> Card:
    said, should_be = value_text(flag.said, sides), value_text(flag.computed, sides)
    compared = bool(said and should_be)
    return Card(
        flag,
        flag_head(flag, record),
        place_text(flag, record),
        said if compared else "",
        should_be if compared else "",
        spoken(flag, transcript),
        sentence(flag, record) if compared else "",
    )


def uncertain(record: Record) -> tuple[Doubt, ...]:
    """The entries that may be wrong and that no flag is about, the least certain first."""
    flagged = {ref for flag in record.flags for ref in flag.refs}
    found = [
        d for d in record.doubts if d.ref is not None and d.ref not in flagged and d.share < _UNCERTAIN_BELOW
    ]
    return tuple(sorted(found, key=lambda d: d.share))
