"""What comes next under the rules.

Lead for superiority and criteria at a level score: UWW, International Wrestling Rules (freestyle: ten points ahead;
the last technical point where the values of the holds and the cautions are the same), from memory.
"""

from __future__ import annotations

from extract.live.model import Board
from tests.live.test_running import running


def board(*lines: tuple[float, str]) -> Board:
    found = running((0.0, "Felmouth in red, Strandlow in blue, and we are under way."), *lines).board
    assert found is not None
    return found


def test_what_a_takedown_and_a_step_out_would_make_it() -> None:
    now = board(
        (20.0, "Takedown, two points for red."), (24.0, "Two-nothing Felmouth."), (30.0, "They circle.")
    )
    told = {(would.kind, would.corner): (would.score, would.leader) for would in now.would_be}
    assert told == {
        ("takedown", "red"): ((4, 0), "red"),
        ("takedown", "blue"): ((2, 2), "blue"),
        ("step_out", "red"): ((3, 0), "red"),
        ("step_out", "blue"): ((2, 1), "red"),
    }
    assert "Strandlow's takedown: 2-2, Strandlow on criteria" in [would.text for would in now.would_be]
    assert now.needs == ("Strandlow needs 2 points to be level, 3 to lead",)


def test_near_the_lead_for_superiority_it_is_told_what_ends_the_bout() -> None:
    now = board(
        (20.0, "Takedown, two points for red. Two-nothing Felmouth."),
        (40.0, "And a big throw, four points for red. Six-nothing Felmouth."),
        (60.0, "Exposure, two more for red. Eight-nothing Felmouth."),
        (70.0, "They are back in the centre."),
    )
    assert now.score == (8, 0)
    assert "Felmouth needs 2 points to end it (10 ahead)" in now.needs
    assert [w.ends_bout for w in now.would_be if (w.kind, w.corner) == ("takedown", "red")] == [True]


def test_at_a_level_score_the_criterion_is_told() -> None:
    now = board(
        (20.0, "Takedown, two points for red. Two-nothing Felmouth."),
        (60.0, "Takedown, two points for blue. Two-two."),
        (70.0, "They circle."),
    )
    assert (now.score, now.leader, now.leads_by) == ((2, 2), "blue", "criteria")
    assert now.why.startswith("level at 2-2")
    assert now.needs == ("Felmouth needs 1 point to lead",)


def test_the_clock_runs_on_from_the_time_that_was_said() -> None:
    now = board((60.0, "Two minutes left in the first period."), (90.0, "They circle in the middle."))
    assert now.period == 1
    assert now.clock_s is not None
    assert now.clock_uncertainty_s is not None
    assert abs(now.clock_s - (120 - (now.t - 60))) <= now.clock_uncertainty_s + 3


def test_a_challenge_that_is_lost_leaves_none() -> None:
    now = board(
        (20.0, "Takedown, two points for red. Two-nothing Felmouth."),
        (30.0, "Blue corner throws the challenge, they want it looked at."),
        (70.0, "The challenge is lost, the call stands, one point for red."),
        (74.0, "Three-nothing Felmouth."),
        (80.0, "They circle."),
    )
    assert now.score == (3, 0)
    assert (now.red.challenges, now.blue.challenges) == (1, 0)
