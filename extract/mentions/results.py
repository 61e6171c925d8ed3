"""Finds who is ahead on criteria, who won, and by what, as said."""

from __future__ import annotations

from extract.mentions.model import CriteriaMention, ResultMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.mentions.whose import whose
from extract.phrases import Hit
from extract.rules.base import Corner, other


def find_criteria(talk: Talk) -> list[CriteriaMention]:
    """Who is ahead on criteria, as said."""
    return [
        CriteriaMention(
            hit.start,
            hit.end,
            talk.time(hit.start),
            stance_of(talk, hit.start, hit.end),
            hit.row.form,
            _owner(talk, "criteria", hit),
            row=hit.row.id,
        )
        for hit in talk.rows.apart("criteria", talk)
    ]


def find_results(talk: Talk) -> list[ResultMention]:
    """Who won, and by what, as said."""
    out = [_result(talk, hit, _winner(talk, hit), None) for hit in talk.rows.apart("winner", talk)]
    for hit in talk.rows.apart("won by", talk):
        out.append(_result(talk, hit, None, str(talk.meaning("won_by", hit.parts["by"][0]))))
    return sorted(out, key=lambda m: m.start)


def _winner(talk: Talk, hit: Hit) -> Corner | None:
    """The part ``c`` of a row that names the winner or, where it is turned, the loser; else whom the words are about."""
    if "c" not in hit.parts:
        return _owner(talk, hit.row.text("whose"), hit)
    ref = talk.ref_at(hit.parts["c"][0])
    if ref is None:
        return None
    return other(ref.corner) if hit.row.more.get("turned") else ref.corner


def _owner(talk: Talk, of: str, hit: Hit) -> Corner | None:
    owner = whose(talk, of, hit.start, hit.end)
    return owner.corner if owner is not None else None


def _result(talk: Talk, hit: Hit, winner: Corner | None, by: str | None) -> ResultMention:
    stance = stance_of(talk, hit.start, hit.end)
    return ResultMention(
        hit.start, hit.end, talk.time(hit.start), stance, hit.row.form, winner, by, row=hit.row.id
    )
