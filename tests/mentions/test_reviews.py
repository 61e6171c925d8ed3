"""Challenges asked for and decided, as they are said."""

from __future__ import annotations

import pytest

from extract.mentions.model import ReviewMention
from tests.made_talk import found


def asked(text: str) -> list[str | None]:
    return [m.corner for m in found(ReviewMention, text) if m.what == "ask" and m.grade == "plain"]


@pytest.mark.parametrize(
    ("text", "by"),
    [
        ("Marrowick's coach has lobbed his cube.", "blue"),
        ("There goes the red sponge.", "red"),
        ("Up goes the challenge card from the Marrowick bench.", "blue"),
        ("The beanbag's come flying from the Kestrel Bay side.", "red"),
        ("Kestrel Bay are asking for another look.", "red"),
        ("Blue's people want that one checked.", "blue"),
        ("The sponge is in. Somebody is cross. That's Marrowick, they lobbed it.", "blue"),
        ("The Marrowick bench have thrown theirs in.", "blue"),
        ("They've appealed, the red corner.", "red"),
    ],
)
def test_a_challenge_is_asked_for(text: str, by: str) -> None:
    assert asked(text) == [by]


@pytest.mark.parametrize(
    "text",
    [
        "What a challenge this is for Felmouth.",
        "The challenge for her is the pace.",
        "He throws the block off and circles.",
        "Felmouth throws Strandlow.",
        "They still have their brick.",
        "The sponge goes back in the bucket.",
        "I want to see that again.",
    ],
)
def test_nobody_challenges(text: str) -> None:
    assert asked(text) == []


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("The two are gone, and Marrowick keep their sponge.", "won"),
        ("They've turned it round.", "won"),
        ("It stands, as called.", "lost"),
        ("The point stays.", "lost"),
        ("Red keeps his two.", "lost"),
        ("no the call stands", "lost"),
    ],
)
def test_what_came_of_it(text: str, what: str) -> None:
    told = found(ReviewMention, text)
    assert {(m.what, m.stance) for m in told} == {(what, "asserted")}


@pytest.mark.parametrize(
    "text",
    [
        "For me that comes off.",
        "I'd turn it round, they turn it for me.",
        "If they turn it, that's ten-six.",
        "He lost it in the middle.",
        "It stays on the mat.",
        "She comes down on the mat.",
        "Felmouth comes off the mat smiling.",
        "Felmouth stands up.",
    ],
)
def test_nothing_is_decided(text: str) -> None:
    assert [m.what for m in found(ReviewMention, text) if m.stance == "asserted"] == []


def test_who_keeps_the_points_did_not_ask() -> None:
    (told,) = found(ReviewMention, "It stays, and one more to red.")
    assert (told.what, told.corner) == ("lost", "blue")


def test_a_challenge_of_another_bout_is_recalled() -> None:
    assert {m.stance for m in found(ReviewMention, "Last year they lost the challenge in the final.")} == {
        "recalled"
    }
