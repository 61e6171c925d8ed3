"""Who holds the number said first in a score, as the words around have it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from extract.lexicon import small_words
from extract.mentions.model import Tie
from extract.mentions.score_pairs import Pair
from extract.mentions.talk import Talk
from extract.rules.base import Corner, other

if TYPE_CHECKING:
    from extract.cast.find import CornerRef


_GIVING = small_words("giving")


def holder_of(talk: Talk, pair: Pair) -> tuple[Corner | None, Tie]:
    """Who holds the first number, as the words have it; a pronoun ties less than a name."""
    corner, tie, ref = _named_holder(talk, pair)
    if ref is not None and ref.how in ("pronoun", "home", "role") and tie == "attached":
        tie = "clause"
    elif ref is not None and ref.how in ("pronoun", "home", "role") and tie == "clause":
        tie = "near"
    return corner, tie


def _named_holder(talk: Talk, pair: Pair) -> tuple[Corner | None, Tie, CornerRef | None]:
    a, b = pair.start, pair.end
    lo, hi = talk.segment(a)
    low_first = pair.pair[0] < pair.pair[1]
    after = talk.ref_after(b, 3)
    before = talk.ref_before(a, 3)
    if before is not None and before.about == "bench" and after is not None:
        before = None
    if (
        before is not None
        and (talk.previous_word(before.start) in _GIVING or _was_given(talk, before.start))
        and "," in talk.words[before.end : a]
    ):
        # "a step-out for red, nine-eight", "escape red, three-one": who was given it need not be the leader.
        before = None
    if after is not None and before is not None and after.corner != before.corner:
        # "five-two, Nakadera": what directly follows wins, unless a subject with a verb of leading stands in front.
        led = talk.leads(before.end, a)
        if led and not talk.leads(after.end, min(hi, after.end + 2)):
            return _ordered(talk, before.corner, before.end, a, low_first), "attached", before
        return _ordered(talk, after.corner, after.end, min(hi, after.end + 4), low_first), "attached", after
    if after is not None and (own := _told_again(talk, after, pair)) is not None:
        return own, "attached", after
    if after is not None:
        first = _ordered(talk, after.corner, after.end, min(hi, after.end + 2), low_first)
        if (
            low_first
            and first == after.corner
            and not talk.terms.any("trail", max(lo, a - 3), min(hi, after.end + 2))
        ):
            # "1-2 Nakadera": with the lower number first the one named after it is the leader.
            return other(first), "clause", after
        return first, "attached", after
    if before is not None:
        # "Felmouth over Strandlow, six-two": the one before the word of leading.
        subject = _subject(talk, a, lo)
        if subject is not None and subject.corner != before.corner and subject.end < before.start:
            return _ordered(talk, subject.corner, subject.end, before.start, low_first), "attached", subject
        return _ordered(talk, before.corner, before.end, b + 2, low_first), "attached", before
    loose = talk.ref_after(b, 7, links_only=False)
    front = _subject(talk, a, lo)
    if front is not None:
        led = talk.leads(front.end, a) or talk.terms.any("trail", front.end, a)
        if led or loose is None:
            close = a - front.end <= 6 and led
            tie: Tie = "attached" if close else "clause" if led else "near"
            return _ordered(talk, front.corner, front.end, b + 2, low_first), tie, front
    if loose is not None:
        led = talk.leads(b, min(hi, loose.end + 4))
        tie = "near" if not led else "attached" if loose.start - b <= 5 else "clause"
        return _ordered(talk, loose.corner, loose.start, min(hi, loose.end + 4), low_first), tie, loose
    return None, "none", None


def _was_given(talk: Talk, at: int) -> bool:
    """Whether an award is named right before word ``at``."""
    kind = talk.terms.at("kind", at - 1)
    return kind is not None and kind.end == at and kind.entry.strength == "call"


def _told_again(talk: Talk, ref: CornerRef, pair: Pair) -> Corner | None:
    """Who holds the first number where one of the two is said again with its holder: "eight-six, Toll has six"."""
    k = (
        talk.number_at(ref.end + 1)
        if talk.words[ref.end : ref.end + 1] in (["has"], ["'s"], ["on"], ["with"])
        else None
    )
    if k is None or pair.pair[0] == pair.pair[1] or talk.numbers[k].value not in pair.pair:
        return None
    return ref.corner if talk.numbers[k].value == pair.pair[0] else other(ref.corner)


def _subject(talk: Talk, a: int, lo: int) -> CornerRef | None:
    """The corner that the sentence before the pair is about: the first of two where a word of leading parts them
    ("Calloran over Nakadera, six-two"), else the last."""
    found = [r for r in talk.refs_within(max(lo, a - 14), a) if r.end <= a]
    if not found:
        return None
    last = found[-1]
    for earlier in reversed(found[:-1]):
        if earlier.corner != last.corner and talk.leads(earlier.end, last.start):
            return earlier
    return last


def _ordered(talk: Talk, corner: Corner, a: int, b: int, low_first: bool) -> Corner:
    """Who holds the first number when ``corner`` is named: the words of leading or trailing around decide, and
    without any the one named holds the number said first."""
    if any(trailing(talk, t.start, t.end) for t in talk.terms.within("trail", a, b)):
        return corner if low_first else other(corner)
    if low_first and talk.leads(a, b):
        return other(corner)
    return corner


def trailing(talk: Talk, start: int, end: int) -> bool:
    """ "back in front" and "back to" trail nobody."""
    word = talk.between(start, end)
    return not (
        word == "back"
        or (word == "behind" and talk.next_word(end) in ("him", "her", "again"))
        or word in ("needs", "loses")
    )
