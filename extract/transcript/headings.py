"""Headings in typed accounts: of a period, and of a bout with its two names or its weight."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from extract.transcript.names import listed, names
from extract.transcript.order_numbers import order_number
from extract.transcript.plain import PLAIN

#: What people draw round a heading.
_DRAWN = " \t-=#*_.:|>[](){}~+"
_MARK = re.compile(r"[ \t]*(?:[-:.,|)\]]+[ \t]*)+")
_IN_BRACKETS = re.compile(r"\([^()]*\)|\[[^\[\]]*\]")
_BEFORE, _BEHIND = re.compile(r".*(?:[:|]| - )"), re.compile(r"[,;:|]| - ")


@dataclass(frozen=True, slots=True)
class PeriodHeading:
    """The heading of a period at the head of a line. ``number`` is None for overtime. ``start`` and ``end`` are
    its place. ``rest`` is where what follows it in the line begins."""

    number: int | None
    start: int
    end: int
    rest: int


def is_heading(line: str) -> bool:
    """Whether a line begins with the heading of a period.

    >>> is_heading("P2"), is_heading("-- second --"), is_heading("Period two:"), is_heading("Red in")
    (True, True, True, False)
    """
    return period_heading(line) is not None


def period_heading(line: str) -> PeriodHeading | None:
    """The heading of a period with which a line begins. None if there is none, or if the line says that the period
    is over.

    >>> period_heading("Second Period: blue down")
    PeriodHeading(number=2, start=0, end=13, rest=15)
    """
    shown = line.translate(PLAIN)
    start = len(shown) - len(shown.lstrip(_DRAWN))
    stop = len(shown.rstrip(_DRAWN))
    found = _period().match(shown.lower()[start:stop])
    if found is None:
        return None
    end = start + found.end()
    rest = shown[end:]
    if _ended().match(rest.lower().lstrip(_DRAWN)):
        return None
    mark = _MARK.match(rest)
    return PeriodHeading(
        _number(found.groupdict()), start, end, end + (mark.end() if mark is not None else _blanks(rest))
    )


def _blanks(text: str) -> int:
    return len(text) - len(text.lstrip())


def _number(found: dict[str, str | None]) -> int | None:
    shown = next((text for text in (found["n"], found["m"], found["bare"]) if text is not None), None)
    if shown is None:
        return None
    if shown.isdigit():
        return int(shown)
    for key in (listed("headings", "figures"), listed("headings", "cardinals"), listed("say", "ordinals")):
        if shown in key:
            return key.index(shown) + 1
    return None


def _any(words: Iterable[str]) -> str:
    """A pattern for any of some words, the longest first."""
    return "|".join(re.escape(word) for word in sorted(set(words), key=lambda word: (-len(word), word)))


@cache
def _period() -> re.Pattern[str]:
    period, overtime = _any(names("headings", "period")), _any(names("headings", "overtime"))
    numbers = [*listed("headings", "figures"), *listed("say", "ordinals")]
    number, cardinal = _any(numbers), _any([*listed("headings", "cardinals"), *numbers])
    opening = _any(names("headings", "opening"))
    return re.compile(
        rf"(?:(?:{opening}) )?(?:(?:{period})[ .:#]*(?P<n>[1-7](?![0-9]|[:.][0-9]))\b|(?:{period})[ .:]+(?P<m>{cardinal})\b"
        rf"|(?P<bare>{number})(?:[ -](?:{period})\b|(?=$|:| ?-))|(?:{overtime})(?: ?#?[1-3])?(?=$|[^\w]))"
    )


@cache
def _ended() -> re.Pattern[str]:
    return re.compile(rf"(?:{_any(names('headings', 'ending'))})\b")


@dataclass(frozen=True, slots=True)
class BoutHeading:
    """The heading of a bout; ``named`` says that it has the two names."""

    named: bool


def bout_heading(line: str) -> BoutHeading | None:
    """The heading of a bout in a line of its own: two names with a word like "against" between them, a weight, the
    number of the bout.

    >>> bout_heading("65 kg: Ada Vell (Gannet Row) vs. Bea Tor"), bout_heading("Bout 3"), bout_heading("Vell scores")
    (BoutHeading(named=True), BoutHeading(named=False), None)
    """
    shown = line.translate(PLAIN).strip(_DRAWN)
    if not shown or len(line.strip()) > order_number("page", "heading_width"):
        return None
    if _bare_heading().fullmatch(shown.lower()):
        return BoutHeading(False)
    words = _IN_BRACKETS.sub(" ", line.translate(PLAIN)).strip(_DRAWN).split()
    places = [k for k, word in enumerate(words) if word.lower() in names("headings", "versus")]
    if len(places) != 1:
        return None
    left, right = " ".join(words[: places[0]]), " ".join(words[places[0] + 1 :])
    before = _BEFORE.match(left)
    left = left[before.end() :] if before is not None else left
    behind = _BEHIND.search(right)
    right = right[: behind.start()] if behind is not None else right
    left, right = (_weight().sub(" ", side).strip() for side in (left, right))
    return BoutHeading(True) if _is_side(left) and _is_side(right) else None


def _is_side(text: str) -> bool:
    """Whether a text is a name: few words, none with figures but a seed, and all with capitals or very few without."""
    words = text.split()
    if words and re.fullmatch(r"#?[0-9]{1,2}", words[0]):
        words = words[1:]
    if not words or len(words) > order_number("page", "side_words"):
        return False
    if any(map(str.isdigit, "".join(words))) or not all(word[:1].isalpha() for word in words):
        return False
    if any(mark in text for mark in ".!?") and text.rstrip(".")[-1:] in "!?":
        return False
    small = [word for word in words if word[:1].islower()]
    return not small or (len(small) == len(words) <= 2)


@cache
def _weight() -> re.Pattern[str]:
    return re.compile(rf"\b[0-9]{{2,3}} ?(?:{_any(names('headings', 'weight'))})\b", re.IGNORECASE)


@cache
def _bare_heading() -> re.Pattern[str]:
    weight, bout = _any(names("headings", "weight")), _any(names("headings", "bout"))
    return re.compile(
        rf"(?:[a-z' ]{{0,20}})?[0-9]{{2,3}} ?(?:{weight})(?:[ :,-]+(?:{bout}))?|(?:{bout})[ .:#]*[0-9]{{1,3}}"
    )
