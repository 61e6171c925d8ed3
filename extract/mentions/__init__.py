"""From a transcript to its mentions: every place where the talk may say something of the bout."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from extract.lexicon import Lexicon, load_lexicon
from extract.mentions.calls import find_calls
from extract.mentions.clocks import find_clocks
from extract.mentions.document import Place, TalkDocument
from extract.mentions.margins import find_margins
from extract.mentions.marks import find_actions, find_marks
from extract.mentions.model import Mention
from extract.mentions.positions import find_positions
from extract.mentions.results import find_criteria, find_results
from extract.mentions.reviews import find_reviews, find_wave_offs
from extract.mentions.scores import find_scores
from extract.mentions.talk import Talk
from extract.rules.base import CORNERS

if TYPE_CHECKING:
    from extract.mentions.cast import Cast, CornerRef
    from extract.transcript import BoutFile, Transcript

__all__ = ["Heard", "Mention", "Place", "TalkDocument", "hear", "mentions_of"]


@dataclass(frozen=True, slots=True)
class Heard:
    """All that was heard in one transcript: who is who, and the mentions in the order in which they are said. ``refs`` are
    the places that refer to a corner, as positions in ``document.tokens``, ``talk`` is what the mentions were found in."""

    document: TalkDocument
    lexicon: Lexicon
    cast: Cast
    refs: tuple[CornerRef, ...]
    mentions: tuple[Mention, ...]
    talk: Talk

    def place(self, mention: Mention) -> Place:
        """Cue, offsets and words of a mention."""
        return self.document.place(mention.start, mention.end)

    def taking_sides(self) -> tuple[Heard, Heard]:
        """The same talk with "us" for red, and with "us" for blue."""
        red, blue = (
            _hear(self.document, self.lexicon, replace(self.cast, home=corner)) for corner in CORNERS
        )
        return red, blue

    def said_at(self, mention: Mention) -> float:
        """The time to give for a mention, seconds of recording (see ``TalkDocument.said_at``)."""
        return self.document.said_at(mention.start)


def hear(
    transcript: Transcript,
    style: str,
    bout: BoutFile | None = None,
    *,
    red: str | None = None,
    blue: str | None = None,
    lexicon: Lexicon | None = None,
) -> Heard:
    """Finds every mention in a transcript. A talk that takes sides without saying whose (``Cast.home_open``) is heard
    with nobody as "us"; ``Heard.taking_sides`` hears it with each corner.

    ``style``, the name of the ruleset, picks the shipped lexicon; ``lexicon``, one of that style, stands in its
    place. The finders run from the most to the least telling use of a number: a time, then a score, then a lead, then
    points; each leaves alone what the ones before it took.
    """
    from extract.mentions.cast import corner_words, find_cast

    document = TalkDocument(transcript)
    cast = find_cast(document.tokens, bout, red, blue, corner_words(style))
    return _hear(document, lexicon or load_lexicon(style), cast)


def _hear(document: TalkDocument, lexicon: Lexicon, cast: Cast) -> Heard:
    from extract.mentions.cast import corner_refs

    refs = tuple(corner_refs(document.tokens, cast))
    talk = Talk(document, lexicon, refs)
    return Heard(document, lexicon, cast, refs, mentions_of(talk), talk)


def mentions_of(talk: Talk) -> tuple[Mention, ...]:
    """Every mention in a talk, in the order in which they are said."""
    found: list[Mention] = []
    for finder in (
        find_clocks, find_scores, find_margins, find_calls, find_reviews, find_wave_offs, find_marks,
        find_criteria, find_results, find_positions, find_actions,
    ):  # fmt: skip
        found.extend(finder(talk))
    return tuple(sorted(found, key=lambda m: (m.start, m.end)))
