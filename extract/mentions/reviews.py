"""Finds challenges asked for and decided, and awards taken back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from extract.mentions.model import Review, ReviewMention, WaveOffMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.phrases import Hit

#: Stances in which words that are an outcome only while a challenge is looked at are none.
_THOUGHT = frozenset({"hypothetical", "asked", "hoped"})
#: Two ways of telling an outcome that are so many words apart at most are one.
_BESIDE = 10


def find_reviews(talk: Talk) -> list[ReviewMention]:
    """Challenges asked for, won, lost and withdrawn."""
    outcomes = [hit for hit in talk.rows.apart("review", talk) if not _is_only_thought(talk, hit)]
    plainer = [hit for hit in outcomes if hit.row.form != "open"]
    outcomes = [hit for hit in outcomes if hit.row.form != "open" or not _is_beside(hit, plainer)]
    told = {i for hit in outcomes for i in range(hit.start, hit.end)}
    asked = [hit for hit in talk.rows.apart("review ask", talk) if hit.start not in told]
    hits = [*outcomes, *(hit for hit in asked if not _is_none(talk, "no review ask", hit))]
    return sorted((_review(talk, hit) for hit in hits), key=lambda m: m.start)


def _is_only_thought(talk: Talk, hit: Hit) -> bool:
    """Whether the words of an outcome are a caller's own verdict, or what may come."""
    thought = hit.row.form == "open" and stance_of(talk, hit.start, hit.end) in _THOUGHT
    return thought or _is_none(talk, "no review", hit)


def _is_beside(hit: Hit, others: Sequence[Hit]) -> bool:
    """Whether one of the others tells the same outcome in nearly the same words."""
    return any(
        abs(hit.start - other.start) <= _BESIDE and other.row.text("outcome") == hit.row.text("outcome")
        for other in others
    )


def _is_none(talk: Talk, gives: str, hit: Hit) -> bool:
    """Whether a row of the kind ``gives`` says that the words of a hit are none."""
    return talk.rows.first(gives, talk, hit.start, hit.end) is not None


def _review(talk: Talk, hit: Hit) -> ReviewMention:
    a, b = hit.start, hit.end
    what = cast(Review, hit.row.text("outcome") or "ask")
    past = talk.rows.first("past review", talk, a, b) is not None
    owner = whose(talk, "lost challenge" if what == "lost" else "challenge", a, b)
    return ReviewMention(
        a,
        b,
        talk.time(a),
        "recalled" if past else stance_of(talk, a, b),
        hit.row.form,
        what,
        owner.corner if owner is not None else None,
        owner.tie if owner is not None else "none",
        row=hit.row.id,
    )


def find_wave_offs(talk: Talk) -> list[WaveOffMention]:
    """Words that take back the award just called, or say that nothing was given."""
    return [
        WaveOffMention(
            hit.start,
            hit.end,
            talk.time(hit.start),
            "asked" if talk.asked(hit.start) else "asserted",
            str(talk.meaning("wave_off", hit.start)),
            row=hit.row.id,
        )
        for hit in talk.rows.find("wave off", talk)
    ]
