"""Features of the words of a talk, as rows of a lexicon name them."""

from __future__ import annotations

import pytest

from extract.lexicon.features import sort_of
from extract.mentions.model import CallMention
from extract.phrases.match import places
from tests.made_talk import heard


def at(text: str, feature: str) -> list[int]:
    """The words, or the places, of a line that have a feature."""
    return list(places(heard(text).talk.mask(feature)))


@pytest.mark.parametrize(
    ("feature", "sort"),
    [("suffix:ed", "place"), ("number:signed", "stretch"), ("number:sign", None), ("line:ed", None)],
)
def test_what_a_feature_is_of(feature: str, sort: str | None) -> None:
    assert sort_of(feature) == sort


def test_the_place_behind_a_word_that_ends_so() -> None:
    assert at("two takedowns as he turned", "suffix:s") == [2, 3]
    assert at("two takedowns as he turned", "suffix:ed") == [5]


def test_a_number_with_a_plus() -> None:
    assert at("red +2 and 2", "number:signed") == [1]


def test_a_name_that_runs_over_the_end_of_a_caption_is_named_in_the_first_too() -> None:
    talk = heard("step out and one point given to ivo strandlow", "strandlow ahead one zero")
    assert [r.end for r in talk.talk.refs][:1] == [10]
    [call] = [m for m in talk.mentions if isinstance(m, CallMention)]
    assert (call.corner, call.tie) == ("blue", "attached")
