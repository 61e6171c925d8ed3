"""Learns from a transcript which pronoun is whose, and finds the pronouns that may be relied on."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Literal

from extract.cast.model import CornerRef
from extract.rules.base import CORNERS, Corner, other
from extract.talk.word_lists import is_common, word_list
from extract.talk.words import Words

Gender = Literal["he", "she"]


_ENDS = frozenset({".", "!", "?", "...", "…", ";"})
_PERSON_NOUNS: tuple[tuple[Gender, frozenset[str]], ...] = (
    ("he", frozenset({"man", "lad", "guy", "boy", "fella", "gentleman"})),
    ("she", frozenset({"woman", "lass", "girl", "lady"})),
)
_IN = (("'s", "in"), ("is", "in"))
#: "She's in the red" says it outright.
_DEFINED = 4.0

#: Subject pronouns after a name are only likely to mean it; so much more evidence must speak for one reading.
_LEAST_EVIDENCE = 2.5
_LEAST_SHARE = 0.65
_AGAINST_MIXED = 1.5
_MIXED_SHARE, _MANY = 0.3, 10
#: With fewer subject pronouns than this share the rarer gender belongs to somebody else, the referee say.
_LEAST_GENDER = 0.12


class Sentences:
    """Numbers the sentences of a transcript (the lines, where there are no marks): ``of[i]`` is token
    ``i``'s."""

    def __init__(self, talk: Words) -> None:
        ends = talk.places(_ENDS)
        if len(ends) < len(talk) / 60:
            ends = sorted([*ends, *(i - 1 for i in talk.breaks if i)])
        self.of: list[int] = []
        self.first: list[int] = [0, *(i + 1 for i in ends)]
        for number, i in enumerate(ends):
            self.of += [number] * (i + 1 - len(self.of))
        self.of += [len(ends)] * (len(talk) - len(self.of))

    def start(self, i: int) -> int:
        """The first token of the sentence that token ``i`` is in."""
        return self.first[self.of[i]]


@cache
def _pronouns() -> dict[str, tuple[Gender, bool]]:
    """The gender of each pronoun, and whether it is a subject."""
    others: tuple[Gender, ...] = ("she", "he")
    found = {word: (gender, False) for gender in others for word in word_list("pronouns", f"{gender}_other")}
    return {**found, "he": ("he", True), "she": ("she", True)}


def _pronouns_in(talk: Words) -> Iterator[tuple[int, Gender, bool]]:
    """The pronouns in order: where each stands, its gender, and whether it is a subject."""
    known = _pronouns()
    return ((i, *known[talk.norm[i]]) for i in talk.places(known) if talk.word[i])


def pronoun_refs(talk: Words, refs: Sequence[CornerRef]) -> list[CornerRef]:
    """He and she as references, when the talk uses one for each athlete; empty when it does not show that.

    ``refs`` are the named and coloured references, in order.
    """
    sentences = Sentences(talk)
    people = [
        ref for ref in refs if ref.how in ("name", "nickname", "colour", "role") and ref.about != "bench"
    ]
    starts = [ref.start for ref in people]
    owner, belief = _learn(talk, sentences, people, starts)
    if not owner:
        return []
    out = []
    for i, gender, subject in _pronouns_in(talk):
        if _official(talk, sentences, people, starts, i, owner[gender], subject):
            continue
        sure = belief * (0.97 if subject else 0.93)
        if _stranger(talk, sentences, refs, i):
            sure *= 0.7
        about: Literal["athlete", "possessive"] = (
            "possessive" if talk.norm[i] in ("his", "hers") else "athlete"
        )
        out.append(CornerRef(i, i + 1, owner[gender], "pronoun", round(sure, 3), about))
    return out


