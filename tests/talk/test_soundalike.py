"""Likeness of misheard names, the forms of a name, and the lexicon file behind them."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.cast.name_forms import demonyms, distinctive, given_and_surname, name_words, short_form
from extract.lexicon.data import lexicon_path
from extract.talk.soundalike import letters, likeness, sound
from extract.talk.word_lists import is_common

_NAMES = st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=12)


@pytest.mark.parametrize(
    ("heard", "name"),
    [
        ("draganoff", "draganov"),
        ("whitlok", "whitlock"),
        ("petrosc", "petrosk"),
        ("karimoff", "karimov"),
        ("shivawn", "siobhan"),
        ("orvain", "orvane"),
        ("novacova", "novakova"),
    ],
)
def test_mishearings_are_more_alike_than_strangers(heard: str, name: str) -> None:
    assert likeness(heard, name) >= 0.74
    assert all(likeness(heard, other) < 0.6 for other in ("kessel", "umbrell", "tolvia", "jorun"))


@given(_NAMES, _NAMES)
def test_likeness_is_a_share_and_symmetric(a: str, b: str) -> None:
    assert 0.0 <= likeness(a, b) <= 1.0
    assert likeness(a, b) == pytest.approx(likeness(b, a))
    assert likeness(a, a) == 1.0


@given(st.text(max_size=20))
def test_the_key_of_any_text_is_plain_letters(text: str) -> None:
    assert set(sound(text)) <= set("abcdefghijklmnopqrstuvwxyz")
    assert letters(letters(text)) == letters(text)


def test_parts_of_names() -> None:
    assert name_words("Oster-Vale, Mira") == ["mira", "oster", "vale"]
    assert given_and_surname("Anna van der Molen") == ("anna", ("van", "der", "molen"))
    assert given_and_surname("Oster") == ("", ("oster",))
    assert distinctive("the Republic of Brennia") == ("brennia",)
    assert {"brennian", "brennians"} <= set(demonyms("Brennia"))


@pytest.mark.parametrize(("short", "name"), [("ben", "benedikt"), ("benny", "benedikt"), ("mira", "amira")])
def test_short_forms(short: str, name: str) -> None:
    assert short_form(short, name, ends=True) > 0.7


@pytest.mark.parametrize(
    ("word", "name"), [("benedik", "benedikt"), ("jonah", "benedikt"), ("be", "benedikt")]
)
def test_no_short_forms(word: str, name: str) -> None:
    assert short_form(word, name, ends=True) == 0


def test_common_words_take_their_inflections() -> None:
    assert all(map(is_common, ["page", "pages", "wrestled", "circling", "quickly", "singlet"]))
    assert not any(map(is_common, ["dragomel", "oster", "kessel"]))


def test_the_cast_lexicon_is_lower_case() -> None:
    def strings(value: object) -> list[str]:
        if isinstance(value, dict):
            return [s for v in value.values() for s in strings(v)]
        if isinstance(value, list):
            return [s for v in value for s in strings(v)]
        return [value] if isinstance(value, str) else []

    listed = strings(tomllib.loads(lexicon_path("talk/cast").read_text("utf-8")))
    assert listed
    assert all(text == text.lower() for text in listed)
