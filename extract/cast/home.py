"""Whose the "us" of a transcript is, and every place where "us" or "them" takes sides."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from extract.cast.model import CornerRef
from extract.rules.base import CORNERS, Corner, other
from extract.talk.numbers import find_numbers, number_words
from extract.talk.soundalike import likeness
from extract.talk.word_lists import word_list
from extract.talk.words import TalkWords

#: So many words that take sides make a talk partisan.
_PARTISAN = 3
#: Coaches call to their athlete so often, so many times as often as to the other one; and so often say whose they are.
_CALLS, _OURS = 5, 3
#: What sets a word off: marks, and the ends of the line.
_MARKS = frozenset({"", ",", "!", "?", ".", "..."})
#: An athlete is owned who was named so many words before.
_NEAR = 25


def find_home(
    talk: TalkWords, refs: Sequence[CornerRef], given: frozenset[str]
) -> tuple[Corner | None, bool]:
    """The side that "us" means, and whether the speakers are its coaches; (None, False) when unclear.

    ``refs`` are references by name in order, ``given`` the athletes' given names: coaches call their athlete
    by it, commentators as a rule do not. Strong evidence is asked for, since every commentator says "we".
    """
    named = [ref for ref in refs if ref.how in ("name", "nickname")]
    familiar = [ref for ref in named if ref.how == "nickname" or _is_given(talk, ref, given)]
    before = word_list("home", "address_before")
    calls = Counter(ref.corner for ref in familiar if _set_off(talk, ref.start, ref.end, before))
    coached = _coached(talk, calls, Counter(ref.corner for ref in familiar), len(named))
    return coached or _claimed(
        calls, Counter([*_claims_after(talk, refs), *_claims_before(talk, refs)])
    ), bool(coached)


def _claimed(calls: Mapping[Corner, int], claims: Mapping[Corner, int]) -> Corner | None:
    """Whose athlete a speaker says outright to be theirs, and calls more than the other one."""
    for corner in CORNERS:
        if claims[corner] and not claims[other(corner)] and calls[corner] > max(1, calls[other(corner)]):
            return corner
    return None


def _coached(
    talk: TalkWords, calls: Mapping[Corner, int], familiar: Mapping[Corner, int], named: int
) -> Corner | None:
    """Whose coaches speak: they call to one athlete, by the given name, and say "we" or address officials."""
    officials = talk.places(word_list("home", "address_officials"))
    ours = len(talk.places(word_list("home", "ours"))) + sum(_set_off(talk, i, i + 1) for i in officials)
    for corner in CORNERS:
        most, rival = calls[corner], calls[other(corner)]
        if most >= _CALLS and rival * _CALLS <= most and familiar[corner] * 2 > named and ours >= _OURS:
            return corner
    return None


def _is_given(talk: TalkWords, ref: CornerRef, given: Collection[str]) -> bool:
    """Whether a reference is a given name alone."""
    return ref.end - ref.start == 1 and any(likeness(talk.norm[ref.start], name) > 0.75 for name in given)


def _set_off(talk: TalkWords, start: int, end: int, before: Collection[str] = ()) -> bool:
    """Whether words are called out to somebody: set off on both sides by marks or the line's ends. Those of ``before`` may
    stand before them."""
    return talk.after(end) in _MARKS and (talk.before(start) in _MARKS or talk.before(start) in before)


def _claims_after(talk: TalkWords, refs: Sequence[CornerRef]) -> Iterator[Corner]:
    """ "She's ours", of the one named before."""
    starts = [ref.start for ref in refs]
    for i in talk.places(word_list("home", "claimed")):
        said = talk.before(i) in word_list("home", "is") and talk.before(i - 1) in word_list(
            "home", "somebody"
        )
        k = bisect_left(starts, i) - 1
        if said and k >= 0 and i - refs[k].end < _NEAR:
            yield refs[k].corner


def _claims_before(talk: TalkWords, refs: Sequence[CornerRef]) -> Iterator[Corner]:
    """ "Our own Mira"."""
    starts = [ref.start for ref in refs]
    for i in talk.places(word_list("home", "claiming")):
        k = bisect_right(starts, i)
        if k < len(refs) and refs[k].how in ("name", "nickname"):
            between = [talk.norm[j] for j in range(i + 1, refs[k].start) if talk.word[j]]
            if len(between) <= 2 and word_list("home", "kin").issuperset(between):
                yield refs[k].corner


def home_refs(talk: TalkWords, home: Corner, coaches: bool) -> list[CornerRef]:
    """ "We", "us" and "our" as references to ``home``; "you" too where its coaches speak."""
    narrow = word_list("home", "narrow")
    sure = dict.fromkeys(narrow, 0.55)
    if coaches:
        sure = dict.fromkeys(word_list("home", "we"), 0.65) | dict.fromkeys(word_list("home", "you"), 0.5)
    found = {
        i: CornerRef(
            i, i + 1, home, "home", sure[talk.norm[i]],
            "possessive" if talk.norm[i] in word_list("home", "owners") else "athlete",
        )
        for i in talk.places(sure)
        if coaches or talk.before(i) not in word_list("home", "parts")
    }  # fmt: skip
    for start, end, ours in partisan_refs(talk):
        found.setdefault(start, CornerRef(start, end, home if ours else other(home), "home", 0.6))
    return sorted(found.values(), key=lambda ref: ref.start)


def partisan_refs(talk: TalkWords) -> Iterator[tuple[int, int, bool]]:
    """Words of "us" and "them" that take sides: beside a number ("six-four us", "two for them"), before a word of
    leading ("we're losing"), before "guy" and the like, or as what is owned ("that's ours"). Each with where it stands
    and ends, and whether it is us."""
    we = word_list("home", "we")
    for i in talk.places(we | word_list("home", "they")):
        end = _side_end(talk, i)
        if end:
            yield i, end, talk.norm[i] in we


def _side_end(talk: TalkWords, i: int) -> int:
    """The end of what takes sides at ``i``; 0 where the word there does not."""
    norm, kin = talk.norm[i], word_list("home", "kin")
    at = i + 1
    if norm in word_list("home", "owned"):
        takes = talk.before(i) in word_list("home", "before_owned") or _number_before(talk, i)
    elif norm in word_list("home", "owning"):
        while at < i + 3 and talk.is_word(at) and talk.norm[at] not in kin:
            at += 1
        takes, at = talk.after(at) in kin, at + 1
    elif norm in word_list("home", "objects"):
        given = talk.before(i) in word_list("home", "giving") and talk.after(at) not in kin
        takes = (
            _number_before(talk, i) or _is_number(talk.after(at)) or (given and _number_before(talk, i - 1))
        )
    else:
        ahead = talk.over(at, word_list("home", "before_standing"), 3)
        takes = talk.after(ahead) in word_list("home", "standing")
    return at if takes else 0


def _number_before(talk: TalkWords, i: int) -> bool:
    """Whether a number stands before ``i``, in the same line, a comma or "more" left aside."""
    return _is_number(talk.before(talk.back_over(i, word_list("home", "after_number"), 1)))


def _is_number(word: str) -> bool:
    return word != "" and word not in number_words("everyday") and bool(find_numbers([word]))


def is_partisan(talk: TalkWords) -> bool:
    """Whether so much of a talk takes sides that "us" and "them" must be somebody."""
    signs = list(partisan_refs(talk))
    return len(signs) >= _PARTISAN and any(ours for _, _, ours in signs)