def _learn(
    talk: Words, sentences: Sentences, people: Sequence[CornerRef], starts: list[int]
) -> tuple[dict[Gender, Corner], float]:
    """Whose each pronoun is, with the belief in it; empty without a clear margin."""
    weight: dict[tuple[Corner, Gender], float] = defaultdict(float)
    heard: Counter[Gender] = Counter()
    spent = -1
    for i, gender, subject in _pronouns_in(talk):
        if (
            subject
            and any(talk.stand_at(i + 1, words) for words in _IN)
            and (said := _colour_near(talk, i + 3))
        ):
            weight[said, gender] += _DEFINED
        if _official(talk, sentences, people, starts, i, None, subject):
            continue
        heard[gender] += subject
        k = bisect_left(starts, i) - 1
        if k < 0 or people[k].end > i or k == spent or i - people[k].end > 25:
            continue
        near = people[k]
        gap = sentences.of[i] - sentences.of[near.start]
        if gap > 2 or talk.before(near.start) in {"from", "by"}:
            # After "a shot from X" the next pronoun is as likely the one who answers it.
            spent = k
            continue
        worth = (1.0, 0.6, 0.3)[gap] * (1.0 if talk.opens[near.start] else 0.6)
        if subject or talk.norm[i] in ("himself", "herself"):
            weight[near.corner, gender] += worth
            spent = k
        elif gap == 0 and _is_object(talk, i):
            weight[other(near.corner), gender] += 0.7 * worth
        elif gap == 0 and i - near.end < 4:
            weight[near.corner, gender] += 0.7 * worth
    for ref in people:
        words = set(talk.norm[ref.start : ref.end])
        for gender, nouns in _PERSON_NOUNS:
            if ref.how in ("colour", "role") and words & nouns:
                weight[ref.corner, gender] += 1.5
                heard[gender] += 1
    rarer, total = min(heard["he"], heard["she"]), heard["he"] + heard["she"]
    if rarer < max(2, _LEAST_GENDER * total):
        return {}, 0.0
    one = weight["red", "he"] + weight["blue", "she"]
    two = weight["red", "she"] + weight["blue", "he"]
    owner: dict[Gender, Corner] = {"he": "red", "she": "blue"} if one > two else {"he": "blue", "she": "red"}
    high, low = max(one, two), min(one, two)
    # Where both pronouns are common the bout is mixed, and only whose is whose is open; otherwise the rarer
    # one may be the referee's, and each athlete's own evidence must speak for it.
    mixed = rarer >= max(_MANY, _MIXED_SHARE * total)
    against = _AGAINST_MIXED if mixed else 1.0
    sides = ((weight[c, g], weight[c, "she" if g == "he" else "he"]) for g, c in owner.items())
    if any(wrong > against * right or (not mixed and right < 1.0) for right, wrong in sides):
        return {}, 0.0
    if high - low < _LEAST_EVIDENCE or high < _LEAST_SHARE * (high + low):
        return {}, 0.0
    belief = (high + 1) / (high + low + 2)
    return owner, 0.5 + belief / 2


def _colour_near(talk: Words, i: int) -> Corner | None:
    """The colour at ``i``, an article skipped."""
    for word in talk.norm[i : i + 2]:
        if word in CORNERS:
            return "red" if word == "red" else "blue"
    return None


def _is_object(talk: Words, i: int) -> bool:
    """Whether the pronoun at ``i`` is an object; "her" before a noun is none."""
    norm, after = talk.norm[i], talk.after(i + 1)
    if norm == "her":
        return not after[:1].isalpha() or after in word_list("pronouns", "after_object")
    return norm == "him"


def _official(
    talk: Words,
    sentences: Sentences,
    people: Sequence[CornerRef],
    starts: list[int],
    i: int,
    corner: Corner | None,
    subject: bool,
) -> bool:
    """Whether the pronoun at ``i`` may well mean the referee or a coach."""
    nouns, verbs = word_list("officials", "nouns"), word_list("officials", "verbs")
    if subject:
        ahead = [talk.norm[j] for j in range(i + 1, min(i + 4, len(talk))) if talk.word[j]]
        for k, word in enumerate(ahead[:3]):
            if word in verbs:
                # "giving ground", "gives up", "gives him" are done by athletes.
                rest = ahead[k + 1] if k + 1 < len(ahead) else ""
                return rest not in {"ground", "up", "away", "him", "her", "everything", "it", "on"}
    begin = sentences.start(i)
    if i == begin or all(not talk.word[j] for j in range(begin, i)):
        begin = sentences.first[max(sentences.of[i] - 1, 0)]
    k = bisect_left(starts, i) - 1
    while k >= 0 and corner is not None and people[k].corner != corner:
        k -= 1
    named = people[k].start if k >= 0 else -1
    return any(talk.norm[j] in nouns and j > named for j in range(begin, i))


def _stranger(talk: Words, sentences: Sentences, refs: Sequence[CornerRef], i: int) -> bool:
    """Whether somebody else was named since the sentence before, so that the pronoun may be theirs."""
    if not talk.cased:
        return False
    begin = sentences.first[max(sentences.of[i] - 1, 0)]
    inside = set()
    for ref in refs:
        if ref.end > begin and ref.start < i:
            inside |= set(range(ref.start, ref.end))
    return any(
        talk.cap[j]
        and talk.word[j]
        and j not in inside
        and len(talk.norm[j]) > 2
        and not is_common(talk.norm[j])
        for j in range(begin, i)
    )
