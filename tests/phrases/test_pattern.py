"""The engine of patterns: against Python's ``re``, over a letter for each word, and against a plain account of it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.phrases.match import Kept, ends, match, match_before, places, starts
from extract.phrases.pattern import BadPattern, Sort, read_pattern

#: The words of all talk here, one letter each.
LETTERS = "abc"


class Letters:
    """Words of one letter, each with itself as its only feature; ``pair`` is a stretch of "a b" or of a "c"."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.kept = Kept()

    def __len__(self) -> int:
        return len(self.text)

    def mask(self, feature: str) -> int:
        if feature == "edge":
            return 1 | 1 << len(self.text)
        if feature == "pair":
            return sum(begins << k for length, begins in self.stretches(feature) for k in range(length))
        return sum(1 << i for i, letter in enumerate(self.text) if feature in (f'"{letter}', "any"))

    def stretches(self, feature: str) -> tuple[tuple[int, int], ...]:
        assert feature == "pair"
        two = sum(1 << i for i in range(len(self.text)) if self.text.startswith("ab", i))
        return (2, two), (1, self.mask('"c'))


def sort_of(feature: str) -> Sort | None:
    known: dict[str, Sort] = {"any": "word", "pair": "stretch", "edge": "place"}
    return known.get(feature)


#: A pattern in the language, what Python's ``re`` has for it, and whether something in it is repeated.
Both = tuple[str, str, bool]
_WORDS: list[Both] = [(letter, letter, False) for letter in LETTERS]
ITEMS: st.SearchStrategy[Both] = st.sampled_from(
    [*_WORDS, ("<any>", ".", False), ("<pair>", "(?:ab|c)", False), ("[edge]", r"(?:\A|\Z)", False)]
)
TIMES = st.sampled_from(["?", "*", "+", "{0,2}", "{1,3}", "{2,2}"])


def _joined(parts: list[Both]) -> Both:
    return " ".join(p[0] for p in parts), "".join(p[1] for p in parts), any(p[2] for p in parts)


def _chosen(parts: list[Both]) -> Both:
    return (
        f"({'|'.join(p[0] for p in parts)})",
        f"(?:{'|'.join(p[1] for p in parts)})",
        any(p[2] for p in parts),
    )


def _times(part: Both, sign: str) -> Both:
    own, pythons, repeated = part
    if repeated and sign != "?":
        return part
    return f"({own}){sign}", f"(?:{pythons}){sign}", repeated or sign != "?"


def _times_of_something(part: Both, sign: str) -> Both:
    return part if re.fullmatch(part[1], "") else _times(part, sign)


def _patterns(times: Callable[[Both, str], Both]) -> st.SearchStrategy[Both]:
    def deeper(inner: st.SearchStrategy[Both]) -> st.SearchStrategy[Both]:
        return (
            st.lists(inner, min_size=1, max_size=3).map(_joined)
            | st.lists(inner, min_size=2, max_size=3).map(_chosen)
            | st.builds(times, inner, TIMES)
        )

    return st.recursive(ITEMS, deeper, max_leaves=6)


PATTERNS = _patterns(_times)
#: In these nothing is repeated that may be empty: which of the ways is the best then, each engine sees in its own way.
PLAIN_PATTERNS = _patterns(_times_of_something)
TEXTS = st.text(LETTERS, max_size=7)


@given(PLAIN_PATTERNS, TEXTS)
def test_where_a_pattern_begins_and_how_far_it_goes(both: Both, text: str) -> None:
    own, reference = read_pattern(both[0], sort_of), re.compile(both[1])
    typed = Letters(text)
    found = {at: m.end() for at in range(len(text) + 1) if (m := reference.match(text, at)) is not None}
    assert list(places(starts(own, typed))) == list(found)
    ours = {at: match(own, typed, at, len(text)) for at in range(len(text) + 1)}
    assert {at: m.end for at, m in ours.items() if m is not None} == found


