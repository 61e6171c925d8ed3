"""Each style's own awards from end to end, and talk that must leave the board alone."""

from __future__ import annotations

import pytest

from tests.made_talk import Line, awards, bout, final, points

START = "Here we go, first period."


def log(*lines: Line, rules: str) -> list[tuple[str, str | None, int]]:
    """Kind, corner and points of the awards that stand."""
    record = bout(*lines, rules=rules)
    return [(e.kind, e.corner, e.points) for e in awards(record) if e.status == "stands"]


def test_greco_passivity_brings_a_point_and_par_terre() -> None:
    assert log(
        START,
        "Passivity on blue, one point red, and he orders par terre.",
        "One-nothing, red.",
        "Gut wrench, two red!",
        "Three-nothing, red.",
        rules="greco",
    ) == [("passivity_point", "red", 1), ("exposure", "red", 2)]


def test_the_activity_clock_runs_out() -> None:
    assert log(
        START,
        (30.0, "Activity clock on Strandlow, thirty seconds."),
        (62.0, "Activity clock runs out, one for red."),
        (67.0, "One-nothing, red."),
        (70.0, "One-nothing, Felmouth."),
        rules="freestyle",
    ) == [("passivity_point", "red", 1)]


def test_the_second_stalling_call_brings_a_point() -> None:
    """NCAA: warning, then a point."""
    assert log(
        START,
        (30.0, "Stalling warning on Strandlow."),
        (62.0, "Stalling again on Strandlow, one point red."),
        (67.0, "One-nothing, red."),
        (70.0, "One-nothing, Felmouth."),
        rules="collegiate",
    ) == [("stalling_point", "red", 1)]


def test_a_reversal_and_back_points() -> None:
    assert log(
        START,
        "Takedown, Felmouth, three points.",
        "Three-nothing, red.",
        (60.0, "Reversal, Strandlow, two!"),
        (65.0, "Three-two, red."),
        (70.0, "Near fall, three, Strandlow!"),
        (75.0, "Five-three, blue."),
        rules="collegiate",
    ) == [("takedown", "red", 3), ("reversal", "blue", 2), ("near_fall", "blue", 3)]


def test_an_escape_and_a_takedown_again() -> None:
    assert log(
        START,
        "Takedown, Felmouth, three points.",
        "Three-nothing, red.",
        (60.0, "Escape, Strandlow, one."),
        (65.0, "Three-one, red."),
        (90.0, "Takedown, Felmouth, three more."),
        (95.0, "Six-one, red."),
        rules="collegiate",
    ) == [("takedown", "red", 3), ("escape", "blue", 1), ("takedown", "red", 3)]


def test_a_technical_fall() -> None:
    """NCAA: a lead of fifteen ends it."""
    record = bout(
        START,
        "Takedown, Felmouth, three points.",
        "Three-nothing, red.",
        (20.0, "Near fall, four, red!"),
        (25.0, "Seven-nothing."),
        (35.0, "Near fall, four more, red!"),
        (40.0, "Eleven-nothing, Felmouth."),
        (50.0, "Near fall, four, red again!"),
        (55.0, "Fifteen-nothing, that's a tech fall, Felmouth wins."),
        rules="collegiate",
    )
    assert final(record) == (15, 0)
    assert (record.result.winner, record.result.by) == ("red", "superiority")


def test_a_challenge_withdrawn_changes_nothing() -> None:
    record = bout(
        START,
        "Takedown, blue! Two points.",
        "Two-nothing, blue.",
        (30.0, "The red corner throws the brick, they challenge."),
        (50.0, "They withdraw the challenge."),
        (60.0, "Two-nothing, blue."),
    )
    assert [(c.by, c.outcome) for c in record.challenges] == [("red", "withdrawn")]
    assert points(record) == [("blue", 2)]


def test_one_challenge_lost_and_one_won() -> None:
    record = bout(
        START,
        "Takedown, red, two points!",
        "Two-nothing, red.",
        (30.0, "The blue corner throws the brick, they challenge."),
        (70.0, "Challenge lost, one for red."),
        (78.0, "Three-nothing, red."),
        (100.0, "Takedown, blue, two!"),
        (105.0, "Three-two, red."),
        (110.0, "The red corner throws the brick, they challenge that."),
        (150.0, "Call overturned, the two comes off."),
        (158.0, "Three-nothing, red."),
        (165.0, "Three-nothing."),
    )
    assert [(c.by, c.outcome) for c in record.challenges] == [("blue", "lost"), ("red", "won")]
    assert points(record) == [("red", 2), ("red", 1)]
    assert {s.verdict for s in record.statements} == {"agrees"}


def test_a_challenge_that_is_good_is_won() -> None:
    record = bout(
        START,
        "Step-out, one, blue.",
        "One-nothing, blue.",
        (30.0, "The red corner throws the brick, they challenge, they want two for exposure."),
        (80.0, "Challenge is good! They give two to red."),
        (88.0, "Two-one, red."),
        (95.0, "Two-one, Felmouth."),
    )
    assert [(c.by, c.outcome) for c in record.challenges] == [("red", "won")]


def test_a_greco_point_goes_to_the_side_that_was_not_passive() -> None:
    record = bout(
        START,
        "Passivity against Strandlow, one point.",
        "One-nothing, red.",
        "One-nothing, Felmouth.",
        rules="greco",
    )
    assert points(record) == [("red", 1)]
    assert {s.verdict for s in record.statements} == {"agrees"}


ONLY_TALK = [
    "That would have been two for blue.",
    "Coach says two, referee says nothing.",
    "Strandlow wanted two there.",
    "I thought that was two for blue.",
    "They should give him two for that.",
    "He gave up a takedown in the last match.",
    "Red is the two-time champion.",
    "Felmouth's third takedown attempt.",
    "Two quick shots from blue.",
    "Felmouth beat him ten-two when they wrestled in the fall.",
    "He is four and oh here in this hall.",
    "Remember it takes ten to end it.",
    "Strandlow scores first usually, not today.",
    "They were tied two-two in their last one.",
    "It was 2-2 with ten seconds left when they met last year.",
    "Felmouth on a six-nothing run this morning.",
]


@pytest.mark.parametrize("text", ONLY_TALK)
def test_talk_leaves_the_board_alone(text: str) -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        text,
        "They circle in the center.",
        "Two-nothing, red.",
        "Still two-nothing.",
    )
    assert points(record) == [("red", 2)]
    assert [s.cue for s in record.statements] == [3, 6, 7]
    assert record.challenges == ()


def test_a_choice_after_the_third_stalling_penalty() -> None:
    record = bout(
        (0.0, "Whistle, first period."),
        (20.0, "Takedown red, three. Three-nothing."),
        (35.0, "Stalling, red, that's the warning."),
        (50.0, "Stalling again on red, one point blue. Three-one."),
        (65.0, "Stalling red, third call, another point for blue. Three-two."),
        (
            80.0,
            "Stalling red, two points blue and his choice of position! Four-three blue. He chooses neutral.",
        ),
        (92.0, "Takedown blue! Three more. Seven-three."),
        rules="scholastic",
    )
    kinds = [(e.kind, e.points) for e in record.events if e.kind not in ("period_start", "period_end")]
    assert kinds[-4:] == [("stalling_point", 1), ("stalling_point", 2), ("restart", 0), ("takedown", 3)]
    assert all(e.basis == "called" for e in record.events)
    assert not [f for f in record.flags if f.severity == "error"]
