"""Talk that takes sides: who "us" and "them" are (common practice of corners and of parents who film)."""

from __future__ import annotations

import pytest

from extract.bout import extract_bout
from extract.mentions import hear
from extract.mentions.model import ScoreMention
from extract.rules.base import Corner
from tests.made_talk import bout_file, points, transcript

#: Said by somebody of the corner that the takedown is named for; nothing else tells whose "us" is.
PARTISAN = (
    "Here we go, first period.",
    "Takedown, {name}! Two points.",
    "That's two for us.",
    "Two-nothing, us.",
    (60.0, "Out he goes, that's one for them."),
    (66.0, "Two-one, us. We're winning."),
    (100.0, "Another one for them at the edge."),
    (106.0, "Two-two. Level."),
)


@pytest.mark.parametrize(("name", "ours"), [("Felmouth", "red"), ("Strandlow", "blue")])
def test_us_is_the_corner_that_makes_the_likelier_bout(name: str, ours: Corner) -> None:
    theirs = "blue" if ours == "red" else "red"
    lines = [
        line.format(name=name) if isinstance(line, str) else (line[0], line[1].format(name=name))
        for line in PARTISAN
    ]
    talk = transcript(*lines)
    assert hear(talk, "freestyle", bout_file()).cast.home_open
    record = extract_bout(talk, bout_file())
    assert points(record) == [(ours, 2), (theirs, 1), (theirs, 1)]


def test_each_side_is_tried() -> None:
    talk = transcript("Two for us.", "One for them.", "Six-four us.", "Seven-four, them.")
    for side, corner in zip(
        hear(talk, "freestyle", bout_file()).taking_sides(), ("red", "blue"), strict=True
    ):
        assert side.cast.home == corner
        first, second = (m for m in side.mentions if isinstance(m, ScoreMention))
        assert (first.first, second.first) == (corner, "blue" if corner == "red" else "red")


@pytest.mark.parametrize(
    "line", ["Joining us tonight, a full house.", "He gives them nothing to look at.", "All of them are up."]
)
def test_us_and_them_of_any_talk_take_no_side(line: str) -> None:
    talk = transcript("Takedown, red! Two points.", line, line, line)
    assert not hear(talk, "freestyle", bout_file()).cast.home_open
