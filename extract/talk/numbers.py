"""Finds numbers: figures, words, the many names of zero, and words that sound like a number.

The words stand in ``lexicons/talk/numbers.toml``.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, Literal

from extract.lexicon.data import load_toml

#: How a number is put: ``clock`` is a time such as ``1:43`` or ``:33``, in seconds.
NumberForm = Literal["figure", "word", "zero", "homophone", "clock"]

_FIGURE = re.compile(r"[0-9]{1,4}|\+[1-9]")
#: "1:43", ":33", and as some write it "1.43"; more digits before the dot make it something else.
_CLOCK = re.compile(r"(\d{0,2}):([0-5]\d)|(\d)\.([0-5]\d)")


@cache
def number_words(sort: str) -> frozenset[str]:
    """The words of a sort of numbers, such as the names of nought that are cries too. Raises KeyError for an unknown one.

    >>> sorted(number_words("cries"))
    ['o', 'oh']
    """
    return frozenset(str(_table("sorts")[sort]).split())


def _table(name: str) -> dict[str, Any]:
    table: dict[str, Any] = load_toml("talk/numbers")[name]
    return table


_UNITS, _TEENS, _TENS = (_table(name) for name in ("units", "teens", "tens"))
_BELOW_HUNDRED = {**_UNITS, **_TEENS, **_TENS}
_HUNDRED, _AND = _table("hundreds")["noun"], _table("hundreds")["and"]
_ONE = frozenset(_table("hundreds")["one"].split())
#: Words that are a number by themselves alone.
_SINGLE: dict[str, tuple[int, NumberForm]] = {
    **{word: (value, "homophone") for word, value in _table("homophones").items()},
    **dict.fromkeys(number_words("zero"), (0, "zero")),
    **{word: (value, "word") for word, value in (_TEENS | _table("whole")).items()},
}
_BEGINNING = frozenset({*_BELOW_HUNDRED, *_SINGLE, *_ONE})


@dataclass(frozen=True, slots=True)
class Number:
    """A number over the words ``start`` to ``end`` (exclusive). ``value`` is seconds where ``form`` is clock."""

    start: int
    end: int
    value: int
    form: NumberForm


def find_numbers(words: Sequence[str], turns: Collection[int] = ()) -> list[Number]:
    """The numbers in lower-case words, in order, longest first, not overlapping. None goes over a word of ``turns``, at
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
    return word in _BEGINNING or _is_written(word)


def _is_written(word: str) -> bool:
    return word[:1] in "+:" or word[:1].isdigit()


def _at(words: Sequence[str], i: int) -> Number | None:
    word = words[i]
    if _is_written(word):
        return _written(words, i)
    if word in _SINGLE:
        return Number(i, i + 1, *_SINGLE[word])
    if word in _TENS:
        return Number(i, *_tens(words, i), "word")
    return _hundreds(words, i)


def _written(words: Sequence[str], i: int) -> Number | None:
    """A number in figures, or a time."""
    word, end = words[i], i + 1
    if _FIGURE.fullmatch(word):
        return Number(i, end, int(word), "zero" if word in ("0", "00") else "figure")
    if word == ":" and end < len(words) and _next(words, end + 1) != "-":
        # "final: 13-4" is no time.
        word, end = word + words[end], end + 1
    clock = _CLOCK.fullmatch(word)
    if clock is None:
        return None
    return Number(i, end, 60 * int(clock[1] or clock[3] or 0) + int(clock[2] or clock[4]), "clock")


def _next(words: Sequence[str], i: int) -> str:
    return words[i] if i < len(words) else ""


def _tens(words: Sequence[str], i: int) -> tuple[int, int]:
    """A number below 100 at ``i``: the position after it, and its value."""
    value, end = _BELOW_HUNDRED[words[i]], i + 1
    unit = end + (_next(words, end) == "-")
    if words[i] in _TENS and _next(words, unit) in _UNITS:
        return unit + 1, value + _UNITS[words[unit]]
    if words[i] in _TENS:
        low = _mixed(words, unit, hyphened=unit > end)
        if low is not None:
            return unit + 1, value + low
    return end, value


def _mixed(words: Sequence[str], i: int, *, hyphened: bool) -> int | None:
    """The unit at ``i`` behind tens in words where it is a figure ("twenty 4") or, behind a hyphen, the sound of one
    ("fifty-for")."""
    word = _next(words, i)
    if hyphened and word in _SINGLE and _SINGLE[word][1] == "homophone":
        return _SINGLE[word][0]
    # Before another number it is a number of its own.
    alone = (
        len(word) == 1
        and word.isdigit()
        and not may_begin(_next(words, i + 1))
        and _next(words, i + 1) != "-"
    )
    return int(word) if alone and word != "0" else None


def _hundreds(words: Sequence[str], i: int) -> Number | None:
    """ "one", or "one hundred (and) …"."""
    value, end = _UNITS.get(words[i]), i + 1
    if _next(words, end) == _HUNDRED:
        value, end = 100 * (value or 1), end + 1
        rest = end + (_next(words, end) == _AND)
        if _next(words, rest) in _BELOW_HUNDRED:
            end, low = _tens(words, rest)
            value += low
    return None if value is None else Number(i, end, value, "word")
