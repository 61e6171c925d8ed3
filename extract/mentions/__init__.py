"""From a transcript to its mentions: every place where the talk may say something of the bout."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from typing import cast as cast_to

from extract.lexicon import Lexicon, load_lexicon
from extract.mentions.calls import find_calls
from extract.mentions.clocks import find_clocks
from extract.mentions.context import find_passages
from extract.mentions.margins import find_margins
from extract.mentions.marks import find_actions, find_marks
from extract.mentions.model import Mention, Passage, ScoreMention
from extract.mentions.positions import find_positions
from extract.mentions.results import find_criteria, find_results
from extract.mentions.reviews import find_reviews, find_wave_offs
from extract.mentions.scores import find_scores
from extract.mentions.so_far import heard_before, moved_mentions, moved_passages
from extract.mentions.talk import Talk
from extract.rules.base import CORNERS, Corner
from extract.talk.document import Place, TalkDocument

if TYPE_CHECKING:
    from extract.cast.find import Cast, CornerRef
    from extract.transcript import BoutFile, Transcript

__all__ = ["Heard", "Mention", "Place", "TalkDocument", "hear", "mentions_of"]


#: How somebody types a score; and so many of them show in which order they are typed.
_TYPED_FORMS = frozenset({"hyphen"})
_ORDER_SHOWS = 2


@dataclass(frozen=True, slots=True)
class Heard:
    """All that was heard in one transcript: who is who, and the mentions in the order in which they are said. ``refs`` are
    the places that refer to a corner, ``talk`` is what the mentions were found in, ``passages`` are all its segments."""

    document: TalkDocument
    lexicon: Lexicon
    cast: Cast
    refs: tuple[CornerRef, ...]
    mentions: tuple[Mention, ...]
    talk: Talk
    passages: tuple[Passage, ...] = ()

    def place(self, mention: Mention) -> Place:
        """Cue, offsets and words of a mention."""
        return self.document.place(mention.start, mention.end)

    def taking_sides(self, before: Sequence[Heard | None] = (None, None)) -> tuple[Heard, Heard]:
        """The same talk with "us" for red, and with "us" for blue; ``before`` is what that gave when the talk had gone less
        far (see ``hear``)."""
        red, blue = (
            _hear(self.document, self.lexicon, replace(self.cast, home=corner), earlier)
            for corner, earlier in zip(CORNERS, before, strict=True)
        )
        return red, blue

    def orders(self) -> dict[Corner, Heard]:
        """The same notes with red's points first in every score, and with blue's, but for scores with a word that says
        who leads. Empty where it is no notes, or there is nothing that an order could tell."""
        moved = [n for n, m in enumerate(self.mentions) if isinstance(m, ScoreMention) and _typed_pair(m)]
        if not self.document.notes or len(moved) < _ORDER_SHOWS:
            return {}
        out: dict[Corner, Heard] = {}
        for corner in CORNERS:
            mentions = list(self.mentions)
            for n in moved:
                mentions[n] = replace(cast_to(ScoreMention, mentions[n]), first=corner, tie="order")
            out[corner] = replace(self, mentions=tuple(mentions))
        return out

    def said_at(self, mention: Mention) -> float:
        """The time to give for a mention, seconds of recording (see ``TalkDocument.said_at``)."""
        return self.document.said_at(mention.start)


def _typed_pair(score: ScoreMention) -> bool:
    """Whether a score is two different figures with a mark between them, and no word says whose the first is."""
    told = {"word of leading", "word of trailing"} & set(score.signs)
    return score.grade in _TYPED_FORMS and score.pair[0] != score.pair[1] and not told


def hear(
    transcript: Transcript,
    style: str,
    bout: BoutFile | None = None,
    *,
    red: str | None = None,
    blue: str | None = None,
    lexicon: Lexicon | None = None,
    before: Heard | None = None,
) -> Heard:
    """Finds every mention in a transcript. A talk that takes sides without saying whose (``Cast.home_open``) is heard
    with nobody as "us"; ``Heard.taking_sides`` hears it with each corner.

    ``style``, the name of the ruleset, picks the shipped lexicon; ``lexicon``, one of that style, stands in its
    place. The finders run from the most to the least telling use of a number: a time, then a score, then a lead, then
    points; each leaves alone what the ones before it took. ``before`` is what was heard of the same talk when it had gone
    less far: what cannot have changed since is taken from it.
    """
    from extract.cast.find import corner_words, find_cast

    document = TalkDocument(transcript)
    cast = find_cast(document.words, bout, red, blue, corner_words(style))
    return _hear(document, lexicon or load_lexicon(style), cast, before)


def _hear(document: TalkDocument, lexicon: Lexicon, cast: Cast, before: Heard | None = None) -> Heard:
    from extract.cast.find import corner_refs

    refs = tuple(corner_refs(document.words, cast))
    colours = [colour for colour, _ in cast.words.colours]
    if before is not None and before.lexicon is lexicon and before.cast.words == cast.words:
        since, kept = heard_before(before, document, refs)
        if kept:
            later = tuple(
                replace(r, start=r.start - since, end=r.end - since) for r in refs if r.start >= since
            )
            talk = Talk(document.since(since), lexicon, later, colours)
            return Heard(
                document,
                lexicon,
                cast,
                refs,
                moved_mentions(before.mentions, mentions_of(talk), since, kept),
                talk,
                moved_passages(before.passages, find_passages(talk), since, kept),
            )
    talk = Talk(document, lexicon, refs, colours)
    return Heard(document, lexicon, cast, refs, mentions_of(talk), talk, tuple(find_passages(talk)))


def mentions_of(talk: Talk) -> tuple[Mention, ...]:
    """Every mention in a talk, in the order in which they are said."""
    found: list[Mention] = []
    for finder in (
        find_clocks, find_scores, find_margins, find_calls, find_reviews, find_wave_offs, find_marks,
        find_criteria, find_results, find_positions, find_actions,
    ):  # fmt: skip
        found.extend(finder(talk))
    headings = {k for k, cue in enumerate(talk.document.cues) if cue.heading}
    if headings:
        # A heading tells who wrestles, and of another day's result as soon as of this one's.
        found = [m for m in found if talk.document.cue_of[m.start] not in headings]
    return tuple(sorted(found, key=lambda m: (m.start, m.end)))
