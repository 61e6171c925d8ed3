"""Finds pairs of numbers that may be a score, by the form in which they are said."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from extract.lexicon import small_words
from extract.mentions.talk import Talk
from extract.rules.base import Corner
from extract.talk.numbers import Number

if TYPE_CHECKING:
    from extract.cast.find import CornerRef

_FILLERS = small_words("named_fillers")
_HAVING = small_words("having")
_COUNTING = small_words("counting")
_HOLDING, _HAVING_STRONG = small_words("holding"), small_words("holding_verbs")
#: How far from a number its holder may stand, and how far apart two numbers that are held, in tokens.
_HELD_REACH, _HELD_APART = 6, 12
_SOUNDS = frozenset({"to", "too", "for", "won", "ate"})
_JOINTS = frozenset(
    {"v", "too", "- too -", "-", "to", "- to -", "", ",", "points to", "point to", "- nothing", ": "}
)


@dataclass(frozen=True, slots=True)
class Pair:
    """A candidate: tokens, the two numbers, how they are written; ``holder`` where the form itself says it."""

    start: int
    end: int
    pair: tuple[int, int]
    form: str
    holder: Corner | None = None


def plain(number: Number) -> bool:
    return number.form in ("figure", "word", "zero")


def named_pairs(talk: Talk) -> Iterator[Pair]:
    """ "Okomfo seven, Umarike four", "blue four red one", "five for red and three for blue"."""
    numbers = [n for n in talk.numbers if plain(n) or (talk.words[n.start] in _SOUNDS and talk.closes(n.end))]
    for k in range(len(numbers) - 1):
        a, b = numbers[k], numbers[k + 1]
        if not plain(a) or b.start - a.end > 7 or not _told_together(talk, a, b):
            continue
        between = [r for r in talk.refs_within(a.end, b.start) if r.end <= b.start]
        if len(between) == 1 and between[0].how != "pronoun":
            middle = between[0]
            lead = talk.ref_before(a.start, 2)
            tail = talk.ref_after(b.end, 2)
            filler = talk.between(a.end, middle.start).split() + talk.between(middle.end, b.start).split()
            if any(w not in _FILLERS for w in filler):
                continue
            if (
                lead is not None
                and lead.corner != middle.corner
                and talk.between(a.end, middle.start) in ("", ",", "and", "to", "-", "but", ".")
            ):
                yield Pair(lead.start, b.end, (a.value, b.value), "named", lead.corner)
            elif (
                tail is not None
                and tail.corner != middle.corner
                and talk.between(a.end, middle.start) in ("", "for", "to")
            ):
                yield Pair(a.start, tail.end, (a.value, b.value), "named", middle.corner)
        elif len(between) == 1:
            middle = between[0]
            lead = talk.ref_before(a.start, 3)
            if lead is not None and lead.corner != middle.corner and talk.previous_word(a.start) in _HAVING:
                yield Pair(a.start, b.end, (a.value, b.value), "named", lead.corner)


def colon_pairs(talk: Talk) -> Iterator[Pair]:
    """ "4:1" in typed notes, as much of Europe writes a score; with two figures behind the colon it is a time."""
    for i, word in enumerate(talk.words if talk.document.notes else ()):
        if re.fullmatch(r"\d{1,2}:\d", word):
            a, b = word.split(":")
            yield Pair(i, i + 1, (int(a), int(b)), "hyphen")


def held_pairs(talk: Talk) -> Iterator[Pair]:
    """ "Blue's sitting on five, and Doran has only the one": each with a number that it is said to have."""
    numbers = [n for n in talk.numbers if plain(n) and talk.free(n)]
    holders = [_has(talk, n) for n in numbers]
    for (a, first), (b, second) in pairwise(zip(numbers, holders, strict=True)):
        if first is None or second is None or first.corner == second.corner:
            continue
        if b.start - a.end <= _HELD_APART and talk.segment_of[a.start] == talk.segment_of[b.start]:
            yield Pair(first.start, b.end, (a.value, b.value), "held", first.corner)


def _has(talk: Talk, number: Number) -> CornerRef | None:
    """Who is said to have a number: the one named before it, with words of having in between."""
    i = number.start - 1
    having = False
    while i >= 0 and number.start - i <= _HELD_REACH:
        ref = talk.ref_at(i)
        if ref is not None:
            named = ref.about != "bench" and ref.how in ("name", "nickname", "colour", "team")
            return ref if having and named else None
        if talk.words[i] not in _HOLDING:
            return None
        having = having or talk.words[i] in _HAVING_STRONG
        i -= 1
    return None


def _told_together(talk: Talk, a: Number, b: Number) -> bool:
    """Whether two numbers stand in one sentence, or in two with nothing else ("Drumlin seven. Ollivant three.")."""
    if talk.segment_of[a.start] == talk.segment_of[b.start]:
        return True
    if (
        not talk.document.punctuated
        and talk.lines(a.end - 1, b.start) == 1
        and talk.lines(a.end - 1, a.end) == 1
    ):
        # "nell four / bibi three", the caption ending with the first number.
        return talk.closes(b.end)
    return talk.words[a.end : a.end + 1] == ["."] and talk.closes(b.end) and b.start - a.end <= 4


def level_pairs(talk: Talk) -> Iterator[Pair]:
    """ "four all", "seven apiece", "tied at four"."""
    for k, number in enumerate(talk.numbers):
        if k in talk.taken or number.form in ("clock", "homophone") or number.value > 30:
            continue
        end = number.end + 1 if talk.words[number.end : number.end + 1] == ["-"] else number.end
        word = talk.terms.starting("level", end)
        if word is not None:
            if number.form == "zero" and talk.words[number.start] in ("love", "oh", "o"):
                continue
            if talk.terms.any("not_score", word.end, word.end + 1) or (
                talk.between(word.end, word.end + 2).startswith(
                    ("the way", "over", "of", "right", "about", "on the")
                )
                and not talk.terms.any("score_cue", word.end, word.end + 3)
            ):
                continue
            start = number.start
            previous = talk.numbers[k - 1] if k else None
            if (
                previous is not None
                and previous.value == number.value
                and talk.between(previous.end, number.start) in ("-", "", "to")
            ):
                start = previous.start
            yield Pair(start, word.end, (number.value, number.value), "level")
            continue
        before = [
            t for t in talk.terms.within("tied", number.start - 2, number.start) if t.end == number.start
        ]
        if (before and talk.closes(number.end)) or (
            before and talk.between(before[0].start, before[0].end).endswith("at")
        ):
            yield Pair(before[0].start, number.end, (number.value, number.value), "level")


def _joint(talk: Talk, a: Number, b: Number) -> str | None:
    """What joins two numbers of one score, or None where something else stands between them."""
    if b.start - a.end > 3:
        return None
    joint = talk.between(a.end, b.start)
    if joint not in _JOINTS or talk.turned(a.end - 1, b.start):
        return None
    lines = talk.lines(a.end - 1, b.start)
    if lines and talk.document.notes:
        # Each typed note stands for itself.
        return None
    if lines and joint in ("", ",") and talk.document.punctuated:
        return None
    if lines and joint == "-" and not a.form == b.form == "figure":
        # "He needs two—" breaks off at the end of a caption; "2-" goes on in the next.
        return None
    return joint


def runs(talk: Talk) -> Iterator[Pair]:
    """Pairs out of runs of joined numbers; a run that counts down, or is too long to be told apart, gives none."""
    numbers = [n for n in talk.numbers if talk.free(n) and n.form != "clock"]
    i = 0
    while i < len(numbers):
        run, joints = [numbers[i]], []
        opened, i = i, i + 1
        if run[0].form == "homophone" and not _opens(talk, numbers, opened):
            continue
        while i < len(numbers):
            nxt = numbers[i]
            # "to" between two numbers joins them; it is a two only where nothing follows that could be joined.
            if nxt.form == "homophone":
                after = numbers[i + 1] if i + 1 < len(numbers) else None
                if (
                    after is not None
                    and talk.words[nxt.start] in ("to", "too")
                    and (_joint(talk, run[-1], after) or "").endswith(("to", "to -", "too"))
                ):
                    i += 1
                    continue
                if _joint(talk, run[-1], nxt) is None or not _sound_fits(talk, run[-1], nxt):
                    break
            joint = _joint(talk, run[-1], nxt)
            if joint is None or (
                talk.segment_of[nxt.start] != talk.segment_of[run[-1].start] and talk.document.punctuated
            ):
                break
            run.append(nxt)
            joints.append(joint)
            i += 1
        yield from _split(talk, run, joints)


def _opens(talk: Talk, numbers: list[Number], i: int) -> bool:
    """Whether a word that only sounds like a number can be the first of a score: "won nothing", "To-one"."""
    first = numbers[i]
    if i + 1 >= len(numbers) or talk.words[first.start] not in _SOUNDS:
        return False
    nxt = numbers[i + 1]
    if talk.words[first.end : nxt.start] == ["-"]:
        cued = any(t.end == first.start for t in talk.terms.within("score_cue", first.start - 3, first.start))
        return (talk.opens(first.start) or cued) and plain(nxt)
    return (
        nxt.form == "zero"
        and nxt.start == first.end
        and talk.closes(nxt.end)
        and talk.words[first.start] != "to"
    )


def _sound_fits(talk: Talk, a: Number, b: Number) -> bool:
    """Whether a word that only sounds like a number can be the second of a score here."""
    joined = talk.between(a.end, b.start) in ("", "-", "to")
    ends = talk.closes(b.end) or talk.terms.any("score_cue", b.end, b.end + 1)
    sound = talk.words[b.start]
    if joined and not talk.document.punctuated and sound in ("too", "ate") and a.form != "homophone":
        # A recogniser's "ten ate good grief"; "won" and "for" say too much else.
        return True
    return joined and ends and sound in _SOUNDS - {"to"}


def _split(talk: Talk, run: list[Number], joints: list[str]) -> Iterator[Pair]:
    """The pairs in a run of joined numbers. What stands in one caption belongs together: "a point for nothing / seven
    six"."""
    if any(map(_is_strong, joints)):
        yield from _in_line(talk, run, joints)
        return
    # From here on the numbers count down to the end.
    falls = len(run) - 1
    while falls and run[falls - 1].value - run[falls].value == 1:
        falls -= 1
    begin = 0
    for end in range(1, len(run)):
        left = len(run) - begin
        if left == 2 or begin >= falls or _two_is_to(talk, run, begin):
            break
        if talk.lines(run[end - 1].end - 1, run[end].start):
            yield from _in_line(talk, run[begin:end], joints[begin : end - 1])
            begin = end
    yield from _in_line(talk, run[begin:], joints[begin:])


