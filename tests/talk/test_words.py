"""The words of a talk laid out for matching, and phrases found among them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.talk.numbers import find_numbers, number_words
from extract.talk.words import PhraseTable
from tests.made_talk import words_of

_SOME = st.sampled_from(["red", "blue", "now", ",", "\n"])


def test_words_are_looked_up_by_their_norm() -> None:
    talk = words_of("Red's up.\nRED again, so red leads")
    assert [talk.text[i] for i in talk.places(("red", "leads", "never"))] == ["Red", "RED", "red", "leads"]
    assert sum(map(len, talk.distinct().values())) == len(talk)
    assert [talk.text[i] for i, opens in enumerate(talk.opens) if opens] == ["Red", "RED"]


def test_white_space_is_no_word_and_a_line_end_is_kept_beside_the_words() -> None:
    talk = words_of("two  for red\nand blue \n again\n")
    assert talk.text == ["two", "for", "red", "and", "blue", "again"]
    assert talk.breaks == {3, 5, 6}
    assert [talk.after(i) for i in range(6)] == ["two", "for", "red", "", "blue", ""]
    assert [talk.before(i) for i in range(6)] == ["", "two", "for", "", "and", ""]
    assert talk.stand_at(3, ["and", "blue"])
    assert not talk.stand_at(2, ["red", "and"])


@given(st.lists(_SOME, max_size=20).map(" ".join))
def test_every_position_has_the_word_before_and_after_it(text: str) -> None:
    talk = words_of(text)
    for i in range(1, len(talk)):
        near = "" if i in talk.breaks else talk.lower[i - 1]
        assert (talk.before(i), bool(talk.after(i))) == (near, i not in talk.breaks)


@given(st.lists(_SOME, max_size=20).map(" ".join), st.integers(0, 20), st.integers(0, 4))
def test_words_are_passed_over_as_far_as_they_go_and_back(text: str, i: int, most: int) -> None:
    talk = words_of(text)
    passed = {"now", ","}
    end = talk.over(i, passed, most)
    assert i <= end <= i + most
    assert passed.issuperset(talk.lower[i:end])
    assert end == i + most or talk.after(end) not in passed
    if i <= len(talk):
        start = talk.back_over(i, passed, most)
        assert i - most <= start <= i
        assert passed.issuperset(talk.lower[start:i])
        assert start == i - most or talk.before(start) not in passed


def test_the_longest_phrase_of_a_table_is_found_in_one_line() -> None:
    table = PhraseTable({"out of": 1, "out of the": 2, "the red": 3})
    talk = words_of("Out of the red corner, out\nof the blue, out of\nthe red")
    assert [(p.start, p.end, p.value) for p in table.all(talk)] == [(0, 3, 2), (11, 13, 1), (13, 15, 3)]
    assert table.firsts == {"out", "the"}
    assert table.at(talk, 1) is None
    assert table.at(talk, len(talk)) is None


def test_a_sentence_ends_between_two_positions() -> None:
    talk = words_of("Two for red. Now blue, up")
    assert [talk.parted(3, end) for end in (3, 4, 8)] == [False, True, True]
    assert not talk.parted(4, 8)


@pytest.mark.parametrize("sort", ["zero", "cries", "never_first", "everyday", "closing"])
def test_every_word_of_a_sort_of_numbers_is_a_number(sort: str) -> None:
    forms = {word: [number.form for number in find_numbers([word])] for word in number_words(sort)}
    homophones = sort in ("everyday", "closing")
    assert forms == {word: ["homophone" if homophones else "zero"] for word in forms}