@given(PATTERNS, TEXTS)
def test_where_a_pattern_ends(both: Both, text: str) -> None:
    """Every way of it is tried: it ends wherever some stretch of the words is one as a whole."""
    own, reference = read_pattern(both[0], sort_of), re.compile(both[1])
    typed = Letters(text)
    size = len(text)
    spans = [(a, b) for a in range(size + 1) for b in range(a, size + 1) if _whole(reference, text, a, b)]
    assert set(places(ends(own, typed))) == {b for _, b in spans}
    for b in range(size + 1):
        found = match_before(own, typed, b, 0)
        assert (found is not None) == any(end == b for _, end in spans)
        assert found is None or (found.start, b) in spans


@given(PATTERNS, TEXTS, st.data())
def test_no_match_goes_over_its_limit(both: Both, text: str, data: st.DataObject) -> None:
    own, reference = read_pattern(both[0], sort_of), re.compile(both[1])
    typed = Letters(text)
    at = data.draw(st.integers(0, len(text)))
    limit = data.draw(st.integers(at, len(text)))
    fits = [b for b in range(at, limit + 1) if _whole(reference, text, at, b)]
    found = match(own, typed, at, limit)
    assert (found is not None) == bool(fits)
    assert found is None or found.end in fits
    back = match_before(own, typed, limit, at)
    assert (back is not None) == any(_whole(reference, text, a, limit) for a in range(at, limit + 1))


def _whole(reference: re.Pattern[str], text: str, a: int, b: int) -> bool:
    r"""Whether the stretch from ``a`` to ``b`` is the pattern as a whole; ``\Z`` is the end of all words, not of the
    stretch."""
    return re.compile(rf"(?s)(?:{reference.pattern})(?=.{{{len(text) - b}}}\Z)").match(text, a) is not None


@given(st.lists(st.integers(0, 200), unique=True))
def test_places_of_a_set(held: list[int]) -> None:
    assert list(places(sum(1 << i for i in held))) == sorted(held)


def test_parts_are_those_of_the_way_that_was_taken() -> None:
    pattern = read_pattern("<x=any> (a <y=any>|<z=pair>)? c", sort_of)
    found = match(pattern, Letters("babc"), 0, 4)
    assert found is not None
    assert (found.end, dict(found.parts)) == (4, {"x": (0, 1), "y": (2, 3)})
    found = match(pattern, Letters("bcc"), 0, 3)
    assert found is not None
    assert dict(found.parts) == {"x": (0, 1), "z": (1, 2)}
    found = match(pattern, Letters("bc"), 0, 2)
    assert found is not None
    assert dict(found.parts) == {"x": (0, 1)}
    assert (pattern.names, pattern.always) == ({"x": "", "y": "", "z": "pair"}, {"x"})


@pytest.mark.parametrize(
    ("text", "always"),
    [
        ("<x=any> <y=any>", "xy"),
        ("<x=any>? <y=any>", "y"),
        ("(<x=any> a|b <x=any>)", "x"),
        ("(<x=any>|<y=any>) <z=any>{1,2}", "z"),
        ("(<x=any>)*", ""),
        ("[edge]", ""),
        ("(a|)", ""),
    ],
)
def test_parts_that_are_always_there(text: str, always: str) -> None:
    assert read_pattern(text, sort_of).always == frozenset(always)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("(a", "'(' without ')'"),
        ("a)", "')' without '('"),
        ("a{4,2}", "is no range"),
        ("a{1,41}", "is no range"),
        ("a{0,0}", "is no range"),
        ("(a* b)*", "something repeated in it"),
        ("? a", "cannot be read"),
        ("<none>", "no feature 'none' of words"),
        ("[any]", "no feature 'any' of a place"),
        ("<>", "nothing between the brackets"),
        ("(" * 21 + ")" * 21, "more than 20 groups"),
    ],
)
def test_what_is_no_pattern(text: str, problem: str) -> None:
    with pytest.raises(BadPattern, match=re.escape(problem)) as error:
        read_pattern(text, sort_of)
    assert error.value.remedy


@given(st.text("ab<>[]()|?*+{},=!\\ 12edgypairn", max_size=12))
def test_any_text_is_a_pattern_or_a_bad_one(text: str) -> None:
    try:
        pattern = read_pattern(text, sort_of)
    except BadPattern:
        return
    starts(pattern, Letters("abcab"))
