"""Small invented bouts from end to end: what was said, and the log that must come of it."""

from __future__ import annotations

import pytest

from extract.record.model import Record
from tests.made_talk import Line, awards, bout, final, points

START = "Here we go, first period."
HORN = "That's the horn, end of the first period."


def kinds(record: Record) -> list[str]:
    return [e.kind for e in awards(record)]


def test_called_awards_add_up() -> None:
    record = bout(
        START, "Takedown, red! Two points.", "Two-nothing, red.", "Step-out, one, blue.", "Two-one, red."
    )
    assert points(record) == [("red", 2), ("blue", 1)]
    assert kinds(record) == ["takedown", "step_out"]
    assert {e.basis for e in awards(record)} == {"called"}
    assert [s.verdict for s in record.statements] == ["agrees", "agrees"]
    assert [f for f in record.flags if f.severity == "error"] == []
    assert (record.result.winner, record.result.by, record.result.score) == ("red", "points", (2, 1))


def test_a_missed_award_is_inferred_from_later_scores() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (60.0, "A long exchange, and he is through on the edge."),
        (70.0, "That makes it two-two."),
        (80.0, "Two-two on the board."),
    )
    assert final(record) == (2, 2)
    (missed,) = [e for e in awards(record) if e.basis == "inferred"]
    assert (missed.corner, missed.points) == ("blue", 2)
    assert 10.0 <= missed.t_range[0] <= missed.t <= missed.t_range[1] <= 74.0
    assert [f.refs for f in record.flags if f.kind == "uncalled"] == [(missed.id,)]


def test_a_wrong_score_is_flagged_and_does_not_bend_the_board() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "Takedown, blue! Two points.",
        "Two-two.",
        "Step-out, one, red.",
        "Three-two, red.",
        "Four-two, red.",
        "Three-two, red, and they circle.",
        "Still three-two, red.",
    )
    assert final(record) == (3, 2)
    wrong = [s for s in record.statements if s.verdict == "disagrees"]
    assert [(s.text, s.said, s.computed, s.slip) for s in wrong] == [("Four-two", (4, 2), (3, 2), "wrong")]
    (flag,) = [f for f in record.flags if f.kind == "score"]
    assert (flag.text, flag.said, flag.computed, flag.refs) == ("Four-two", (4, 2), (3, 2), (wrong[0].id,))
    assert record.flags[0] == flag


@pytest.mark.parametrize(
    ("said", "value", "slip"),
    [
        ("Two-nothing, Felmouth leads.", (2, 0), "stale"),
        ("Four-two, Strandlow.", (2, 4), "swapped"),
        ("Six-two, red.", (6, 2), "ahead"),
        ("Five-two, red.", (5, 2), "wrong"),
    ],
)
def test_kinds_of_slip(said: str, value: tuple[int, int], slip: str) -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "Takedown, blue! Two points.",
        "Two-two on the board.",
        "Takedown, red! Two points.",
        "Four-two, red.",
        (60.0, said),
        (70.0, "Felmouth leads four-two."),
        (80.0, "Four-two, red."),
        (90.0, "It is still four-two, red."),
    )
    (statement,) = [s for s in record.statements if s.cue == 8]
    assert (statement.said, statement.computed) == (value, (4, 2))
    assert (statement.verdict, statement.slip) == ("disagrees", slip)
    assert final(record) == (4, 2)


def test_a_score_far_from_the_board_is_taken_for_another_ones_and_somebody_is_told() -> None:
    """No wrong score of the labelled bouts is more than two points off the board; the scores of duals and others are."""
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "They circle.",
        "Nineteen to thirteen, Felmouth.",
        "Still two-nothing, red.",
    )
    assert [(s.text, s.verdict) for s in record.statements if s.verdict != "agrees"] == []
    (flag,) = [f for f in record.flags if f.kind == "score_apart"]
    assert (flag.severity, flag.text, flag.said, flag.computed) == (
        "note",
        "Nineteen to thirteen",
        (19, 13),
        (2, 0),
    )


def test_a_replayed_call_counts_once() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "Let's see that again on the replay.",
        "There's the takedown, two points, beautiful.",
        "Two-nothing, red.",
        "Still two-nothing, red.",
    )
    assert points(record) == [("red", 2)]


def test_a_call_said_over_counts_once() -> None:
    record = bout(
        START,
        "Two for red!",
        (6.5, "Two, red, takedown."),
        "Two-nothing, red.",
        "They are back on their feet.",
    )
    assert points(record) == [("red", 2)]


def test_two_and_two_more_and_another_two_are_three() -> None:
    record = bout(
        START,
        "Takedown, two, red!",
        "And two more, red, with the gut wrench!",
        "Another two, red!",
        "Six-nothing, red.",
        "Six-nothing.",
    )
    assert points(record) == [("red", 2)] * 3


