"""Finds pairs of numbers that may be a score, by the form in which they are said."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from extract.lexicon import small_words
from extract.mentions.talk import Talk
from extract.phrases import Hit, Row
from extract.phrases.find import find_row
from extract.rules.base import Corner
from extract.talk.numbers import Number

_COUNTING = small_words("counting")


@dataclass(frozen=True, slots=True)
class Pair:
    """A candidate: words, the two numbers, the form in which they are said and the row that has it; ``holder`` where
    the row says who has the first."""

    start: int
    end: int
    pair: tuple[int, int]
    form: str
    row: str
    holder: Corner | None = None


def plain(number: Number) -> bool:
    """Whether a number is written as one: it is no time, and no word of the same sound."""
    return number.form in ("figure", "word", "zero")


def score_pairs(talk: Talk) -> Iterator[Pair]:
    """All candidates, the most telling form first: where two use one number, the first counts."""
    for _, rows in groupby(talk.rows.of("score"), lambda row: row.form):
        hits = [hit for row in rows for hit in find_row(row, talk)]
        # At one place the first row goes first.
        for hit in sorted(hits, key=lambda hit: hit.parts.get("x", (hit.start, hit.end))):
            yield _pair(talk, hit)
    yield from runs(talk)


def _pair(talk: Talk, hit: Hit) -> Pair:
    """The candidate that a row has found: two numbers, one for both (which the row may say), or two figures run
    together."""
    if "both" in hit.row.more:
        both = hit.row.number("both")
        return Pair(hit.start, hit.end, (both, both), hit.row.form, hit.row.id)
    values = [talk.value_at(hit.parts[name][0]) for name in ("x", "y") if name in hit.parts]
    pair = divmod(values[0], 10) if hit.row.more.get("two_figures") else (values[0], values[-1])
    holder = hit.row.text("first")
    ref = talk.ref_at(hit.parts[holder][0]) if holder else None
    return Pair(hit.start, hit.end, pair, hit.row.form, hit.row.id, ref.corner if ref is not None else None)


@dataclass(frozen=True, slots=True)
class _Joined:
    """Two neighbours in a run of numbers, and the row that joins them."""

    a: Number
    b: Number
    row: Row


def runs(talk: Talk) -> Iterator[Pair]:
    """Pairs out of runs of joined numbers; a run that counts down, or is too long to be told apart, gives none."""
    numbers = [n for n in talk.numbers if talk.free(n) and n.form != "clock"]
    i = 0
    while i + 1 < len(numbers):
        run = _run(talk, numbers[i:]) if _may_open(talk, *numbers[i : i + 2]) else []
        i = numbers.index(run[-1].b, i) + 1 if run else i + 1
        yield from _split(talk, run)


def _run(talk: Talk, numbers: Sequence[Number]) -> list[_Joined]:
    """How the numbers from the first on are joined, as far as they are. A word such as "to" between two joins them; it
    is a number itself only where nothing follows that could be joined."""
    run: list[_Joined] = []
    at = 0
    while at + 1 < len(numbers):
        joined = None
        if numbers[at + 1].form == "homophone" and at + 2 < len(numbers):
            joined = _join(talk, numbers[at], numbers[at + 2])
        at += 1 if joined is None else 2
        joined = joined or _join(talk, run[-1].b if run else numbers[0], numbers[at])
        if joined is None:
            break
        run.append(joined)
    return run


def _may_open(talk: Talk, first: Number, second: Number) -> bool:
    """Whether a number can be the first of a score: one that only sounds so only as a row has it."""
    return (
        first.form != "homophone"
        or talk.rows.first("sound opener", talk, first.start, second.end) is not None
    )


def _join(talk: Talk, a: Number, b: Number) -> _Joined | None:
    """The row that joins two numbers, or None where something else stands between them."""
    if talk.turned(a.end - 1, b.start):
        return None
    if talk.document.punctuated and talk.segment_of[a.start] != talk.segment_of[b.start]:
        return None
    hit = talk.rows.first("score pair", talk, a.start, b.end)
    return _Joined(a, b, hit.row) if hit is not None else None


def _binds(joined: _Joined) -> bool:
    """Whether what stands between two numbers makes them a pair by itself."""
    return bool(joined.row.more.get("binds"))


def _split(talk: Talk, run: Sequence[_Joined]) -> Iterator[Pair]:
    """The pairs in a run of joined numbers. What stands in one caption belongs together: "a point for nothing / seven
    six"."""
    if any(map(_binds, run)):
        yield from _bound(run)
        return
    numbers = _numbers(run)
    # From here on the numbers count down to the end.
    falls = len(numbers) - 1
    while falls > 0 and numbers[falls - 1].value - numbers[falls].value == 1:
        falls -= 1
    begin = 0
    for end in range(1, len(numbers)):
        if len(numbers) - begin == 2 or begin >= falls or _two_is_to(talk, numbers[begin:]):
            break
        if talk.lines(numbers[end - 1].end - 1, numbers[end].start):
            yield from _loose(talk, run[begin : end - 1])
            begin = end
    yield from _loose(talk, run[begin:])


def _numbers(run: Sequence[_Joined]) -> list[Number]:
    return [run[0].a, *(joined.b for joined in run)] if run else []


def _two_is_to(talk: Talk, numbers: Sequence[Number]) -> bool:
    """Whether three numbers at the end of a run are two: a recogniser's "eight two seven" is eight to seven."""
    if len(numbers) != 3 or talk.document.punctuated:
        return False
    return numbers[1].form == "word" and numbers[1].value == 2 and numbers[2].value != 1


def _bound(run: Sequence[_Joined]) -> Iterator[Pair]:
    """The pairs of a run in which some are bound."""
    strong = [k for k, joined in enumerate(run) if _binds(joined)]
    last = -1
    for k in strong:
        if k > last:
            yield _made(run[k])
            last = k + 1
    # "six zip six to nothing": what is left over in front may be a pair of its own.
    if strong[0] == 2:
        yield _made(run[0])


def _loose(talk: Talk, run: Sequence[_Joined]) -> Iterator[Pair]:
    """The pairs of a run that nothing binds, wherever captions begin in it."""
    numbers = _numbers(run)
    if len(run) == 1:
        if talk.rows.first("no pair", talk, numbers[0].start, numbers[1].end) is None:
            yield _made(run[0])
    elif not run or all(a.value - b.value == 1 for a, b in pairwise(numbers)):
        return
    elif numbers[0].value == numbers[1].value:
        # "two / two one", "seven seven six": the first number was said by itself, and is said again.
        yield from _loose(talk, run[1:])
    elif _two_is_to(talk, numbers):
        row = max((joined.row for joined in run), key=lambda row: row.form == "zero")
        yield Pair(numbers[0].start, numbers[2].end, (numbers[0].value, numbers[2].value), row.form, row.id)
    elif len(run) == 3:
        yield from (_made(run[0]), _made(run[2]))
    elif len(run) == 2:
        # "that'll do for two, fourteen eight", "the lead's seven, fifteen eight"
        # "ten fifteen ten": the score begins anew.
        again = numbers[0].value == numbers[2].value
        counted = again or talk.previous_word(numbers[0].start) in _COUNTING
        if counted or (numbers[1].form != "zero" and numbers[2].form == "zero"):
            yield _made(run[1])
        elif numbers[1].form == "zero":
            yield _made(run[0])


def _made(joined: _Joined) -> Pair:
    a, b = joined.a, joined.b
    return Pair(a.start, b.end, (a.value, b.value), joined.row.form, joined.row.id)
