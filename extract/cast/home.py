"""Whose the "us" of a transcript is, and who "the home man" or "the top seed" is."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from typing import Literal

from extract.cast.model import About, CornerRef
from extract.rules.base import CORNERS, Corner, other
from extract.talk.numbers import find_numbers
from extract.talk.soundalike import likeness
from extract.talk.word_lists import phrase_list, word_list
from extract.talk.words import Words

#: So many words that take sides make a talk partisan.
_PARTISAN = 3


def _addressed(talk: Words, ref: CornerRef) -> bool:
    """Whether the name is called out to its bearer: set off on both sides by marks or the cue's ends."""
    before, after = talk.before(ref.start), talk.after(ref.end)
    closed = after in {"", ",", "!", "?", ".", "..."}
    return closed and (
        before in {"", ",", "!", ".", "?", "..."} or before in word_list("home", "address_before")
    )


def find_home(talk: Words, refs: Sequence[CornerRef], given: frozenset[str]) -> tuple[Corner | None, bool]:
    """The side that "us" means, and whether the speakers are its coaches; (None, False) when unclear.

    ``refs`` are references by name in order, ``given`` the athletes' given names: coaches call their athlete
    by it, commentators as a rule do not. Strong evidence is asked for, since every commentator says "we".
    """
    calls: Counter[Corner] = Counter()
    given_refs: Counter[Corner] = Counter()
    names = 0
    for ref in refs:
        if ref.how not in ("name", "nickname"):
            continue
        names += 1
        heard = talk.norm[ref.start]
        if ref.how == "nickname" or (
            ref.end - ref.start == 1 and any(likeness(heard, g) > 0.75 for g in given)
        ):
            given_refs[ref.corner] += 1
            if _addressed(talk, ref):
                calls[ref.corner] += 1
    ours = len(talk.places(("us", "our", "ours", "we")))
    officials = sum(
        talk.before(i) in {",", "", "!", ".", "?"} and talk.after(i + 1) in {",", "!", "?", ".", ""}
        for i in talk.places(word_list("home", "address_officials"))
    )
    for corner in CORNERS:
        most, rival = calls[corner], calls[other(corner)]
        if most >= 5 and rival * 5 <= most and given_refs[corner] * 2 > names and ours + officials >= 3:
            return corner, True
    claims = _claims(talk, refs)
    for corner in CORNERS:
        if claims[corner] and not claims[other(corner)] and calls[corner] > max(1, calls[other(corner)]):
            return corner, False
    return None, False


def _claims(talk: Words, refs: Sequence[CornerRef]) -> Counter[Corner]:
    """How often a speaker says outright that an athlete is theirs: "she's ours", "our own Mira"."""
    claims: Counter[Corner] = Counter()
    starts = [ref.start for ref in refs]
    kin = word_list("home", "kin")
    for i in talk.places(("ours", "our", "my")):
        norm = talk.norm[i]
        if (
            norm == "ours"
            and talk.before(i) in {"'s", "is"}
            and i > 1
            and talk.norm[i - 2] in {"he", "she", "one"}
        ):
            k = bisect_left(starts, i) - 1
            if k >= 0 and i - refs[k].end < 25:
                claims[refs[k].corner] += 1
        elif norm != "ours":
            k = bisect_right(starts, i)
            if k < len(refs) and refs[k].how in ("name", "nickname"):
                between = [talk.norm[j] for j in range(i + 1, refs[k].start) if talk.word[j]]
                if len(between) <= 2 and all(word in kin for word in between):
                    claims[refs[k].corner] += 1
    return claims


def home_refs(talk: Words, home: Corner, coaches: bool) -> list[CornerRef]:
    """ "We", "us" and "our" as references to ``home``; "you" too where its coaches speak."""
    we, you = word_list("home", "we"), word_list("home", "you")
    narrow = {"us", "our", "ours"}
    out = []
    for i in talk.places(we | you | narrow):
        norm = talk.norm[i]
        about: Literal["athlete", "possessive"] = "possessive" if norm in ("our", "your") else "athlete"
        if coaches and norm in we:
            out.append(CornerRef(i, i + 1, home, "home", 0.65, about))
        elif coaches and norm in you:
            out.append(CornerRef(i, i + 1, home, "home", 0.5, about))
        elif norm in narrow and talk.before(i) != "of":
            out.append(CornerRef(i, i + 1, home, "home", 0.55, about))
    starts = {ref.start for ref in out}
    out += [
        CornerRef(a, b, home if ours else other(home), "home", 0.6, about_)
        for a, b, ours, about_ in partisan_refs(talk)
        if a not in starts
    ]
    return sorted(out, key=lambda ref: ref.start)


