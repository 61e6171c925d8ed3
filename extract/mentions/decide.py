"""What finders do with rows: take the first of a table that fits, read the value of a part, and ask for the stance."""

from __future__ import annotations

from collections.abc import Mapping

from extract.mentions.model import Stance
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.phrases import Hit
from extract.phrases.find import fits

_NOTHING: Mapping[str, str] = {}


def decide(talk: Talk, gives: str, start: int, end: int, known: Mapping[str, str] = _NOTHING) -> Hit | None:
    """The first row that fits the words from ``start`` to ``end`` (exclusive) and what is ``known`` of them: each of it
    is in the list that the row has under its name, if it has one."""
    for row in talk.rows.possible(gives, talk, start, end):
        if any(key in row.more and what not in row.texts(key) for key, what in known.items()):
            continue
        parts = fits(row, talk, start, end)
        if parts is not None:
            talk.fitted.add(row.id)
            return Hit(row, start, end, parts)
    return None


def meant(talk: Talk, hit: Hit, part: str) -> str:
    """The value of the term that a part of a row is; "" where it has no such part."""
    if part not in hit.parts:
        return ""
    feature = next(p.names[part] for p in hit.row.patterns() if part in p.names)
    return str(talk.meaning(feature, hit.parts[part][0]))


def stance_for(talk: Talk, hit: Hit) -> Stance:
    """The stance of the words of a row, but for one that it overrules."""
    stance = stance_of(talk, hit.start, hit.end)
    return "asserted" if stance in hit.row.texts("overrules") else stance
