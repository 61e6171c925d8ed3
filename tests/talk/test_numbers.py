"""Numbers as people say, write and mishear them. How zero and times are said is common practice."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from num2words import num2words  # type: ignore[import-untyped]

from extract.mentions import TalkDocument
from extract.mentions.model import ClockMention, ScoreMention
from extract.talk.numbers import find_numbers
from tests.made_talk import found, transcript


def values(text: str) -> list[int]:
    """The numbers in a text, read with the tokens of a transcript."""
    return [n.value for n in find_numbers(TalkDocument(transcript(text)).lower)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("seven", [7]),
        ("Seventeen.", [17]),
        ("FORTY", [40]),
        ("fourty", [40]),
        ("forty-three", [43]),
        ("forty three", [43]),
        ("ninety nine", [99]),
        ("twenty, one", [20, 1]),
        ("a hundred", [100]),
        ("a hundred and five", [105]),
        ("one hundred twenty-five pounds", [125]),
        ("two hundred", [200]),
        ("hundreds of people", []),
        ("74", [74]),
        ("0", [0]),
        ("12345", []),
        ("1:05", [65]),
        ("1.05", [65]),
        ("21.05", []),
        ("1.5", []),
        ("twenty 4 seconds", [24]),
        ("twenty 4 2 red", [20, 4, 2]),
        ("fifty-for left", [54]),
        ("fifty for red", [50, 4]),
        ("0:30", [30]),
        (":33", [33]),
        ("1:75", []),
        ("three-one", [3, 1]),
        ("3-1", [3, 1]),
        ("3–1", [3, 1]),
        ("3/1", [3, 1]),
        ("five nil", [5, 0]),
        ("five zip", [5, 0]),
        ("five nothing", [5, 0]),
        ("five zero", [5, 0]),
        ("five nought", [5, 0]),
        ("five love", [5, 0]),
        ("5-oh", [5, 0]),
        ("for", [4]),
        ("won too", [1, 2]),
        ("someone alone anyone", []),
        ("tense often tenth", []),
        ("", []),
    ],
)
def test_numbers_of_a_text(text: str, expected: list[int]) -> None:
    assert values(text) == expected


def test_a_number_keeps_its_place() -> None:
    words = ["red", "leads", "forty", "-", "three", "to", "nothing"]
    assert [(n.start, n.end, n.value) for n in find_numbers(words)] == [(2, 5, 43), (5, 6, 2), (6, 7, 0)]


@pytest.mark.parametrize("number", range(200))
def test_reads_what_num2words_writes(number: int) -> None:
    """Checked against the reference library num2words (PyPI), which spells numbers out."""
    spelled = num2words(number)
    assert values(spelled) == [number]
    assert values(spelled.replace("-", " ").capitalize() + ".") == [number]
    assert values(spelled.replace(" and ", " ")) == [number]


@settings(deadline=None, max_examples=80)
@given(number=st.integers(1, 199), spelled=st.booleans())
def test_seconds_left_read_back(number: int, spelled: bool) -> None:
    """The whole way in, spelled by num2words."""
    said = num2words(number) if spelled else str(number)
    (mention,) = found(ClockMention, f"{said} seconds left")
    assert (mention.seconds, mention.clock) == (number, "bout")


def _like_a_time(pair: tuple[int, int], joint: str) -> bool:
    """Whether a score is written as a time is too: "2-14", which only words around it can tell apart."""
    return joint == "-" and 1 <= pair[0] <= 4 and pair[1] >= 10


@settings(deadline=None, max_examples=120)
@given(
    pair=st.tuples(st.integers(0, 19), st.integers(0, 19)),
    joint=st.sampled_from(["-", " to "]),
    spelled=st.tuples(st.booleans(), st.booleans()),
)
def test_a_score_reads_back(pair: tuple[int, int], joint: str, spelled: tuple[bool, bool]) -> None:
    assume(not _like_a_time(pair, joint))
    a, b = (num2words(n) if word else str(n) for n, word in zip(pair, spelled, strict=True))
    (mention,) = found(ScoreMention, f"The score is {a}{joint}{b}, red.")
    assert mention.pair == pair
    if pair[0] >= pair[1]:
        assert mention.first == "red"
