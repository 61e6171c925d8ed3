"""The features of words that a row may name.

What a feature is called: ``corner`` and ``number`` with their sorts (``corner:pronoun``, ``number:figure``,
``number:1..5``), the roles of the lexicon with values, strengths or scopes of theirs (``lead``, ``bound:under``,
``stance:asked:before``), the sets of small words, and what is listed here. ``extract/mentions/features.py`` finds them
in a talk.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from extract.lexicon.data import load_toml
from extract.lexicon.entries import ROLES
from extract.phrases.pattern import Sort

#: Sorts of a corner: by what refers to it, of whom it speaks.
CORNER = frozenset(
    "red blue colour name team nickname pronoun home role athlete bench possessive".split()  # noqa: SIM905
)
#: Sorts of a number: how it is written; ``plain`` is all but a sound and a time in figures,
#: ``signed`` has a plus before it. Or its least and most value.
NUMBER = frozenset("figure word zero homophone clock plain signed".split())  # noqa: SIM905
RANGE = re.compile(r"(\d+)\.\.(\d+)")
#: Of one word: any; a mark; the end of a sentence; a word that may stand between something and the corner before it, or
#: after it.
WORDS = frozenset({"any", "mark", "hard_end", "link", "link_after"})
#: Stretches that are found by more than their words: a word of leading that leads somebody, of trailing that does; a score
#: typed with a colon.
STRETCHES = frozenset({"leading", "trailing", "colon_pair"})
#: Of a place: a phrase may begin here, or end; a segment, a caption, another speaker begins here; and of the whole
#: talk: it is typed notes, it has sentence marks. Besides these ``suffix:ed``: the word before it ends so.
PLACES = frozenset({"opens", "closes", "segment", "line", "turn", "notes", "punctuated"})
#: A silence before a place: ``pause:4`` is one of more than four seconds.
PAUSE = re.compile(r"pause:(\d+)")


def sort_of(feature: str) -> Sort | None:
    """What a feature is of; None where there is none of this name."""
    name, _, value = feature.partition(":")
    if name == "corner":
        return "stretch" if not value or value in CORNER else None
    if name == "number":
        return "stretch" if not value or value in NUMBER or RANGE.fullmatch(value) else None
    if name in ROLES:
        role = ROLES[name]
        known = {*role.strengths, *role.scopes, *(role.values or ())}
        free = not value or role.values is None or role.number
        return "stretch" if free or known.issuperset(value.split(":")) else None
    if PAUSE.fullmatch(feature):
        return "place"
    if value:
        return "place" if name == "suffix" else None
    if name in STRETCHES or name in small_word_sets():
        return "stretch"
    return "word" if name in WORDS else "place" if name in PLACES else None


def small_word_sets() -> Mapping[str, object]:
    """The names of the sets of small words."""
    return load_toml("talk/small_words")
