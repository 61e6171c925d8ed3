"""What was said wrongly, each with its whole line of the transcript; and what else is to be checked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from extract.checks.sides import Sides
from extract.record.flag_words import correction, flag_head, place_text, value_text
from extract.record.model import Doubt, Flag, Record
from extract.record.plain import printable
from extract.transcript.cue import Cue, Transcript

#: Entries surer than this are no matter for a reader of the page.
_UNCERTAIN_BELOW = 0.9


@dataclass(frozen=True, slots=True)
class Quote:
    """A line of the transcript: who says it, and its text before, in and after the words that it is about."""

    speaker: str
    before: str
    words: str
    after: str


@dataclass(frozen=True, slots=True)
class Card:
    """A flag for a reader. ``said`` and ``should_be`` are empty where there is nothing to compare, ``correction`` where
    nothing is to be read out."""

    flag: Flag
    head: str
    place: str
    said: str
    should_be: str
    quote: Quote | None
    correction: str

    @property
    def is_slip(self) -> bool:
        """Whether something was said that is wrong."""
        return self.flag.severity != "note" and bool(self.said and self.should_be)


def cards(record: Record, transcript: Transcript, sides: Sides) -> tuple[Card, ...]:
    """A card for each flag, in the order of the record."""
    by_cue: dict[int, list[Cue]] = {}
    for cue in transcript.cues:
        by_cue.setdefault(cue.index, []).append(cue)
    return tuple(_card(flag, record, by_cue, sides) for flag in record.flags)


def _card(flag: Flag, record: Record, by_cue: dict[int, list[Cue]], sides: Sides) -> Card:
    said, should_be = value_text(flag.said, sides), value_text(flag.computed, sides)
    compared = bool(said and should_be)
    score = flag.computed if isinstance(flag.computed, tuple) and flag.severity != "note" else None
    return Card(
        flag,
        flag_head(flag, record),
        place_text(flag, record),
        said if compared else "",
        should_be if compared else "",
        _quote(flag, by_cue.get(flag.cue or 0, ())) if flag.text else None,
        correction(score, sides) if compared and score is not None else "",
    )


def _quote(flag: Flag, cues: Iterable[Cue]) -> Quote:
    for cue in cues:
        before, words, after = cue.text.partition(flag.text)
        if words:
            return Quote(printable(cue.speaker or ""), before, words, after)
    return Quote("", "", flag.text, "")


def uncertain(record: Record) -> tuple[Doubt, ...]:
    """The entries that may be wrong and that no flag is about, the least certain first."""
    flagged = {ref for flag in record.flags for ref in flag.refs}
    found = [
        d for d in record.doubts if d.ref is not None and d.ref not in flagged and d.share < _UNCERTAIN_BELOW
    ]
    return tuple(sorted(found, key=lambda d: d.share))