def test_three_in_one_sentence() -> None:
    record = bout(
        START, "Two, and two more, another two for red!", "Six-nothing, red.", "Six-nothing, Felmouth."
    )
    assert final(record) == (6, 0)
    assert points(record) == [("red", 2)] * 3


def test_a_waved_off_award_is_not_on_the_board() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (40.0, "Takedown, blue!"),
        (43.0, "No, waved off, no points."),
        (50.0, "Still two-nothing, red."),
        (60.0, "Two-nothing, red."),
    )
    assert points(record) == [("red", 2)]
    assert final(record) == (2, 0)


CHALLENGED = (
    START,
    "Takedown, red! Two points.",
    "Two-nothing, red.",
    (60.0, "Takedown, blue! Two points."),
    (65.0, "Two-two."),
    (70.0, "The red corner throws the brick, they challenge."),
)


def test_a_challenge_won_takes_the_award_off() -> None:
    record = bout(
        *CHALLENGED,
        (110.0, "Red wins the challenge, the two come off the board."),
        (118.0, "Two-nothing, red."),
        (126.0, "Felmouth leads two-nothing."),
    )
    (challenge,) = record.challenges
    assert (challenge.by, challenge.outcome) == ("red", "won")
    (gone,) = [e for e in awards(record) if e.status == "overturned"]
    assert (gone.corner, gone.points) == ("blue", 2)
    assert gone.id in challenge.events
    assert final(record) == (2, 0)
    shown = [(b.red, b.blue) for b in record.board if b.t < 105.0]
    assert shown[-1] == (2, 2)
    assert {s.verdict for s in record.statements} == {"agrees"}


def test_a_challenge_lost_gives_a_point() -> None:
    record = bout(
        *CHALLENGED,
        (110.0, "The challenge is lost, one for blue."),
        (118.0, "Three-two, blue."),
        (126.0, "Strandlow leads three-two."),
    )
    (challenge,) = record.challenges
    assert (challenge.by, challenge.outcome) == ("red", "lost")
    (extra,) = [e for e in awards(record) if e.kind == "challenge_point"]
    assert (extra.corner, extra.points) == ("blue", 1)
    assert challenge.events == (extra.id,)
    assert final(record) == (2, 3)


def test_a_collegiate_challenge_lost_costs_nothing() -> None:
    """NCAA, from memory: a lost video review costs no point."""
    record = bout(
        START,
        "Takedown, red! Three points.",
        "Three-nothing, red.",
        (60.0, "The Marrowick corner throws the brick, they challenge that."),
        (110.0, "The call stands, blue loses the challenge."),
        (118.0, "Three-nothing, red."),
        rules="collegiate",
    )
    assert [c.outcome for c in record.challenges] == ["lost"]
    assert final(record) == (3, 0)


@pytest.mark.parametrize(
    ("score", "board", "outcome"),
    [("Two-nothing, red.", (2, 0), "won"), ("Three-two, blue.", (2, 3), "lost")],
)
def test_an_outcome_unsaid_is_shown_by_the_score(score: str, board: tuple[int, int], outcome: str) -> None:
    record = bout(*CHALLENGED, (115.0, score), (123.0, f"That's the board: {score.lower()}"), (131.0, score))
    assert [c.outcome for c in record.challenges] == [outcome]
    assert final(record) == board
    assert "challenge_unsaid" in {f.kind for f in record.flags}


def test_a_verdict_while_it_is_looked_at_gives_nothing() -> None:
    record = bout(
        *CHALLENGED,
        (82.0, "His heel is on the line there. One for blue."),
        (110.0, "The referee comes back. As it was, and the two stands."),
        (118.0, "Three-two, blue."),
        (126.0, "Strandlow leads three-two."),
    )
    assert [(c.by, c.outcome) for c in record.challenges] == [("red", "lost")]
    assert [e.kind for e in awards(record)][2:] == ["challenge_point"]
    assert final(record) == (2, 3)


def test_the_point_alone_tells_that_a_challenge_is_lost() -> None:
    record = bout(*CHALLENGED, (115.0, "Here he comes. One for blue."), (126.0, "Strandlow leads three-two."))
    assert [(c.by, c.outcome) for c in record.challenges] == [("red", "lost")]
    (extra,) = [e for e in awards(record) if e.kind == "challenge_point"]
    assert (extra.corner, extra.basis) == ("blue", "called")


