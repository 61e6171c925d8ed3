"""Finds who is on top: as chosen before a period, and as told while they wrestle (``lexicons/phrases/positions.toml``)."""

from __future__ import annotations

from extract.mentions.decide import stance_for
from extract.mentions.model import PositionMention
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.phrases import Hit
from extract.rules.base import other


def find_positions(talk: Talk) -> list[PositionMention]:
    """All positions said, in order."""
    found = (_position(talk, hit) for hit in talk.rows.apart("position", talk))
    return [position for position in found if position is not None]


def _position(talk: Talk, hit: Hit) -> PositionMention | None:
    """The position that a row has found; None where it is not told as a fact, or nobody is named."""
    a, b, row = hit.start, hit.end, hit.row
    if stance_for(talk, hit) != "asserted":
        return None
    top = None
    if row.text("whose"):
        owner = whose(talk, row.text("whose"), a, b)
        if owner is None:
            return None
        top = owner.corner if row.text("place") == "top" else other(owner.corner)
    return PositionMention(a, b, talk.time(a), "asserted", row.form, top, row=row.id)
