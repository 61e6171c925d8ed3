"""What finders do with rows: take the first of a table that fits, read the value of a part, and ask for the stance."""

from __future__ import annotations

from collections.abc import Mapping

from extract.mentions.model import Stance
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.phrases import Hit, Row
from extract.phrases.find import feature_of, fits

_NOTHING: Mapping[str, str] = {}


def decide(talk: Talk, gives: str, start: int, end: int, known: Mapping[str, str] = _NOTHING) -> Hit | None:
    """The first row that fits the words from ``start`` to ``end`` (exclusive) and ``holds`` for what is ``known`` of
    them."""
    for row in talk.rows.possible(gives, talk, start, end):
        parts = fits(row, talk, start, end) if holds(row, known) else None
        if parts is not None:
            talk.fitted.add(row.id)
            return Hit(row, start, end, parts)
    return None


def holds(row: Row, known: Mapping[str, str]) -> bool:
    """Whether each thing that is ``known`` of some words is in the list that a row has under its name, if it has one."""
    return all(what in row.texts(key) for key, what in known.items() if key in row.more)


def meant(talk: Talk, hit: Hit, part: str) -> str:
    """The value of the term that a part of a row is; "" where it has no such part."""
    if part not in hit.parts:
        return ""
    return str(talk.meaning(feature_of(hit.row, part), hit.parts[part][0]))


def stance_for(talk: Talk, hit: Hit) -> Stance:
    """The stance of the words of a row, but for one that it overrules."""
    stance = stance_of(talk, hit.start, hit.end)
    return "asserted" if stance in hit.row.texts("overrules") else stance
