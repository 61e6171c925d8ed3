"""Finds numbers: figures, words, the many names of zero, and words that sound like a number."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

_UNITS = {
    w: n for n, w in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"], 1)
}
_TEENS = {
    w: n
    for n, w in enumerate(
        [
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ],
        10,
    )
}
_TENS = {
    w: 10 * n
    for n, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
}
_TENS["fourty"] = 40
_WHOLE = {"dozen": 12, "hundred": 100, "deuce": 2}
ZERO = frozenset(
    ["nothing", "nil", "zip", "love", "zero", "oh", "o", "nought", "naught", "nada", "zilch", "owe"]
)
#: Words that recognisers and captioners write for a number of the same sound.
HOMOPHONES = {
    "to": 2,
    "too": 2,
    "for": 4,
    "fore": 4,
    "won": 1,
    "ate": 8,
    "wan": 1,
    "tu": 2,
    "tree": 3,
    "sicks": 6,
}
_BEGINNING = frozenset({*_UNITS, *_TEENS, *_TENS, *_WHOLE, *ZERO, *HOMOPHONES, "a", "last"})
_SIGNED = re.compile(r"\+[1-9]")
_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)")


@dataclass(frozen=True, slots=True)
class Number:
    """A number over tokens ``start`` to ``end`` (exclusive). ``form`` is figure, word, zero, homophone, or clock
    (``1:43``, ``:33``), where ``value`` is seconds."""

    start: int
    end: int
    value: int
    form: Literal["figure", "word", "zero", "homophone", "clock"]


def find_numbers(words: Sequence[str], turns: Collection[int] = ()) -> list[Number]:
    """The numbers in lower-case tokens, in order, longest first, not overlapping. None goes over a word of ``turns``, at
    which another speaker begins.

    >>> [n.value for n in find_numbers("forty - three seconds , three one , 1:05".split())]
    [43, 3, 1, 65]
    """
    out: list[Number] = []
    end = 0
    for i in [i for i, word in enumerate(words) if may_begin(word)]:
        found = _at(words, i) if i >= end else None
        turn = next((k for k in range(i + 1, found.end) if k in turns), None) if found else None
        if turn is not None:
            found = _at(words[:turn], i)
        if found is not None:
            out.append(found)
            end = found.end
    return out


@lru_cache(maxsize=16384)
def may_begin(word: str) -> bool:
    """Whether a number may begin with this word."""
    return word in _BEGINNING or word[:1] in "+:" or word[:1].isdigit()


def _at(words: Sequence[str], i: int) -> Number | None:
    word = words[i]
    if word.isascii() and word.isdigit():
        if len(word) > 4:
            return None
        return Number(i, i + 1, int(word), "zero" if word in ("0", "00") else "figure")
    if _SIGNED.fullmatch(word):
        return Number(i, i + 1, int(word), "figure")
    clock = _CLOCK.fullmatch(word)
    if clock:
        return Number(i, i + 1, 60 * int(clock[1]) + int(clock[2]), "clock")
    if (
        word == ":"
        and re.fullmatch(r"[0-5]\d", "".join(words[i + 1 : i + 2]))
        and words[i + 2 : i + 3] != ["-"]
    ):
        # "final: 13-4" is no time.
        return Number(i, i + 2, int(words[i + 1]), "clock")
    if word in _UNITS or (word in ("a", "last") and i + 1 < len(words) and words[i + 1] == "hundred"):
        return _hundreds(words, i)
    if word in _TEENS:
        return Number(i, i + 1, _TEENS[word], "word")
    if word in _WHOLE:
        return Number(i, i + 1, _WHOLE[word], "word")
    if word in _TENS:
        value, end = _tens(words, i)
        return Number(i, end, value, "word")
    if word in ZERO:
        return Number(i, i + 1, 0, "zero")
    if word in HOMOPHONES:
        return Number(i, i + 1, HOMOPHONES[word], "homophone")
    return None


def _tens(words: Sequence[str], i: int) -> tuple[int, int]:
    """A number below 100 at ``i``: its value and the token after it."""
    if words[i] in _TEENS:
        return _TEENS[words[i]], i + 1
    if words[i] in _UNITS:
        return _UNITS[words[i]], i + 1
    value, end = _TENS[words[i]], i + 1
    unit = end + 1 if end < len(words) and words[end] == "-" else end
    if unit < len(words) and words[unit] in _UNITS:
        return value + _UNITS[words[unit]], unit + 1
    return value, end


def _hundreds(words: Sequence[str], i: int) -> Number:
    """ "one", or "one hundred (and) …"."""
    if i + 1 < len(words) and words[i + 1] == "hundred":
        value, end = 100 * _UNITS.get(words[i], 1), i + 2
        tail = end + 1 if end < len(words) and words[end] == "and" else end
        if tail < len(words) and (words[tail] in _UNITS or words[tail] in _TEENS or words[tail] in _TENS):
            low, end = _tens(words, tail)
            value += low
        return Number(i, end, value, "word")
    return Number(i, i + 1, _UNITS[words[i]], "word")