def _is_strong(joint: str) -> bool:
    """Whether what stands between two numbers makes them a pair by itself."""
    return joint not in ("", ",")


def _two_is_to(talk: Talk, run: list[Number], begin: int) -> bool:
    """Whether three numbers at the end of a run are two: a recogniser's "eight two seven" is eight to seven."""
    if len(run) - begin != 3 or talk.document.punctuated:
        return False
    return talk.words[run[begin + 1].start] == "two" and run[begin + 2].value != 1


def _in_line(talk: Talk, run: list[Number], joints: list[str]) -> Iterator[Pair]:
    """The pairs in a run of joined numbers, wherever captions begin in it."""
    if len(run) < 2:
        return
    strong = [k for k, joint in enumerate(joints) if _is_strong(joint)]
    down = len(run) >= 3 and all(a.value - b.value == 1 for a, b in pairwise(run))
    if down and not strong:
        return
    if len(run) == 2:
        if _sayable(talk, run[0], run[1], joints[0]):
            yield _make(run[0], run[1], joints[0])
        return
    if strong:
        last = -1
        for k in strong:
            if k > last:
                yield _make(run[k], run[k + 1], joints[k])
                last = k + 1
        # "six zip six to nothing": what is left over in front may be a pair of its own.
        if strong[0] == 2:
            yield _make(run[0], run[1], joints[0])
        return
    if _two_is_to(talk, run, 0):
        yield _make(run[0], run[2], "")
    elif len(run) == 4:
        yield _make(run[0], run[1], joints[0])
        yield _make(run[2], run[3], joints[2])
    elif len(run) == 3 and talk.previous_word(run[0].start) in _COUNTING:
        # "that'll do for two, fourteen eight", "the lead's seven, fifteen eight"
        yield _make(run[1], run[2], joints[1])
    elif len(run) == 3 and run[1].form == "zero":
        yield _make(run[0], run[1], joints[0])
    elif len(run) == 3 and run[2].form == "zero":
        yield _make(run[1], run[2], joints[1])


