"""Finds a pattern in words: where it may begin, on all words at once, and then what of it is where.

A set of places is a whole number with a bit for each, so that an item of a pattern is tried on all words of a talk with
a few operations on such numbers. Python's own ``re`` over one character for each set of features was the other way:
each new talk brings new sets, and all character classes have to be compiled anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from extract.phrases.pattern import Choice, Pattern, PatternItem, PatternPlace, Repeat, Sequence

if TYPE_CHECKING:
    from extract.phrases.row import Row


class Kept:
    """What has been worked out in one talk, each for the object it is about: the words that an item can begin with, and
    those that it can be; the places at which a pattern may begin, and end; for what rows give, those of them that may fit
    somewhere, with the places at which the words begin and end that they fit."""

    def __init__(self) -> None:
        self.first: dict[object, int] = {}
        self.lengths: dict[object, tuple[tuple[int, int], ...]] = {}
        self.covered: dict[object, int] = {}
        self.starts: dict[object, int] = {}
        self.ends: dict[object, int] = {}
        self.around: dict[object, tuple[int, int]] = {}
        self.possible: dict[tuple[str, str], list[tuple[Row, int, int]]] = {}


class Typed(Protocol):
    """Words with their features. Place ``i`` is before word ``i``; bit ``i`` of a number is for word or place ``i``."""

    #: It belongs to the engine.
    kept: Kept

    def __len__(self) -> int: ...

    def mask(self, feature: str) -> int:
        """The words that have a feature (each word of a stretch), or the places."""

    def stretches(self, feature: str) -> tuple[tuple[int, int], ...]:
        """The stretches of a feature: for each length in words the words at which one begins."""


@dataclass(frozen=True, slots=True)
class Match:
    """Where a pattern was found, and the words of each part of it that has a name."""

    start: int
    end: int
    parts: Mapping[str, tuple[int, int]]


def starts(pattern: Pattern, typed: Typed) -> int:
    """The places at which a pattern may begin."""
    found = typed.kept.starts.get(pattern)
    if found is None:
        found = typed.kept.starts[pattern] = _reach(pattern.node, _everywhere(typed), typed, back=True)
    return found


def ends(pattern: Pattern, typed: Typed) -> int:
    """The places at which a pattern may end."""
    found = typed.kept.ends.get(pattern)
    if found is None:
        found = typed.kept.ends[pattern] = _reach(pattern.node, _everywhere(typed), typed, back=False)
    return found


def _everywhere(typed: Typed) -> int:
    return (1 << (len(typed) + 1)) - 1


def match(pattern: Pattern, typed: Typed, at: int, limit: int) -> Match | None:
    """The pattern where it begins at a place and does not go on over place ``limit``; the longest way is taken first."""
    if not starts(pattern, typed) >> at & 1:
        return None
    parts: dict[str, tuple[int, int]] = {}
    end = next(_walk(pattern.node, at, _Way(typed, limit, parts, False)), None)
    return None if end is None else Match(at, end, dict(parts))


def match_before(pattern: Pattern, typed: Typed, at: int, limit: int) -> Match | None:
    """The same for a pattern that ends at a place and does not begin before place ``limit``."""
    if not ends(pattern, typed) >> at & 1:
        return None
    parts: dict[str, tuple[int, int]] = {}
    start = next(_walk(pattern.node, at, _Way(typed, limit, parts, True)), None)
    return None if start is None else Match(start, at, dict(parts))


def is_possible(pattern: Pattern, typed: Typed) -> bool:
    """Whether all the items that a pattern needs are somewhere in the words."""
    return all(_lengths(item, typed) for item in pattern.needs)


def begins(pattern: Pattern, typed: Typed, at: int, limit: int) -> bool:
    """Whether a pattern begins at a place and can end before place ``limit``."""
    if not starts(pattern, typed) >> at & 1:
        return False
    return at + pattern.longest <= limit or match(pattern, typed, at, limit) is not None


def finishes(pattern: Pattern, typed: Typed, at: int, limit: int) -> bool:
    """Whether a pattern ends at a place and can begin behind place ``limit``."""
    if not ends(pattern, typed) >> at & 1:
        return False
    return at - pattern.longest >= limit or match_before(pattern, typed, at, limit) is not None


def parts_behind(pattern: Pattern, typed: Typed, at: int, limit: int) -> Mapping[str, tuple[int, int]] | None:
    """The named parts of a pattern that begins at a place and ends before place ``limit``; None where it does not."""
    if not pattern.names:
        return {} if begins(pattern, typed, at, limit) else None
    found = match(pattern, typed, at, limit)
    return found.parts if found is not None else None


def parts_before(pattern: Pattern, typed: Typed, at: int, limit: int) -> Mapping[str, tuple[int, int]] | None:
    """The same for a pattern that ends at a place and begins behind place ``limit``."""
    if not pattern.names:
        return {} if finishes(pattern, typed, at, limit) else None
    found = match_before(pattern, typed, at, limit)
    return found.parts if found is not None else None


def places(bits: int) -> Iterator[int]:
    """The places that are in a set, in order."""
    at = bits.bit_length()
    text = bin(bits)[:1:-1] if at else ""
    i = text.find("1")
    while i >= 0:
        yield i
        i = text.find("1", i + 1)


def within(bits: int, a: int, b: int) -> bool:
    """Whether a place of a set is one of those from ``a`` to ``b`` (exclusive)."""
    return b > a and bool(bits >> a & ((1 << (b - a)) - 1))


def fitting(node: PatternItem | PatternPlace, typed: Typed) -> int:
    """The words at which an item may begin by its tests, or the places that pass those of a place."""
    bits = typed.kept.first.get(node)
    if bits is None:
        bits = _everywhere(typed)
        for test in node.tests:
            mask = typed.mask(test.feature)
            bits &= mask if test.wanted else ~mask
        typed.kept.first[node] = bits
    return bits


def _lengths(item: PatternItem, typed: Typed) -> tuple[tuple[int, int], ...]:
    """For each length that an item has somewhere, the words at which one of that length begins."""
    found = typed.kept.lengths.get(item)
    if found is None:
        first = fitting(item, typed)
        words = (1 << len(typed)) - 1
        stretches = typed.stretches(item.stretch) if item.stretch else ((1, words),)
        fit = ((length, begins & first) for length, begins in stretches)
        found = typed.kept.lengths[item] = tuple(pair for pair in fit if pair[1])
    return found


def covered(item: PatternItem, typed: Typed) -> int:
    """The words that an item can be, each word of a stretch."""
    bits = typed.kept.covered.get(item)
    if bits is None:
        bits = 0
        for length, begins in _lengths(item, typed):
            for k in range(length):
                bits |= begins << k
        typed.kept.covered[item] = bits
    return bits


def _reach(node: object, at: int, typed: Typed, *, back: bool) -> int:
    """The places reached from those of ``at`` by going over a node, forwards or back."""
    if isinstance(node, PatternItem):
        out = 0
        for length, begins in _lengths(node, typed):
            out |= (at >> length) & begins if back else (at & begins) << length
        return out
    if isinstance(node, PatternPlace):
        return at & fitting(node, typed)
    if isinstance(node, Sequence):
        for inner in reversed(node.nodes) if back else node.nodes:
            at = _reach(inner, at, typed, back=back)
            if not at:
                break
        return at
    if isinstance(node, Choice):
        out = 0
        for inner in node.nodes:
            out |= _reach(inner, at, typed, back=back)
        return out
    assert isinstance(node, Repeat)
    for _ in range(node.least):
        at = _reach(node.node, at, typed, back=back)
    out = at
    for _ in range(node.most - node.least):
        at = _reach(node.node, at, typed, back=back) & ~out
        if not at:
            break
        out |= at
    return out


@dataclass(frozen=True, slots=True)
class _Way:
    """How a pattern is walked over: up to which place, backwards or not, and the named parts met so far."""

    typed: Typed
    limit: int
    parts: dict[str, tuple[int, int]]
    back: bool


def _walk(node: object, at: int, way: _Way) -> Iterator[int]:
    """The places to which a node may lead from ``at``, the best first. While one is looked at, ``way.parts`` is what it
    has on the way there."""
    if isinstance(node, PatternItem):
        yield from _over(node, at, way)
    elif isinstance(node, PatternPlace):
        if fitting(node, way.typed) >> at & 1:
            yield at
    elif isinstance(node, Sequence):
        nodes = node.nodes[::-1] if way.back else node.nodes
        yield from _one_by_one(nodes, 0, at, way)
    elif isinstance(node, Choice):
        for inner in node.nodes:
            yield from _walk(inner, at, way)
    elif isinstance(node, Repeat):
        yield from _again(node, 0, at, way)


def _over(item: PatternItem, at: int, way: _Way) -> Iterator[int]:
    for length, begins in _lengths(item, way.typed):
        start = at - length if way.back else at
        end = start + length
        inside = start >= way.limit if way.back else end <= way.limit
        if not inside or not begins >> start & 1:
            continue
        if not item.name:
            yield start if way.back else end
            continue
        before = way.parts.get(item.name)
        way.parts[item.name] = (start, end)
        yield start if way.back else end
        if before is None:
            del way.parts[item.name]
        else:
            way.parts[item.name] = before


def _one_by_one(nodes: tuple[object, ...], k: int, at: int, way: _Way) -> Iterator[int]:
    if k == len(nodes):
        yield at
        return
    for reached in _walk(nodes[k], at, way):
        yield from _one_by_one(nodes, k + 1, reached, way)


def _again(repeat: Repeat, times: int, at: int, way: _Way) -> Iterator[int]:
    if times < repeat.most:
        for reached in _walk(repeat.node, at, way):
            # Nothing gone over once more leads nowhere, but it counts for what must be there.
            if reached != at or times < repeat.least:
                yield from _again(repeat, times + 1, reached, way)
    if times >= repeat.least:
        yield at