@pytest.mark.parametrize(
    ("outcome", "result"),
    [
        ("He crosses his arms. He's wiping it.", "won"),
        ("They've turned it round.", "won"),
        ("And they keep the sponge.", "won"),
        ("The arm goes up. It stands.", "lost"),
        ("No. As you were.", "lost"),
    ],
)
def test_an_outcome_in_words_that_are_much_else(outcome: str, result: str) -> None:
    asked = (62.0, "In comes the Kestrel Bay sponge.")
    assert [c.outcome for c in bout(*CHALLENGED[:-1], asked, (110.0, outcome)).challenges] == [result]
    assert bout(*CHALLENGED[:-1], (110.0, outcome)).challenges == ()


def test_a_challenge_without_outcome_is_flagged() -> None:
    record = bout(*CHALLENGED, (80.0, "They look at it on the screen."))
    assert [c.outcome for c in record.challenges] == ["unknown"]
    assert "challenge_open" in {f.kind for f in record.flags}


def test_the_last_score_wins_on_criteria() -> None:
    """UWW: level at equal values and cautions, the last point scored wins."""
    record = bout(
        START,
        "Step-out, one, red.",
        "One-nothing, red.",
        (180.0, HORN),
        (212.0, "Second period, here we go."),
        (260.0, "Step-out, one, blue."),
        (266.0, "One-one, and Strandlow leads on criteria."),
        (393.0, "That's the horn, it's all over! One-one."),
        (398.0, "Strandlow wins on criteria."),
    )
    assert final(record) == (1, 1)
    assert (record.result.winner, record.result.by) == ("blue", "criteria")
    assert [f.kind for f in record.flags if f.severity != "note"] == []


def test_the_bigger_move_wins_on_criteria() -> None:
    """UWW: level, the side with the higher-value points wins."""
    record = bout(
        START,
        "Big throw! Four points, red.",
        "Four-nothing, red.",
        "Takedown, blue! Two points.",
        "Four-two, red.",
        (60.0, "Exposure, two, blue."),
        (66.0, "Four-four on the board."),
        (70.0, "It is four-all."),
    )
    assert final(record) == (4, 4)
    assert (record.result.winner, record.result.by) == ("red", "criteria")


def test_wrong_criteria_are_flagged() -> None:
    record = bout(
        START,
        "Big throw! Four points, red.",
        "Four-nothing, red.",
        "Takedown, blue! Two points.",
        "Four-two, red.",
        (60.0, "Exposure, two, blue."),
        (66.0, "Four-four on the board."),
        (70.0, "It is four-all."),
        (75.0, "Four-four, and Strandlow leads on criteria."),
    )
    assert final(record) == (4, 4)
    (flag,) = [f for f in record.flags if f.kind == "criteria"]
    assert (flag.said, flag.computed) == ("blue", "red")


def test_superiority_ends_the_bout() -> None:
    """UWW: ten points ahead in freestyle."""
    record = bout(
        START,
        "Takedown, two, red!",
        "Gut wrench, two more, red!",
        "Another two, red!",
        "And another two, red!",
        "Eight-nothing, red.",
        "Two more for red, ten-nothing!",
        "That is technical superiority, Felmouth wins it ten-nothing.",
        "Takedown, blue, that was in the semifinal this morning.",
    )
    assert final(record) == (10, 0)
    assert (record.result.winner, record.result.by) == ("red", "superiority")


def test_a_fall_that_nobody_is_named_for_has_no_winner() -> None:
    for corner in ("red", "blue"):
        record = bout(
            (2.0, START),
            (20.0, f"Takedown, {corner}! Two points."),
            (30.0, f"Two-nothing, {corner}."),
            (120.0, "He's got him! Squeeze!"),
            (126.0, "Pinned him! He pinned him! That's the fall!"),
        )
        (fall,) = [e for e in record.events if e.kind == "fall"]
        assert (record.result.winner, record.result.by) == (None, "fall")
        assert (fall.corner, fall.status) == (None, "stands")
        assert fall.confidence > 0.8 > 0.5 >= record.result.confidence
        assert "nobody said for whom" in fall.why
        (flag,) = [f for f in record.flags if f.kind == "winner"]
        assert flag.why == "The bout ended by fall, and nobody said who won."


@pytest.mark.parametrize("corner", ["red", "blue"])
def test_who_has_just_thrown_the_other_to_the_back_wins_by_the_fall(corner: str) -> None:
    record = bout(
        (2.0, START),
        (20.0, "Takedown, red! Two points. Two-nothing."),
        (40.0, "Step-out, blue, one. Two-one."),
        (120.0, f"Throw for four, {corner}!"),
        (126.0, "Still holding, the referee is down there."),
        (138.0, "And that's the fall!"),
    )
    (fall,) = [e for e in record.events if e.kind == "fall"]
    assert (record.result.winner, fall.corner) == (corner, corner)
    assert fall.confidence > 0.7


