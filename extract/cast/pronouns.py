"""Learns from a transcript which pronoun is whose, and finds the pronouns that may be relied on."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache, partial
from itertools import product, zip_longest
from typing import Literal

from extract.cast.model import CornerRef
from extract.rules.base import CORNERS, Corner, other
from extract.talk.tokens import HARD
from extract.talk.word_lists import is_common, phrase_list, word_list
from extract.talk.words import PhraseTable, TalkWords

Gender = Literal["he", "she"]
GENDERS: tuple[Gender, ...] = ("he", "she")

#: "She's in the red" says it outright; "the girl in red" nearly so.
_DEFINED, _NOUN = 4.0, 1.5
#: What a pronoun says of somebody named so many sentences before; and where that name does not open its sentence, or the
#: pronoun is not its subject.
_WORTH, _INSIDE, _OBJECT = (1.0, 0.6, 0.3), 0.6, 0.7
#: Somebody named so many words before may be meant; by a possessive, so many.
_REACH, _NEAR = 25, 4
#: Subject pronouns after a name are only likely to mean it; so much more evidence must speak for one reading.
_LEAST_EVIDENCE = 2.5
_LEAST_SHARE = 0.65
_AGAINST_MIXED = 1.5
_MIXED_SHARE, _MANY = 0.3, 10
#: With fewer subject pronouns than this share the rarer gender belongs to somebody else, the referee say.
_LEAST_GENDER = 0.12

_words = partial(word_list, "pronouns")


class Sentences:
    """Numbers the sentences of a transcript (the lines, where there are no marks): ``of[i]`` is word ``i``'s, ``first`` has
    the first word of each."""

    def __init__(self, talk: TalkWords) -> None:
        ends = talk.places(HARD)
        if len(ends) < len(talk) / 60:
            ends = sorted([*ends, *(i - 1 for i in talk.breaks if i)])
        self.of: list[int] = []
        self.first: list[int] = [0, *(i + 1 for i in ends)]
        for number, i in enumerate(ends):
            self.of += [number] * (i + 1 - len(self.of))
        self.of += [len(ends)] * (len(talk) - len(self.of))

    def before(self, i: int) -> int:
        """The first word of the sentence before that of word ``i``."""
        return self.first[max(self.of[i] - 1, 0)]


@cache
def _pronouns() -> dict[str, tuple[Gender, bool]]:
    """The gender of each pronoun, and whether it is a subject."""
    return {
        word: (gender, case == "subject")
        for gender in reversed(GENDERS)
        for case in ("other", "subject")
        for word in _words(f"{gender}_{case}")
    }


@cache
def _in_colour() -> PhraseTable[None]:
    return PhraseTable(dict.fromkeys(phrase_list("pronouns", "in_colour")))


def pronoun_refs(talk: TalkWords, refs: Sequence[CornerRef]) -> list[CornerRef]:
    """He and she as references, when the talk uses one for each athlete; empty when it does not show that.

    ``refs`` are the named and coloured references, in order.
    """
    reader = _PronounReader(talk, refs)
    owners, belief = _owners(*reader.evidence())
    out = []
    for i, gender, subject in reader.pronouns if owners else ():
        if not reader.official(i, owners[gender], subject):
            sure = belief * (0.97 if subject else 0.93) * (0.7 if reader.stranger(i) else 1.0)
            about: Literal["athlete", "possessive"] = (
                "possessive" if talk.norm[i] in _words("owners") else "athlete"
            )
            out.append(CornerRef(i, i + 1, owners[gender], "pronoun", round(sure, 3), about))
    return out


#: How much speaks for each pronoun's being each corner's, and how often the pronouns of a gender are heard.
_Evidence = tuple[Mapping[tuple[Corner, Gender], float], Mapping[Gender, int]]


class _PronounReader:
    """The pronouns of a talk, and the references that they may be about. ``pronouns`` has where each stands, its gender,
    and whether it is a subject."""

    def __init__(self, talk: TalkWords, refs: Sequence[CornerRef]) -> None:
        self._talk = talk
        self._sentences = Sentences(talk)
        known = _pronouns()
        self.pronouns = [(i, *known[talk.norm[i]]) for i in talk.places(known) if talk.word[i]]
        kinds = ("name", "nickname", "colour", "role")
        self._people = [ref for ref in refs if ref.how in kinds and ref.about != "bench"]
        self._starts = [ref.start for ref in self._people]
        self._named = {i for ref in refs for i in range(ref.start, ref.end)}

    def evidence(self) -> _Evidence:
        """What the pronouns, and nouns beside colours, say."""
        weight: defaultdict[tuple[Corner, Gender], float] = defaultdict(float)
        heard: Counter[Gender] = Counter()
        spent = -1
        for i, gender, subject in self.pronouns:
            said = self._colour_said(i + 1) if subject else None
            if said:
                weight[said, gender] += _DEFINED
            if self.official(i, None, subject):
                continue
            heard[gender] += subject
            k = bisect_left(self._starts, i) - 1
            if k < 0 or k == spent or not 0 <= i - self._people[k].end <= _REACH:
                continue
            said_of = self._said_of(i, self._people[k], subject)
            if said_of is not None:
                corner, worth = said_of
                weight[corner, gender] += worth
            if said_of is None or subject or self._talk.norm[i] in _words("reflexive"):
                spent = k
        for corner, gender in self._nouns():
            weight[corner, gender] += _NOUN
            heard[gender] += 1
        return weight, heard

    def _nouns(self) -> Iterator[tuple[Corner, Gender]]:
        """The gender of each athlete who is called "the girl in red" and the like."""
        for ref, gender in product(self._people, GENDERS):
            noun = not _words(f"{gender}_nouns").isdisjoint(self._talk.norm[ref.start : ref.end])
            if noun and ref.how in ("colour", "role"):
                yield ref.corner, gender

    def _said_of(self, i: int, near: CornerRef, subject: bool) -> tuple[Corner, float] | None:
        """Whose the pronoun at ``i`` is by the one named before it, and how much that says; None where it may be anybody's,
        as later ones may."""
        talk = self._talk
        gap = self._sentences.of[i] - self._sentences.of[near.start]
        if gap >= len(_WORTH) or talk.before(near.start) in _words("before_rival"):
            # After "a shot from X" the next pronoun is as likely the one who answers it.
            return None
        worth = _WORTH[gap] * (1.0 if talk.opens[near.start] else _INSIDE)
        if subject or talk.norm[i] in _words("reflexive"):
            return near.corner, worth
        if gap == 0 and self._is_object(i):
            return other(near.corner), _OBJECT * worth
        return near.corner, _OBJECT * worth if gap == 0 and i - near.end < _NEAR else 0.0

    def _colour_said(self, i: int) -> Corner | None:
        """The colour that somebody is said to be in at ``i``: "'s in the red"."""
        said = _in_colour().at(self._talk, i)
        words = self._talk.norm[said.end : said.end + 2] if said else ()
        return next((corner for word in words for corner in CORNERS if word == corner), None)

    def _is_object(self, i: int) -> bool:
        """Whether the pronoun at ``i`` is an object; "her" before a noun is none."""
        norm, after = self._talk.norm[i], self._talk.after(i + 1)
        if norm in _words("object_or_owner"):
            return not after[:1].isalpha() or after in _words("after_object")
        return norm in _words("objects")

    def official(self, i: int, corner: Corner | None, subject: bool) -> bool:
        """Whether the pronoun at ``i`` may well mean the referee or a coach, and not the athlete of ``corner``."""
        talk, sentences = self._talk, self._sentences
        does = self._does_official(i) if subject else None
        if does is not None:
            return does
        begin = sentences.first[sentences.of[i]]
        if not any(talk.word[begin:i]):
            begin = sentences.before(i)
        k = bisect_left(self._starts, i) - 1
        while k >= 0 and corner is not None and self._people[k].corner != corner:
            k -= 1
        begin = max(begin, self._people[k].start + 1 if k >= 0 else 0)
        return not word_list("officials", "nouns").isdisjoint(talk.norm[begin:i])

    def _does_official(self, i: int) -> bool | None:
        """Whether the pronoun at ``i`` does what officials do; None where no verb of theirs follows."""
        talk, verbs = self._talk, word_list("officials", "verbs")
        ahead = [talk.norm[j] for j in range(i + 1, min(i + 4, len(talk))) if talk.word[j]]
        for word, after in zip_longest(ahead, ahead[1:], fillvalue=""):
            if word in verbs:
                # "giving ground", "gives up", "gives him" are done by athletes.
                return after not in word_list("officials", "after_athlete")
        return None

    def stranger(self, i: int) -> bool:
        """Whether somebody else was named since the sentence before, so that the pronoun may be theirs."""
        talk = self._talk
        return talk.cased and any(
            talk.cap[j] and talk.word[j] and len(talk.norm[j]) > 2 and not is_common(talk.norm[j])
            for j in range(self._sentences.before(i), i)
            if j not in self._named
        )


def _owners(
    weight: Mapping[tuple[Corner, Gender], float], heard: Mapping[Gender, int]
) -> tuple[dict[Gender, Corner], float]:
    """Whose each pronoun is, with the belief in it; empty without a clear margin."""
    rarer, total = min(heard["he"], heard["she"]), heard["he"] + heard["she"]
    if rarer < max(2, _LEAST_GENDER * total):
        return {}, 0.0
    one = weight["red", "he"] + weight["blue", "she"]
    two = weight["red", "she"] + weight["blue", "he"]
    owners: dict[Gender, Corner] = {"he": "red", "she": "blue"} if one > two else {"he": "blue", "she": "red"}
    high, low = max(one, two), min(one, two)
    # Where both pronouns are common the bout is mixed, and only whose is whose is open; otherwise the rarer
    # one may be the referee's, and each athlete's own evidence must speak for it.
    mixed = rarer >= max(_MANY, _MIXED_SHARE * total)
    against, least = (_AGAINST_MIXED, 0.0) if mixed else (1.0, 1.0)
    clear = all(
        weight[corner, _rival(gender)] <= against * weight[corner, gender] and weight[corner, gender] >= least
        for gender, corner in owners.items()
    )
    if not clear or high - low < _LEAST_EVIDENCE or high < _LEAST_SHARE * (high + low):
        return {}, 0.0
    belief = (high + 1) / (high + low + 2)
    return owners, 0.5 + belief / 2


def _rival(gender: Gender) -> Gender:
    return "she" if gender == "he" else "he"
