"""Who won, as it is said."""

from __future__ import annotations

import pytest

from extract.mentions.model import ResultMention
from tests.made_talk import found


@pytest.mark.parametrize(
    ("text", "winner"),
    [
        ("Felmouth edges Strandlow, 6-4.", "red"),
        ("Strandlow, 8-4, takes the win over Felmouth.", "blue"),
        ("Strandlow df Felmouth 10-0", "blue"),
        ("Felmouth is beaten by Strandlow, six-four.", "blue"),
        ("Strandlow goes down to Felmouth in the end.", "red"),
        ("Strandlow takes a six-four win over Felmouth.", "blue"),
        ("Felmouth has his man!", "red"),
        ("It ends eight-four for Strandlow.", "blue"),
        ("And there's the hand going up, and it's blue.", "blue"),
        ("Felmouth, into the semi.", "red"),
    ],
)
def test_who_won(text: str, winner: str) -> None:
    named = [m.winner for m in found(ResultMention, text) if m.grade == "plain" and m.stance == "asserted"]
    assert named == [winner]


@pytest.mark.parametrize(
    "text", ["Felmouth downs his water.", "He tops up the bottle.", "Strandlow's moves are on."]
)
def test_nobody_won(text: str) -> None:
    assert [m for m in found(ResultMention, text) if m.grade == "plain" and m.winner is not None] == []