def partisan_refs(talk: Words) -> Iterator[tuple[int, int, bool, About]]:
    """Words of "us" and "them" that take sides: beside a number ("six-four us", "two for them"), before a word of
    leading ("we're losing"), before "guy" and the like, or as an owner ("that's ours"). Each with where it stands, whether
    it is us, and what of the side is meant."""
    we, they, standing, kin = (word_list("home", key) for key in ("we", "they", "standing", "kin"))
    for i in talk.places(we | they):
        norm = talk.norm[i]
        ours = norm in we
        before = talk.before(i)
        if norm in ("ours", "theirs"):
            if before in {"'s", "is", "was", ",", "for"} or _number_before(talk, i):
                yield i, i + 1, ours, "athlete"
        elif norm in ("our", "their"):
            at = i + 1
            while at - i < 3 and talk.after(at)[:1].isalpha() and talk.norm[at] not in kin:
                at += 1
            if talk.after(at) and talk.norm[at] in kin:
                yield i, at + 1, ours, "athlete"
        elif norm in ("us", "them"):
            if (
                _number_before(talk, i)
                or _is_number(talk.after(i + 1))
                or (before == "for" and _number_before(talk, i - 1) and talk.after(i + 1) not in kin)
            ):
                yield i, i + 1, ours, "athlete"
        else:
            at = i + 1
            while (
                talk.after(at) in {"'re", "'ve", "are", "have", "got", "still", "now", "the"} and at - i < 4
            ):
                at += 1
            if talk.after(at) in standing:
                yield i, i + 1, ours, "athlete"


def _number_before(talk: Words, i: int) -> bool:
    """Whether a number stands before token ``i``, in the same cue, a comma or "more" left aside."""
    at = i - 1
    if talk.before(i) in (",", "more", "another"):
        at -= 1
    return at >= 0 and talk.before(at + 1) != "" and _is_number(talk.lower[at])


def _is_number(word: str) -> bool:
    return word not in ("to", "too", "for", "won", "ate") and bool(find_numbers([word]))


def is_partisan(talk: Words) -> bool:
    """Whether so much of a talk takes sides that "us" and "them" must be somebody."""
    signs = list(partisan_refs(talk))
    return len(signs) >= _PARTISAN and any(ours for _, _, ours, _ in signs)


@cache
def _titles() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(title.split()) for title in phrase_list("roles", "titles"))


@cache
def _role_starts() -> frozenset[str]:
    """The first words of all roles."""
    firsts = {title[0] for title in _titles()}
    return word_list("roles", "home") | word_list("roles", "seed_numbers") | firsts


def _role_at(talk: Words, i: int) -> tuple[str, int] | None:
    """The role named at ``i`` (a key that is the same for its variants) and where it ends."""
    norm, after = talk.norm[i], talk.after(i + 1)
    if norm in word_list("roles", "home") and after in word_list("roles", "nouns"):
        return "home", i + 2
    if talk.before(i) == "the":
        for title in _titles():
            if norm == title[0] and talk.stand_at(i, title, norm=True):
                return "champion" if title[-1].startswith("champ") else " ".join(title), i + len(title)
    if after == "seed" and norm in word_list("roles", "seed_numbers"):
        return f"{norm} seed", i + 2
    return None


def role_refs(talk: Words, refs: Iterable[CornerRef]) -> list[CornerRef]:
    """ "The home man", "the champion", "the two seed", where the talk sets each beside one athlete only."""
    at_start = {ref.start: ref for ref in refs if ref.how in ("name", "nickname") and ref.about == "athlete"}
    at_end = {ref.end: ref for ref in at_start.values()}
    found: dict[str, list[tuple[int, int]]] = {}
    corners: dict[str, set[Corner]] = {}
    for i in talk.places(_role_starts()):
        role = _role_at(talk, i) if talk.word[i] else None
        if role is None:
            continue
        key, end = role
        start = i
        while start and talk.before(start) in {"the", "number", "no", "our"}:
            start -= 1
        found.setdefault(key, []).append((start, end))
        corner = _beside(talk, start, end, at_start, at_end)
        if corner:
            corners.setdefault(key, set()).add(corner)
    out = []
    for key, places in found.items():
        if len(corners.get(key, ())) == 1:
            owner = next(iter(corners[key]))
            out += [CornerRef(start, end, owner, "role", 0.8) for start, end in places]
    return sorted(out, key=lambda ref: ref.start)


def _beside(
    talk: Words, start: int, end: int, at_start: dict[int, CornerRef], at_end: dict[int, CornerRef]
) -> Corner | None:
    """Whose name stands in apposition to the role at ``start`` to ``end``."""
    if start in at_end and start not in talk.breaks:
        return at_end[start].corner
    if end in at_start and end not in talk.breaks:
        return at_start[end].corner
    before = at_end.get(start - 1) if talk.before(start) in {",", "is", "'s"} else None
    after = at_start.get(end + 1) if talk.after(end) in {",", "is"} else None
    if before is None and talk.before(start) in {"is", "'s"}:
        return None  # said of a pronoun; the name behind begins something new
    if before and after and before.corner != after.corner:
        return None
    found = before or after
    return found.corner if found else None
