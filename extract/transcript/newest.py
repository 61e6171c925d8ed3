"""Whether an account has its newest entry first, and the way to turn it round."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

from extract.transcript.order_numbers import order_number

_T = TypeVar("_T")
_DAY_S = 86400.0


@dataclass(frozen=True, slots=True)
class EntrySigns:
    """What of an entry shows where in the account it belongs: heading of a bout or of a period with its number, time of
    day and of the bout clock in seconds, number in a list, points of both in a score, words of an end or a start."""

    title: bool = False
    bout: bool = False
    period: bool = False
    number: int | None = None
    day: float | None = None
    clock: float | None = None
    item: int | None = None
    score: int | None = None
    tells_end: bool = False
    tells_start: bool = False


def is_newest_first(signs: Sequence[EntrySigns]) -> bool:
    """Whether the newest entry is the first. The surest signs decide: times of day, numbers of a list, scores, periods.
    Where they are few, all of them together do, with a result at the top and an introduction at the bottom."""
    body = [sign for sign in signs if not sign.title]
    total = [0, 0]
    for steps in (
        _steps([sign.day for sign in body]),
        _steps([sign.item for sign in body]),
        _steps(_within_bouts(body)),
        _steps([sign.number for sign in body]),
        _steps([sign.clock for sign in body])[::-1],
    ):
        back, on = steps
        if back >= order_number("newest", "falls") and back > order_number("newest", "ratio") * on:
            return True
        if on >= order_number("newest", "falls") and on >= back:
            return False
        total[0] += back
        total[1] += on
    told = [sign for sign in body if not sign.bout and not sign.period]
    if len(told) > 1:
        first, last = told[0], told[-1]
        total[0] += (first.tells_end and not last.tells_end) + (last.tells_start and not first.tells_start)
        total[1] += (last.tells_end and not first.tells_end) + (first.tells_start and not last.tells_start)
    return (
        total[0] >= order_number("newest", "falls") and total[0] > order_number("newest", "ratio") * total[1]
    )


def _steps(values: Sequence[float | None]) -> list[int]:
    """How often the values fall and how often they rise. Midnight is no fall."""
    known = [value for value in values if value is not None]
    falls = sum(b < a and a - b < _DAY_S / 2 for a, b in pairwise(known))
    return [falls, sum(b > a or a - b >= _DAY_S / 2 for a, b in pairwise(known))]


def _within_bouts(signs: Sequence[EntrySigns]) -> list[float | None]:
    """The scores, each raised by what came in the bouts before: a new bout begins at nothing again, which is no sign."""
    out: list[float | None] = []
    for _, part in _sections(signs, lambda sign: sign.bout):
        scores = [sign.score for sign in part if sign.score is not None]
        if len(scores) > 1:
            # One bout says nothing of the next.
            base = (out[-1] or 0.0) - scores[0] if out else 0.0
            out += [base + score for score in scores]
    return out


def turned(entries: Sequence[_T], signs: Sequence[EntrySigns]) -> list[_T]:
    """The entries the other way round. The lines above them stay there. A heading that stands above its entries stays
    above them."""
    pairs = list(zip(entries, signs, strict=True))
    title = [entry for entry, sign in pairs if sign.title]
    body = [pair for pair in pairs if not pair[1].title]
    turned_body = _turned(
        body, lambda pair: pair[1].bout, lambda part: _turned(part, lambda pair: pair[1].period)
    )
    return [*title, *(entry for entry, _ in turned_body)]


def _turned(
    items: Sequence[_T], heads: Callable[[_T], bool], inner: Callable[[list[_T]], list[_T]] | None = None
) -> list[_T]:
    """Items the other way round, by sections under their headings if the first is one and the last is none."""
    turn = inner or (lambda part: part[::-1])
    if not items or not any(map(heads, items)):
        return turn(list(items))
    above = heads(items[0]) and not heads(items[-1])
    if not above:
        # Each heading stands below its entries.
        flipped = list(items)[::-1]
        return [
            item
            for head, part in _sections(flipped, heads)
            for item in ([*head, *turn(part[::-1])] if inner is not None else [*head, *part])
        ]
    return [item for head, part in reversed(_sections(items, heads)) for item in (*head, *turn(part))]


def _sections(items: Sequence[_T], heads: Callable[[_T], bool]) -> list[tuple[list[_T], list[_T]]]:
    """The items in sections: the headings of each, and what stands under them."""
    out: list[tuple[list[_T], list[_T]]] = []
    for item in items:
        if heads(item) and (not out or out[-1][1]):
            out.append(([item], []))
        elif heads(item):
            out[-1][0].append(item)
        else:
            if not out:
                out.append(([], []))
            out[-1][1].append(item)
    return out
