"""From bytes to lines, wherever the bytes are cut."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.live.lines import Lines


def lines_of(pieces: list[bytes], longest: int = 1000) -> tuple[list[str], list[str]]:
    """The lines of some bytes, and what was told of them."""
    told: list[str] = []
    lines = Lines(told.append, longest)
    out = [line for piece in pieces for line in lines.take(piece)]
    return out + lines.end(), told


def chopped(data: bytes, cuts: list[int]) -> list[bytes]:
    places = sorted({0, len(data), *(cut % (len(data) + 1) for cut in cuts)})
    return [data[a:b] for a, b in pairwise(places)]


@pytest.mark.parametrize(
    ("data", "lines"),
    [
        (b"a\nb\r\nc\rd", ["a", "b", "c", "d"]),
        (b"a\r\r\nb\r\r\n", ["a", "b"]),
        (b"\xef\xbb\xbfTwo\n\n", ["Two", ""]),
        ("\ufeffZoë\n’s".encode("utf-16"), ["Zoë", "’s"]),
        ("Zoë\n’s".encode("utf-16-be").join([b"\xfe\xff", b""]), ["Zoë", "’s"]),
        ("eins\u2028zwei\x85drei".encode(), ["eins", "zwei", "drei"]),
    ],
)
def test_encodings_and_line_ends(data: bytes, lines: list[str]) -> None:
    assert lines_of([data]) == (lines, [])
    assert lines_of([bytes([byte]) for byte in data]) == (lines, [])


def test_broken_bytes_are_told_once() -> None:
    lines, told = lines_of(["’s ".encode() + b"\xffpoints\n", b"\xfe\n"])
    assert lines == ["’s \ufffdpoints", "\ufffd"]
    assert told[0].startswith("Some bytes are no UTF-8 text")
    # Nothing has shown that this is UTF-8.
    assert lines_of([b"Zo\xeb \x93two\x94\n"])[0] == ["Zoë “two”"]
    lines, told = lines_of([b"a\x00b\x07\n"])
    assert lines == ["a\ufffdb\ufffd"]
    assert told


def test_end_within_a_letter() -> None:
    assert lines_of([b"points\xe2\x80"]) == (
        ["points"],
        ["The stream ended within a letter, which is left out."],
    )


def test_a_line_without_end_is_cut() -> None:
    told: list[str] = []
    lines = Lines(told.append)
    for _ in range(64):
        assert lines.take(b"x" * 16_384) == []
    assert [len(line) for line in lines.take(b"\nnext\n")] == [65_536, 4]
    assert told == ["A line of more than 65,536 characters is cut there."]


@given(st.binary(max_size=80), st.lists(st.integers(0, 80), max_size=8))
def test_any_cut_gives_the_same_lines(data: bytes, cuts: list[int]) -> None:
    whole, _ = lines_of([data], 12)
    assert lines_of(chopped(data, cuts), 12)[0] == whole
    assert all(len(line) <= 12 and "\n" not in line for line in whole)


@given(
    st.text("aé’\r\n\u2028\U0001f642", max_size=40),
    st.sampled_from(["utf-8", "utf-16", "utf-8-sig"]),
    st.lists(st.integers(0, 200), max_size=8),
)
def test_any_cut_of_text(text: str, encoding: str, cuts: list[int]) -> None:
    data = text.encode(encoding)
    assert lines_of(chopped(data, cuts)) == lines_of([data])
