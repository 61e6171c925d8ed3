"""Finds what rows say in words: wherever it is said, or about words that are given."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol

from extract.phrases.match import (
    Match,
    Typed,
    begins,
    covered,
    ends,
    finishes,
    is_possible,
    match,
    parts_before,
    parts_behind,
    places,
    starts,
    within,
)
from extract.phrases.row import Near, Row


class Talked(Typed, Protocol):
    """Typed words that are cut into segments and mean something. ``fitted`` are the ids of the rows that were found in
    them, or that fitted where they were asked."""

    fitted: set[str]

    def segment(self, i: int) -> tuple[int, int]:
        """The words of the segment that word ``i`` is in: the first, and the place after the last."""

    def meaning(self, feature: str, i: int) -> object:
        """What a stretch of a feature that begins at word ``i`` means: a number, a corner."""

    def time(self, i: int) -> float:
        """Seconds of recording at which word ``i`` is said."""


@dataclass(frozen=True, slots=True)
class Hit:
    """A row and the words it was found in, with its named parts."""

    row: Row
    start: int
    end: int
    parts: Mapping[str, tuple[int, int]]


class Rows:
    """The rows of a lexicon, by what they give, in the order in which they are tried."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self.by_id = {row.id: row for row in rows}
        kinds: defaultdict[str, list[Row]] = defaultdict(list)
        for row in self.by_id.values():
            kinds[row.gives].append(row)
        self._kinds = {kind: tuple(rows) for kind, rows in kinds.items()}
        self._of: dict[tuple[str, str], tuple[Row, ...]] = {}

    def of(self, gives: str, of: str = "") -> tuple[Row, ...]:
        """All rows that give something; those that are ``of`` a sort, or of all."""
        rows = self._kinds.get(gives, ())
        if not of:
            return rows
        if (gives, of) not in self._of:
            sorts = ((row, row.texts("of")) for row in rows)
            self._of[gives, of] = tuple(row for row, told in sorts if not told or of in told)
        return self._of[gives, of]

    def find(self, gives: str, talk: Talked) -> Iterator[Hit]:
        """Wherever one of the rows is found: row by row, and for each in the order of the words."""
        for row in self.of(gives):
            yield from find_row(row, talk)

    def apart(self, gives: str, talk: Talked) -> list[Hit]:
        """Wherever one of the rows is found, in the order of the words; of two in the same words that of the first
        row."""
        out: list[Hit] = []
        taken: set[int] = set()
        for hit in self.find(gives, talk):
            if taken.isdisjoint(range(hit.start, hit.end)):
                out.append(hit)
                taken.update(range(hit.start, hit.end))
        return sorted(out, key=lambda hit: hit.start)

    def first(self, gives: str, talk: Talked, start: int, end: int) -> Hit | None:
        """The first of the rows that fits the words from ``start`` to ``end`` (exclusive)."""
        return next(self.fitting(gives, talk, start, end), None)

    def fitting(self, gives: str, talk: Talked, start: int, end: int) -> Iterator[Hit]:
        """All rows that fit the words from ``start`` to ``end`` (exclusive), in order."""
        for row in self.possible(gives, talk, start, end):
            parts = fits(row, talk, start, end)
            if parts is not None:
                talk.fitted.add(row.id)
                yield Hit(row, start, end, parts)

    def possible(self, gives: str, talk: Talked, start: int, end: int, of: str = "") -> Iterator[Row]:
        """The rows that may fit the words from ``start`` to ``end`` (exclusive), in order: what they have before and
        behind them is there."""
        rows = talk.kept.possible.get((gives, of))
        if rows is None:
            around = ((row, *_around_places(row, talk)) for row in self.of(gives, of))
            rows = talk.kept.possible[gives, of] = [one for one in around if one[1] and one[2]]
        for row, opening, closing in rows:
            if opening >> start & closing >> end & 1:
                yield row


_NONE: Mapping[str, tuple[int, int]] = {}
#: No phrase of anybody's has more words.
_LONGEST = 60


def find_row(row: Row, talk: Talked) -> Iterator[Hit]:
    """Wherever a row is found, in the order of the words; once from each word."""
    if row.words is None:
        return
    for start in places(_around_places(row, talk)[0]):
        if start >= len(talk):
            return
        limit = len(talk) if row.across else talk.segment(start)[1]
        found = match(row.words, talk, start, limit)
        if found is None or found.end == start:
            continue
        parts = _around(row, talk, found)
        if parts is not None:
            talk.fitted.add(row.id)
            yield Hit(row, start, found.end, parts)


