"""Numbers that are no score of the bout, words that take a score back, and how far off a wrong score is."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from extract.log.hypothesis import Hypothesis, Said, SaidHistory
from extract.log.model import Model
from extract.log.other_numbers import OtherNumbers
from extract.log.parameters import default_parameters
from extract.log.uncalled_events import UncalledEvents
from extract.mentions.model import ScoreMention
from extract.rules import get_ruleset
from extract.rules.base import Move
from tests.made_talk import bout, points

RULES = get_ruleset("freestyle")
MODEL = Model(RULES, default_parameters(), UncalledEvents(RULES, default_parameters()))
SCORE = ScoreMention(0, 2, 30.0, "asserted", "hyphen", (3, 0), "red", "attached")


def reading() -> Hypothesis:
    """Red leads 4-0 after 2-0."""
    state = RULES.replay([Move("period_start"), Move("takedown", "red", 2), Move("exposure", "red", 2)])
    return Hypothesis(0.0, state, boards=((0.0, (0, 0)), (10.0, (2, 0)), (20.0, (4, 0))))


def no_score(mention: ScoreMention) -> float:
    return OtherNumbers(mention, MODEL).no_score(tuple(score for _, score in reading().boards))


def test_who_tells_of_the_past_tells_of_an_earlier_board() -> None:
    told = replace(SCORE, stance="recalled")
    earlier, other = replace(told, pair=(2, 0)), replace(told, pair=(3, 1))
    assert no_score(earlier) > no_score(other) + 1


def test_who_supposes_adds_an_award_to_the_board() -> None:
    supposed = replace(SCORE, stance="hypothetical")
    more, other = replace(supposed, pair=(6, 0)), replace(supposed, pair=(3, 1))
    assert no_score(more) > no_score(other) + 1


def test_words_of_repair_speak_for_a_slip_before_them() -> None:
    h = reading()
    h.said = SaidHistory(Said(0, 27.0, (4, 1), (4, 0), "wrong"), None)
    repaired = replace(SCORE, pair=(4, 0), repair=("word of repair", "opens with repair"))
    slipped, right = OtherNumbers(repaired, MODEL).taken_back(h, (4, 0))
    assert slipped > 0 > right
    assert OtherNumbers(repaired, MODEL).taken_back(h, (4, 1)) == (0.0, 0.0)
    assert OtherNumbers(replace(repaired, t=60.0), MODEL).taken_back(h, (4, 0)) == (0.0, 0.0)


@pytest.mark.parametrize("style", ["freestyle", "greco", "collegiate"])
def test_all_wrong_scores_together_are_one(style: str) -> None:
    rules = get_ruleset(style)
    model = Model(rules, default_parameters(), UncalledEvents(rules, default_parameters()))
    far = range(-45, 46)
    total = sum(math.exp(model.wrong(red, blue)) for red in far for blue in far if red or blue)
    assert total == pytest.approx(1.0, abs=0.03)
    ahead = sum(2 * math.exp(model.ahead(by)) for by in (1, 2, 3, 4, 5))
    assert ahead == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize(
    ("red", "blue", "kind"),
    [
        (1, 0, "one_more"),
        (0, -1, "one_less"),
        (0, 2, "more"),
        (-4, 0, "less"),
        (-2, 2, "turned"),
        (3, 0, "few"),
        (1, 1, "few"),
        (2, 3, "wild"),
        (6, 0, "wild"),
    ],
)
def test_how_a_wrong_score_differs_from_the_board(red: int, blue: int, kind: str) -> None:
    # Freestyle gives one, two, four and five points at a time (wrestling rules of the international federation).
    assert MODEL.difference(red, blue) == kind


def test_an_award_too_many_is_likelier_than_numbers_that_no_award_makes() -> None:
    assert MODEL.wrong(1, 0) > MODEL.wrong(2, 0) > MODEL.wrong(3, 0)
    assert MODEL.wrong(-2, 2) > MODEL.wrong(-3, 1)
    assert MODEL.wrong(5, 5) > MODEL.wrong(9, 9)


@pytest.mark.parametrize(
    "taken_back_by",
    [
        "No, no, look at the board. Four-two, red.",
        "Four-two, Felmouth, it's on the wall.",
        "You've missed one. It's four-two, red.",
    ],
)
def test_a_score_taken_back_was_old_and_the_award_came_before_it(taken_back_by: str) -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "Step-out, blue, one point.",
        "Two-one, red.",
        "Step-out, blue, one point.",
        "Two-two.",
        (70.0, "They tumble over the edge by the table."),
        (76.0, "Two-two still."),
        (79.0, taken_back_by),
        (100.0, "Four-two, red."),
    )
    (slip,) = [s for s in record.statements if s.verdict == "disagrees"]
    assert (slip.t, slip.said, slip.slip) == (76.0, (2, 2), "stale")
    assert points(record)[-1] == ("red", 2)


def test_an_old_score_shows_what_nobody_called_before_the_last_call() -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, blue! Two points.",
        "Two-nothing, blue.",
        (60.0, "A tumble over there, I could not see it for the table."),
        (80.0, "Step-out, red, one point!"),
        (84.0, "So that is four-nothing, blue."),
        (110.0, "Four-one, blue."),
        (120.0, "Four-one to Strandlow."),
    )
    assert points(record) == [("blue", 2), ("blue", 2), ("red", 1)]
    (slip,) = [s for s in record.statements if s.verdict == "disagrees"]
    assert (slip.said, slip.computed, slip.slip) == ((0, 4), (1, 4), "stale")


def test_a_score_that_counted_an_award_since_waved_off_was_ahead() -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, blue! Two points.",
        "Two-nothing, blue.",
        (40.0, "Exposure, two more, Strandlow!"),
        (44.0, "So that is four-nothing, blue."),
        (50.0, "No, the referee is waving it off, nothing given."),
        (58.0, "Two-nothing, blue, it stays."),
    )
    assert points(record) == [("blue", 2)]
    (slip,) = [s for s in record.statements if s.verdict == "disagrees"]
    assert (slip.t, slip.said, slip.slip) == (44.0, (0, 4), "ahead")


def test_a_whistle_heard_late_does_not_begin_the_bout_after_its_first_call() -> None:
    record = bout(
        "Takedown, red! Two points.", "Two-nothing, red.", (60.0, "He will be glad of the whistle.")
    )
    assert [e.t for e in record.events if e.kind == "takedown"] == [0.0]


def test_a_forgotten_award_told_of_is_no_new_one() -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, blue! Two points.",
        "Two-nothing, blue.",
        (40.0, "They have given Felmouth one for the reversal."),
        (50.0, "The board has two-one, blue, I forgot the reversal."),
        (60.0, "Two-one, Strandlow."),
    )
    assert points(record) == [("blue", 2), ("red", 1)]
