"""Features of words that a row may name."""

from __future__ import annotations

import pytest

from extract.lexicon.features import sort_of
from extract.mentions.model import CallMention
from extract.phrases.match import places
from tests.made_talk import heard


@pytest.mark.parametrize(
    ("feature", "sort"),
    [
        ("suffix:ed", "place"),
        ("number:signed", "stretch"),
        ("number:sign", None),
        ("line:ed", None),
        ("pause:4", "place"),
        ("pause", None),
        ("pause:long", None),
        ("stance:negated", "stretch"),
        ("stance:negated:after", "stretch"),
        ("stance:negated:sideways", None),
        ("bound:under:before", "stretch"),
    ],
)
def test_what_a_feature_is_of(feature: str, sort: str | None) -> None:
    assert sort_of(feature) == sort


def test_a_pause_is_a_silence_of_more_seconds() -> None:
    talk = heard((0.0, "here we go"), (3.0, "red"), (12.0, "blue")).talk
    silence = talk.words.index("blue")
    assert list(places(talk.mask("pause:4"))) == list(places(talk.mask("pause:8"))) == [silence]
    assert not talk.mask("pause:9")


def test_a_role_with_several_values_has_them_all() -> None:
    talk = heard("That's a takedown attempt, not a takedown.").talk
    found = {
        side: [talk.words[i] for i in places(talk.mask(f"stance:negated:{side}"))]
        for side in ("before", "after")
    }
    assert found["before"] == ["attempt"]
    assert "not" in found["after"]
    assert "attempt" not in found["after"]


def at(text: str, feature: str) -> list[int]:
    """The words, or the places, of a line that have a feature."""
    return list(places(heard(text).talk.mask(feature)))


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