def _sayable(talk: Talk, a: Number, b: Number, joint: str) -> bool:
    """Whether two numbers can be a score as they are written: no "nothing, nothing", no "two, two"."""
    first = talk.words[a.start]
    if a.form == "zero" and (
        first in ("oh", "o", "love", "none", "nada") or (first == "nothing" and joint not in ("-", "to", ""))
    ):
        return False
    if b.form == "zero" and (
        (joint == "," and talk.ref_after(b.end, 1) is None) or (joint == "" and talk.words[b.start] == "none")
    ):
        return False
    return not (joint == "," and a.value == b.value)


def _make(a: Number, b: Number, joint: str) -> Pair:
    if a.form == "homophone" or b.form == "homophone":
        form = "sound"
    elif joint in ("-", "to", "- to -", "too"):
        form = "hyphen" if joint == "-" else "to"
    elif "point" in joint:
        form = "points to"
    elif b.form == "zero" or a.form == "zero":
        form = "zero"
    else:
        form = "comma" if joint == "," else "bare"
    return Pair(a.start, b.end, (a.value, b.value), form)


def fused(talk: Talk) -> Iterator[Pair]:
    """ "31" for 3-1, where a recogniser ran two figures together and a corner or a word of leading stands by."""
    for number in talk.numbers:
        if (
            number.form != "figure"
            or not 10 <= number.value <= 99
            or number.end - number.start != 1
            or not talk.free(number)
        ):
            continue
        near = talk.ref_after(number.end, 1) or (
            talk.ref_before(number.start, 1) if talk.leads(number.end, number.end + 1) else None
        )
        cue = talk.leads(number.start - 2, number.start) or talk.terms.any(
            "score_cue", number.start - 2, number.start
        )
        if near is not None and cue and not talk.terms.any("not_score", number.end, number.end + 2):
            yield Pair(number.start, number.end, divmod(number.value, 10), "fused")
