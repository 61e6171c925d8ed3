"""Finds leads said in one number, and remarks that the score is level."""

from __future__ import annotations

from extract.mentions.model import MarginMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.phrases import Hit
from extract.rules.base import other


def find_margins(talk: Talk) -> list[MarginMention]:
    """Leads said in one number, and remarks that it is level."""
    out: list[MarginMention] = []
    for hit in talk.rows.find("margin", talk):
        number = hit.parts.get("x")
        if number is None:
            out.append(_level(talk, hit))
            continue
        k = talk.number_at(number[0])
        if k is not None and k not in talk.taken:
            out.append(_lead(talk, hit, talk.numbers[k].value))
            talk.take(*number)
    return sorted(out, key=lambda m: m.start)


def _level(talk: Talk, hit: Hit) -> MarginMention:
    a, b = hit.start, hit.end
    return MarginMention(
        a, b, talk.time(a), stance_of(talk, a, b), hit.row.form, 0, None, "none", row=hit.row.id
    )


def _lead(talk: Talk, hit: Hit, margin: int) -> MarginMention:
    a, b = hit.start, hit.end
    owner = whose(talk, "margin", a, b)
    leader = owner.corner if owner is not None else None
    if leader is not None and talk.rows.first("margin behind", talk, a, b) is not None:
        leader = other(leader)
    tie = owner.tie if owner is not None else "none"
    return MarginMention(
        a, b, talk.time(a), stance_of(talk, a, b), hit.row.form, margin, leader, tie, row=hit.row.id
    )
