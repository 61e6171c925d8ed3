"""Points as they are told in passing, and numbers that are none. The sentences are our own; how such things are said is
common practice."""

from __future__ import annotations

import pytest

from extract.mentions.model import CallMention
from tests.made_talk import found, heard

#: Felmouth is in red, Strandlow in blue: text, points, whose they are.
TOLD = [
    # Whose points it is by grammar: who gives them up is not who gets them.
    ("Felmouth gave up two there.", 2, "blue"),
    ("Strandlow gives up a one.", 1, "red"),
    ("Two points against Felmouth.", 2, "blue"),
    ("Two, Felmouth is taken down.", 2, "blue"),
    ("Put the one up for Strandlow.", 1, "blue"),
    ("They put two up on the board for Felmouth.", 2, "red"),
    ("Felmouth scores one off the edge.", 1, "red"),
    # Somebody's points, and points back.
    ("That's their two, Strandlow.", 2, "blue"),
    ("They give him the two.", 2, None),
    ("One on the board.", 1, None),
    ("And two back the other way.", 2, None),
    # Written by ear.
    ("Too more for Strandlow!", 2, "blue"),
    ("To for Felmouth.", 2, "red"),
    ("Another to for Felmouth.", 2, "red"),
]


@pytest.mark.parametrize(("text", "given", "corner"), TOLD)
def test_points_told(text: str, given: int, corner: str | None) -> None:
    told = [(m.points, m.corner) for m in found(CallMention, text) if m.stance == "asserted" and m.points]
    assert told == [(given, corner)]


@pytest.mark.parametrize(
    "text", ["that's two gotta be whoa", "oh that's two and he's still on him", "he gets two oh my word"]
)
def test_points_before_a_new_thought_without_marks(text: str) -> None:
    assert [m.points for m in found(CallMention, text)] == [2]


def test_points_said_again_in_the_next_caption_are_no_score() -> None:
    talk = heard("strandlow scores two", "two we will take that")
    assert [(m.points, m.corner) for m in talk.mentions if isinstance(m, CallMention)][:1] == [(2, "blue")]


NO_POINTS = [
    # Ties and grips.
    "It's 2 - on - one, he likes that.",
    "He's got two on 1 now.",
    "They're two-on-won again.",
    # Counts up and down.
    "One. Two. Three. He's got to hold it.",
    "And it's five... four... three... and he holds on.",
    "Count along, one, two, three, four.",
    # How far apart they are, and what is missing.
    "It's a two-score match.",
    "He's in a four-point hole.",
    "It's a match of one point.",
    "That's two big throws away from it.",
    "Go and get one.",
    "He can get two here.",
    "Best of three, this.",
    "Somebody gets two of the fingers.",
]


@pytest.mark.parametrize("text", NO_POINTS)
def test_a_number_that_is_no_points(text: str) -> None:
    assert [m for m in found(CallMention, text) if m.points is not None and m.stance == "asserted"] == []


#: Kinds that are counted, or missing, are no award.
NO_KIND = [
    "Three takedowns for Felmouth in all.",
    "He's one takedown off.",
    "That is a takedown away.",
    "Two good throws short of it.",
]


@pytest.mark.parametrize("text", NO_KIND)
def test_kinds_counted_or_missing_are_no_award(text: str) -> None:
    assert [m for m in found(CallMention, text) if m.stance == "asserted"] == []


NARRATED = [
    ("freestyle", "Felmouth opens with a takedown.", "takedown", "red"),
    ("freestyle", "Strandlow answers with a step-out.", "step_out", "blue"),
    ("freestyle", "Felmouth finishes the single.", "takedown", "red"),
    ("collegiate", "Strandlow comes straight back with a reversal.", "reversal", "blue"),
]


@pytest.mark.parametrize(("rules", "text", "kind", "corner"), NARRATED)
def test_an_award_narrated(rules: str, text: str, kind: str, corner: str) -> None:
    told = [(m.kinds, m.corner, m.tie) for m in found(CallMention, text, rules)]
    assert told == [((kind,), corner, "attached")]


#: What is said right before or behind tells whose it is, where the name beside it does not.
OWNED = [
    ("Point, Felmouth!", None, 1, "red"),
    ("So there's an additional point to Strandlow.", None, 1, "blue"),
    ("Passivity point to Felmouth.", "passivity_point", None, "red"),
    ("Stepped out, that's Felmouth's.", "step_out", None, "red"),
    ("Strandlow's reversed him.", "reversal", None, "blue"),
    ("He's in on Strandlow's leg. Runs it. Two!", None, 2, "red"),
    ("He lifts Felmouth's ankle, he's through, that's two.", None, 2, "blue"),
    ("That's Strandlow's back!", "exposure", None, "red"),
    ("And the referee has two up, Felmouth.", None, 2, "red"),
]


@pytest.mark.parametrize(("text", "kind", "given", "corner"), OWNED)
def test_whose_it_is(text: str, kind: str | None, given: int | None, corner: str) -> None:
    told = [(m.kinds, m.points, m.corner) for m in found(CallMention, text) if m.stance == "asserted"]
    assert told == [((kind,) if kind else (), given, corner)]


def test_who_must_go_down_did_not_get_the_point() -> None:
    (call,) = found(
        CallMention, "It's confirmed, one point, and down he goes in par terre, Strandlow.", "greco"
    )
    assert (call.points, call.corner) == (1, "red")


@pytest.mark.parametrize("text", ["shoves him and that's one a one", "the referee has two up and they go on"])
def test_points_shown_without_marks(text: str) -> None:
    assert [m.points for m in found(CallMention, text)] == [1 if "one" in text else 2]


def test_points_before_a_score_in_the_next_caption_are_not_counted() -> None:
    talk = heard("Takedown Strandlow, two!", "Three-two, Felmouth.", "And that is one for red!", "Four-two.")
    assert [m.points for m in talk.mentions if isinstance(m, CallMention)] == [2, 1]
