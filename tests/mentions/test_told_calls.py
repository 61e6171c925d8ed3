"""Awards that are told by what happens, by offence or by grammar, and numbers that count something else. The sentences are
our own; how such things are said is common practice."""

from __future__ import annotations

import pytest

from extract.mentions.model import CallMention
from tests.made_talk import found, unmarked

#: Felmouth is in red, Strandlow in blue: rules, text, the kind told, whose it is.
TOLD = [
    # Who is out gives the other one the point.
    ("freestyle", "Strandlow's heel is over the line.", "step_out", "red"),
    ("freestyle", "The Strandlow heel is on the wood.", "step_out", "red"),
    ("freestyle", "That's Strandlow's toe that went.", "step_out", "red"),
    ("freestyle", "Both of Felmouth's feet are right out.", "step_out", "blue"),
    ("freestyle", "Felmouth's boots clearly off the mat.", "step_out", "blue"),
    ("greco", "The red foot was out of bounds.", "step_out", "blue"),
    ("greco", "Felmouth backs himself out of the circle.", "step_out", "blue"),
    ("greco", "Strandlow's hand touched over the line.", "step_out", "red"),
    ("freestyle", "Strandlow is pushed out.", "step_out", "red"),
    ("freestyle", "Step-out, Strandlow gets driven out there.", "step_out", "red"),
    ("freestyle", "Felmouth walks him right out.", "step_out", "red"),
    ("freestyle", "Felmouth drives Strandlow straight off the mat.", "step_out", "red"),
    # Whose back touched, or who was taken down, did not score.
    ("freestyle", "Strandlow's back touched there.", "exposure", "red"),
    ("freestyle", "Felmouth's shoulders came right across.", "exposure", "blue"),
    ("greco", "Strandlow goes over on his own back.", "exposure", "red"),
    ("freestyle", "Felmouth was taken down there.", "takedown", "blue"),
    ("freestyle", "Strandlow gets taken down again.", "takedown", "red"),
    ("freestyle", "A takedown on Strandlow.", "takedown", "red"),
    ("collegiate", "Felmouth lets him up.", "escape", "blue"),
    ("collegiate", "Felmouth cuts him loose.", "escape", "blue"),
    ("collegiate", "They let Strandlow go.", "escape", "blue"),
    ("collegiate", "Felmouth gives him the escape.", "escape", "blue"),
    ("collegiate", "Strandlow gets up and out.", "escape", "blue"),
    ("collegiate", "Strandlow's hips turn, and he's away.", "escape", "blue"),
    # An offence, and what comes of it.
    ("greco", "Passive, Strandlow, and down he goes in par terre.", "passivity_point", "red"),
    ("greco", "He gives Felmouth the passive, par terre ordered.", "passivity_point", "blue"),
]

#: What is like it, and no award.
NOT_TOLD = [
    ("freestyle", "Felmouth's head is outside on the single."),
    ("freestyle", "Turn the foot out and sit."),
    ("freestyle", "His feet went right over him in the throw."),
    ("greco", "Back on the line they go."),
    ("collegiate", "The first one's free."),
    ("collegiate", "As he works free, no, not yet."),
    ("collegiate", "He will let him up soon."),
    ("collegiate", "Felmouth is cutting him off."),
]


@pytest.mark.parametrize(("rules", "text"), NOT_TOLD)
def test_no_award_is_told(rules: str, text: str) -> None:
    assert [m for m in found(CallMention, text, rules) if m.grade.startswith(("verb", "kind"))] == []


@pytest.mark.parametrize(("rules", "text", "kind", "corner"), TOLD)
def test_an_award_told_by_what_happens(rules: str, text: str, kind: str, corner: str) -> None:
    told = [(m.kinds, m.corner) for m in found(CallMention, text, rules) if m.stance == "asserted"]
    assert told == [((kind,), corner)]


@pytest.mark.parametrize(("rules", "text", "kind", "corner"), TOLD)
def test_an_award_told_by_what_happens_without_marks(rules: str, text: str, kind: str, corner: str) -> None:
    told = [(m.kinds, m.corner) for m in found(CallMention, unmarked(text), rules) if m.stance == "asserted"]
    assert told == [((kind,), corner)]