def test_a_fall_wins_from_behind() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "Exposure, two more, red.",
        "Four-nothing, red.",
        (60.0, "Oh, he is caught! That's a pin! Fall, blue!"),
        (65.0, "Strandlow wins by fall!"),
    )
    assert (record.result.winner, record.result.by) == ("blue", "fall")
    assert record.result.score == (4, 0)


def test_a_disqualification_as_said() -> None:
    record = bout(
        START, "Takedown, red! Two points.", (100.0, "Felmouth is disqualified, Strandlow is the winner.")
    )
    assert (record.result.winner, record.result.by) == ("blue", "disqualification")


def test_control_forces_an_escape() -> None:
    """Collegiate: no takedown from the top position; somebody must have let the other go in between."""
    record = bout(
        START,
        "Takedown, red! Three points.",
        "Three-nothing, red.",
        (60.0, "Takedown, red, again! Three more."),
        (66.0, "Six-one, Felmouth."),
        (75.0, "Six-one, red."),
        rules="collegiate",
    )
    assert final(record) == (6, 1)
    (escape,) = [e for e in awards(record) if e.corner == "blue"]
    assert (escape.kind, escape.points, escape.basis) == ("escape", 1, "inferred")
    assert escape.t < [e.t for e in awards(record) if e.kind == "takedown"][1]


def test_riding_time_at_the_end() -> None:
    """NCAA: a point for a minute or more of advantage."""
    record = bout(
        START,
        "Takedown, red! Three points.",
        "Three-nothing, red.",
        (180.0, HORN),
        (184.0, "Felmouth takes bottom, second period, here we go."),
        (250.0, "Escape, one, Felmouth."),
        (256.0, "Four-nothing, red."),
        (305.0, "That's the horn, end of the second."),
        (308.0, "Strandlow takes bottom, third period, here we go."),
        (428.0, "That's the horn, it's all over!"),
        (432.0, "Riding time point to Felmouth, five-nothing final."),
        (437.0, "Felmouth wins it five-nothing."),
        rules="collegiate",
    )
    assert "riding_time" in kinds(record)
    assert final(record) == (5, 0)
    assert record.result.said_score == (5, 0)


def test_who_was_said_to_win_against_the_score() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (60.0, "Exposure, two more, red."),
        (65.0, "Four-nothing, red."),
        (395.0, "That's the horn, it's all over!"),
        (400.0, "Four-nothing the final score."),
        (402.0, "Your winner, Strandlow!"),
    )
    (flag,) = [f for f in record.flags if f.kind == "winner"]
    assert (flag.severity, flag.said, flag.computed) == ("error", "blue", "red")


def test_a_repaired_score_is_the_one_that_counts() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Three-nothing, red.",
        (13.0, "No, sorry, two-nothing, red."),
        "They circle.",
        "Two-nothing, red.",
    )
    assert final(record) == (2, 0)
    assert [(s.said, s.verdict) for s in record.statements] == [
        ((3, 0), "disagrees"),
        ((2, 0), "agrees"),
        ((2, 0), "agrees"),
    ]


def test_no_talk_of_a_score_is_no_score() -> None:
    record = bout("Good evening and welcome.", "A full hall tonight.")
    assert awards(record) == []
    assert final(record) == (0, 0)
    assert record.statements == ()


def test_an_empty_transcript_gives_an_empty_log() -> None:
    record = bout()
    assert awards(record) == []
    assert [(b.t, b.red, b.blue) for b in record.board] == [(0.0, 0, 0)]


def test_a_told_final_fixes_the_end_of_the_board() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (180.0, "That's the horn, end of the first."),
        (212.0, "Second period, three minutes."),
        (240.0, "Step-out, blue, one point."),
        (392.0, "That's the horn, it's all over!"),
        (396.0, "Two-one, two-one the final, Felmouth wins it."),
        (404.0, "Turned him there, that's a two, that's four-one."),
    )
    assert final(record) == (2, 1)


def test_a_told_final_may_be_far_from_what_was_called() -> None:
    lines: tuple[Line, ...] = (
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (180.0, "That's the horn, end of the first."),
        (212.0, "Second period, three minutes."),
        (240.0, "Step-out, blue, one point."),
        (392.0, "That's the horn, it's all over!"),
    )
    record = bout(*lines, (396.0, "Thirteen-nine the final, Felmouth wins it."))
    assert final(record) == (13, 9)
    assert final(bout(*lines, (396.0, "He won his last bout thirteen-nine."))) == (2, 1)


def test_a_told_final_that_is_put_right_fixes_nothing() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (180.0, "That's the horn, end of the first."),
        (212.0, "Second period, three minutes."),
        (392.0, "That's the horn, it's all over!"),
        (396.0, "Two-nothing the final."),
        (400.0, "No, wait, two-one, it's posted as two-one, for the step-out."),
        (408.0, "Felmouth wins it, two to one."),
    )
    assert final(record) == (2, 1)
