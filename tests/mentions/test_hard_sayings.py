"""Sentences that were once read wrongly; each failed here before the program was mended."""

from __future__ import annotations

import pytest

from extract.mentions.model import CallMention, ScoreMention
from tests.made_talk import found


@pytest.mark.parametrize("text", ["Felmouth, four-time finalist.", "Felmouth, three-time champion."])
def test_no_points_given(text: str) -> None:
    assert [m for m in found(CallMention, text) if m.points is not None] == []


def test_an_award_that_ties_it() -> None:
    text = "Escape for Felmouth, ties it at one."
    assert [(m.stance, m.corner) for m in found(CallMention, text, "collegiate")] == [("asserted", "red")]
    assert [m.pair for m in found(ScoreMention, text, "collegiate")] == [(1, 1)]


def test_the_first_point() -> None:
    text = "And that's the first point of the bout, to Strandlow."
    assert [(m.points, m.corner) for m in found(CallMention, text)] == [(1, "blue")]


@pytest.mark.parametrize(
    ("text", "kind", "corner"),
    [
        ("Felmouth takes Strandlow down, 2 points!", "takedown", "red"),
        ("Red throws blue, 4 points given!", "throw", "red"),
        ("Red pushes blue out, one point for the step-out.", "step_out", "red"),
        ("Strandlow reverses Felmouth, 1 point!", "reversal", "blue"),
    ],
)
def test_who_does_it_and_to_whom(text: str, kind: str, corner: str) -> None:
    calls = found(CallMention, text)
    assert [(kind in m.kinds, m.corner) for m in calls] == [(True, corner)]


def test_points_on_their_way_to_somebody() -> None:
    calls = found(CallMention, "There it is, throw, and 4 points given to red.")
    assert [(m.points, m.corner, m.tie) for m in calls] == [(4, "red", "attached")]