def fits(row: Row, talk: Talked, start: int, end: int) -> Mapping[str, tuple[int, int]] | None:
    """The named parts of a row where it fits the words from ``start`` to ``end`` (exclusive) and what is around them. It
    is not noted in ``talk.fitted``: who asks so may have more to ask."""
    found: Match | None = Match(start, end, {})
    if row.words is not None:
        found = match(row.words, talk, start, end)
    return _around(row, talk, found) if found is not None and found.end == end else None


def _around_places(row: Row, talk: Talked) -> tuple[int, int]:
    """The places at which words may begin, and end, by what a row has before and behind them and near them. Not all of
    them need fit: where a segment ends is not looked at."""
    found = talk.kept.around.get(row)
    if found is None:
        found = talk.kept.around[row] = _find_around(row, talk)
    return found


def _find_around(row: Row, talk: Talked) -> tuple[int, int]:
    opening = closing = (1 << (len(talk) + 1)) - 1
    if not all(is_possible(pattern, talk) for pattern in row.patterns()):
        return 0, 0
    for near in row.near:
        found = _covered(near, talk)
        if near.after is None:
            opening &= _spread(found, near.before or 0) << 1
        elif near.before is None:
            closing &= _spread_back(found, near.after - 1)
        else:
            opening &= _spread(found, near.before) << 1 | _spread_back(found, near.after + _LONGEST)
    if row.before is not None and opening:
        opening &= ends(row.before, talk)
    if row.words is not None and opening:
        opening &= starts(row.words, talk)
    if row.after is not None and opening and closing:
        closing &= starts(row.after, talk)
    return opening, closing


def _covered(near: Near, talk: Talked) -> int:
    """The words that are what must be near, each word of a stretch."""
    found = talk.kept.covered.get(near)
    if found is None:
        found = 0
        for item in near.any_of:
            found |= covered(item, talk)
        talk.kept.covered[near] = found
    return found


def _spread(bits: int, most: int) -> int:
    """The places of a set and those up to so many behind each."""
    width = 1
    while width <= most:
        step = min(width, most + 1 - width)
        bits |= bits << step
        width += step
    return bits


def _spread_back(bits: int, most: int) -> int:
    """The places of a set and those up to so many before each."""
    width = 1
    while width <= most:
        step = min(width, most + 1 - width)
        bits |= bits >> step
        width += step
    return bits


def _around(row: Row, talk: Talked, found: Match) -> Mapping[str, tuple[int, int]] | None:
    """The named parts of what was found of a row, with those around it; None where something there is not as it must
    be."""
    low, high = 0, len(talk)
    if not row.across:
        low, high = talk.segment(found.start)[0], talk.segment(found.end - 1)[1]
    if not all(is_near(near, talk, found.start, found.end) for near in row.near):
        return None
    if any(is_near(near, talk, found.start, found.end) for near in row.not_near):
        return None
    if any(finishes(pattern, talk, found.start, low) for pattern in row.not_before):
        return None
    if any(begins(pattern, talk, found.end, high) for pattern in row.not_after):
        return None
    led = parts_before(row.before, talk, found.start, low) if row.before is not None else _NONE
    follows = parts_behind(row.after, talk, found.end, high) if row.after is not None else _NONE
    if led is None or follows is None:
        return None
    parts = {**found.parts, **led, **follows}
    return parts if _agree(row, talk, parts) else None


def is_near(near: Near, talk: Talked, start: int, end: int) -> bool:
    """Whether something with the feature is as near to the words from ``start`` to ``end`` (exclusive) as is asked."""
    a = end if near.before is None else max(0, start - near.before)
    b = start if near.after is None else min(len(talk), end + near.after)
    found = _covered(near, talk)
    if not within(found, a, b):
        return False
    if not near.across:
        a = max(a, talk.segment(start)[0] - near.over[0])
        b = min(b, talk.segment(end - 1)[1] + near.over[1])
    while near.seconds is not None and a < start and talk.time(start) - talk.time(a) > near.seconds:
        a += 1
    return within(found, a, b)


def _agree(row: Row, talk: Talked, parts: Mapping[str, tuple[int, int]]) -> bool:
    """Whether the parts mean two things where they must differ, and one where they must be the same."""

    def meanings(names: tuple[str, ...]) -> list[object]:
        return [talk.meaning(feature_of(row, name), parts[name][0]) for name in names if name in parts]

    differ, same = meanings(row.differ), meanings(row.same)
    return len(set(differ)) == len(differ) and len(set(same)) <= 1


def feature_of(row: Row, name: str) -> str:
    """What a part with a name is a stretch of."""
    return next((p.names[name] for p in row.patterns() if name in p.names), "")
