"""Finds what may be the score of the bout, with the signs that speak for it or against it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extract.lexicon import small_words
from extract.mentions.model import ScoreMention, Tie
from extract.mentions.score_holder import holder_of
from extract.mentions.score_pairs import Pair, colon_pairs, fused, held_pairs, level_pairs, named_pairs, runs
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk

#: No bout under any of the styles comes near it; above it two numbers are a record, a year, a weight.
_HIGHEST = 45
#: Words that take a score back stand so near before the one that mends it, tokens and seconds, or so near after it.
_REPAIR_BEFORE, _REPAIR_S, _REPAIR_AFTER = 18, 10.0, 8
#: Nearer than this a word of repair needs no clause of its own, tokens.
_REPAIR_CLOSE = 6
_ANSWERS, _PERIODS = small_words("answers"), small_words("periods")
_NO_SCORE_BEFORE = small_words("no_score_before")


def find_scores(talk: Talk) -> list[ScoreMention]:
    """All candidate scores in order, the most telling reading of each place; marks their numbers as taken."""
    out: list[ScoreMention] = []
    candidates = [
        *named_pairs(talk),
        *level_pairs(talk),
        *runs(talk),
        *held_pairs(talk),
        *fused(talk),
        *colon_pairs(talk),
    ]
    for pair in candidates:
        touched = {k for i in range(pair.start, pair.end) if (k := talk.number_at(i)) is not None}
        if touched & talk.taken or max(pair.pair) > _HIGHEST or talk.turned(pair.start, pair.end - 1):
            continue
        mention = _read(talk, pair)
        if mention is not None:
            out.append(mention)
            talk.taken |= touched
    return sorted(out, key=lambda m: m.start)


def _read(talk: Talk, pair: Pair) -> ScoreMention | None:
    a, b = pair.start, pair.end
    segment_start, segment_end = talk.segment(a)
    if talk.terms.any("tie_up", a, b):
        return None
    if pair.form != "level" and talk.terms.any(
        "counts_holds", max(segment_start, a - 14), min(segment_end, b + 6)
    ):
        return None
    if pair.form == "level" and pair.pair[0] <= 1 and b - a <= 2 and talk.words[b - 1] == "each":
        # "One each" is said of warnings, challenges and much else.
        pair = replace(pair, form="one each")
    after_word = talk.next_word(b)
    if pair.form in ("bare", "comma", "zero", "named") and (
        talk.terms.starting("not_score", b)
        or (talk.terms.starting("second", b) and talk.next_word(b + 1) not in _PERIODS)
        or talk.terms.starting("minute", b)
    ):
        return None
    if after_word in ("%", "kilos", "kilo", "pounds") or talk.previous_word(a) in _NO_SCORE_BEFORE:
        return None
    first, tie = (pair.holder, "attached") if pair.holder else holder_of(talk, pair)
    stance = stance_of(talk, a, b)
    if stance == "negated" and talk.words[max(a - 1, 0)] in _ANSWERS:
        # "no, fourteen-seven" denies what was said before it.
        stance = "asserted"
    near = (max(segment_start, a - 7), min(segment_end, b + 7))
    return ScoreMention(
        a,
        b,
        talk.time(a),
        stance,
        pair.form,
        pair.pair,
        first,
        tie,
        final=talk.terms.any("final_cue", *near),
        repair=tuple(_repairs(talk, a, b)),
        signs=tuple(_signs(talk, pair, tie, segment_start, segment_end)),
    )


def _signs(talk: Talk, pair: Pair, tie: Tie, lo: int, hi: int) -> Iterator[str]:
    """What around a pair speaks for or against its being a score of this bout, each sign by its name."""
    a, b = pair.start, pair.end
    terms = talk.terms
    if tie != "none":
        yield f"holder {tie}"
    if talk.leads(max(lo, a - 4), min(hi, b + 4)):
        yield "word of leading"
    if terms.any("trail", max(lo, a - 3), min(hi, b + 3)):
        yield "word of trailing"
    if terms.any("score_cue", max(lo, a - 5), a):
        yield "cue before"
    if terms.any("score_cue", b, min(hi, b + 5)):
        yield "cue after"
    if talk.opens(a):
        yield "opens a phrase"
    if talk.closes(b):
        yield "closes a phrase"
    if max(pair.pair) > 15:
        yield "high"
    if talk.previous_word(a) == "from" or (
        talk.words[a - 2 : a - 1] == ["from"] and talk.words[a - 1] in ("up", "down", "behind", "ahead")
    ):
        yield "after from"
    # In captions without punctuation a segment is one line; a record or an old bout is told over a longer stretch.
    wide = not talk.document.punctuated
    reach = (max(lo - 2, a - 12), min(hi + 6, b + 12)) if wide else (max(lo, a - 14), min(hi, b + 14))
    if terms.any("record", *reach):
        yield "words of a record"
    if any(not _harmless(talk.between(t.start, t.end)) for t in terms.within("elsewhere", *reach)):
        yield "words of another bout"
    if talk.words[b : b + 1] == ["and"] and talk.number_at(b + 1) is not None:
        yield "goes on with and"


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


def _harmless(word: str) -> bool:
    """ "first round" and the like may also be said of a period of this bout."""
    return word in ("first round", "second round", "third round", "once", "remember", "on the other")
