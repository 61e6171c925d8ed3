"""Tables of decisions: rows about words that were found already, of which the first that fits decides."""

from __future__ import annotations

from collections.abc import Mapping

from extract.mentions.talk import Talk
from extract.phrases import Hit

_NOTHING: Mapping[str, str] = {}


def decide(talk: Talk, gives: str, start: int, end: int, known: Mapping[str, str] = _NOTHING) -> Hit | None:
    """The first row that fits the words from ``start`` to ``end`` (exclusive) and what is ``known`` of them: each of it
    is in the list that the row has under its name, if it has one."""
    hits = talk.rows.fitting(gives, talk, start, end)
    return next((hit for hit in hits if _is_about(hit, known)), None)


def _is_about(hit: Hit, known: Mapping[str, str]) -> bool:
    more = hit.row.more
    return all(what in hit.row.texts(key) for key, what in known.items() if key in more)
