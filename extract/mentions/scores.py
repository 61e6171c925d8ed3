"""Finds what may be the score of the bout, with the signs that speak for it or against it."""

from __future__ import annotations

from collections.abc import Iterator

from extract.lexicon import small_words
from extract.mentions.decide import decide, holds
from extract.mentions.model import ScoreMention, Tie
from extract.mentions.score_holder import holder_of
from extract.mentions.score_pairs import Pair, score_pairs
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk

#: No bout under any of the styles comes near it; above it two numbers are a record, a year, a weight.
_HIGHEST = 45
#: Words that take a score back stand so near before the one that mends it, tokens and seconds, or so near after it.
_REPAIR_BEFORE, _REPAIR_S, _REPAIR_AFTER = 18, 10.0, 8
#: Nearer than this a word of repair needs no clause of its own, tokens.
_REPAIR_CLOSE = 6
_ANSWERS = small_words("answers")


def find_scores(talk: Talk) -> list[ScoreMention]:
    """All candidate scores in order, the most telling reading of each place; marks their numbers as taken."""
    out: list[ScoreMention] = []
    for pair in [*score_pairs(talk)]:
        touched = {k for i in range(pair.start, pair.end) if (k := talk.number_at(i)) is not None}
        if touched & talk.taken or max(pair.pair) > _HIGHEST or talk.turned(pair.start, pair.end - 1):
            continue
        if decide(talk, "no score", pair.start, pair.end, {"forms": pair.form}) is not None:
            continue
        out.append(_read(talk, pair))
        talk.taken |= touched
    return sorted(out, key=lambda m: m.start)


def _read(talk: Talk, pair: Pair) -> ScoreMention:
    a, b = pair.start, pair.end
    first, tie = (pair.holder, "attached") if pair.holder else holder_of(talk, pair)
    stance = stance_of(talk, a, b)
    if stance == "negated" and talk.words[max(a - 1, 0)] in _ANSWERS:
        # "no, fourteen-seven" denies what was said before it.
        stance = "asserted"
    return ScoreMention(
        a,
        b,
        talk.time(a),
        stance,
        pair.form,
        pair.pair,
        first,
        tie,
        final=talk.rows.first("final score", talk, a, b) is not None,
        repair=tuple(_repairs(talk, a, b)),
        signs=tuple(_signs(talk, pair, tie)),
        context=talk.contexts.at(talk, a),
        row=pair.row,
    )


def _signs(talk: Talk, pair: Pair, tie: Tie) -> Iterator[str]:
    """What around a pair speaks for or against its being a score of this bout, each sign by its name."""
    if tie != "none":
        yield f"holder {tie}"
    for hit in talk.rows.fitting("score sign", talk, pair.start, pair.end):
        if holds(hit.row, {"forms": pair.form}):
            yield hit.row.text("sign")


def _repairs(talk: Talk, a: int, b: int) -> Iterator[str]:
    """The signs that a score mends the one before it: words of repair close by, such words at the opening of a phrase a
    little further off, words that cite the board. Another score in between cuts them off."""
    terms = talk.terms
    first = a
    if any(terms.any(role, a - _REPAIR_BEFORE, a) for role in ("repair", "authority")):
        while first > max(a - _REPAIR_BEFORE, 0) and talk.time(a) - talk.time(first - 1) < _REPAIR_S:
            if _scores_before(talk, first - 1):
                break
            first -= 1
    words = list(terms.within("repair", first, a))
    if any(a - t.start <= _REPAIR_CLOSE for t in words):
        yield "word of repair"
    if any(talk.opens(t.start) for t in words):
        yield "opens with repair"
    _, hi = talk.segment(a)
    if terms.any("authority", first, a) or terms.any("authority", b, min(b + _REPAIR_AFTER, hi)):
        yield "cites the board"
    if any(t.start < hi for t in terms.within("repair", b, b + _REPAIR_AFTER)):
        yield "repair after"


def _scores_before(talk: Talk, i: int) -> bool:
    """Whether token ``i`` ends two numbers said together, as scores are."""
    k = talk.number_at(i)
    if k is None or k == 0 or talk.numbers[k].end != i + 1:
        return False
    return talk.numbers[k].start - talk.numbers[k - 1].end <= 2
