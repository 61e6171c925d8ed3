"""Finds who is on top: as chosen before a period, and as told while they wrestle."""

from __future__ import annotations

from collections.abc import Iterator

from extract.lexicon import small_words
from extract.mentions.model import PositionMention
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.rules.base import other

_POSITIONS, _CHOOSING = small_words("positions"), small_words("choosing")

_PLACES = _POSITIONS - {"neutral", "down"}


def find_positions(talk: Talk) -> list[PositionMention]:
    """All positions said, in order."""
    chosen = list(_chosen(talk))
    at = {m.start for m in chosen}
    told = [m for m in _told(talk) if not at & set(range(m.start, m.end))]
    return sorted([*chosen, *told], key=lambda m: m.start)


def _chosen(talk: Talk) -> Iterator[PositionMention]:
    """The choice before a period: "takes bottom", "wants top", "has chosen neutral"; and the place alone."""
    for i, word in enumerate(talk.words):
        if word not in _POSITIONS:
            continue
        lo, hi = talk.segment(i)
        chosen = bool(_CHOOSING & set(talk.between(max(lo, i - 6), min(hi, i + 4)).split()))
        ref = talk.ref_before(i, 8, links_only=False)
        if not chosen:
            # "Torvald top": nothing but who and where.
            if word in _PLACES and ref is not None and ref.end == i and talk.closes(i + 1):
                top = ref.corner if word == "top" else other(ref.corner)
                yield PositionMention(i, i + 1, talk.time(i), "asserted", "told", top)
            continue
        if word == "neutral":
            yield PositionMention(i, i + 1, talk.time(i), "asserted", "chosen", None)
        elif ref is not None:
            top = ref.corner if word == "top" else other(ref.corner)
            yield PositionMention(i, i + 1, talk.time(i), "asserted", "chosen", top)


def _told(talk: Talk) -> Iterator[PositionMention]:
    """How the two are placed: "red's on top", "blue still riding", "back to neutral"."""
    for term in talk.terms.all("position"):
        a, b = term.start, term.end
        stance = stance_of(talk, a, b)
        if stance != "asserted" or talk.asked(a) or talk.terms.at("not_position", a):
            continue
        if term.entry.value == "neutral":
            yield PositionMention(a, b, talk.time(a), stance, "told", None)
            continue
        # "On top, six-two" is a lead, "riding time" a clock.
        if talk.number_at(b) is not None or talk.number_at(b + 1) is not None or _counted(talk, a, b):
            continue
        ref = talk.ref_before(a, 2, links_only=False) or talk.ref_after(b, 1)
        if ref is not None and ref.about == "athlete":
            top = ref.corner if term.entry.value == "top" else other(ref.corner)
            yield PositionMention(a, b, talk.time(a), stance, "told", top)


def _counted(talk: Talk, a: int, b: int) -> bool:
    """Whether the words are part of those of riding time."""
    clocks = [t for t in talk.terms.within("other_clock", a, b) if t.end > b or t.start < a]
    kinds = [t for t in talk.terms.within("kind", a, b) if t.end > b or t.start < a]
    return bool(clocks) or any(t.entry.value == "riding_time" for t in kinds)
