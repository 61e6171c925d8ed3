"""Collegiate and scholastic bouts worked by hand."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from extract.rules import CORNERS, IllegalMove, Move, Outcome, Ruleset, State, get_ruleset

Play = Callable[[Ruleset, str], State]
COLLEGIATE = get_ruleset("collegiate")
SCHOLASTIC = get_ruleset("scholastic")
#: One takedown and one escape in the first period: red leads 3-1 as the third begins from neutral.
THIRD = "period_start; takedown red 3; escape blue 1; period_end; period_start; period_end; period_start"
#: Level at 3-3 as regulation ends.
LEVEL = THIRD + "; penalty_point blue 1; penalty_point blue 1; period_end"
#: No score in the first sudden victory, then two tie-breakers.
TIEBREAKER = LEVEL + "; period_start; period_end; period_start red"


@pytest.mark.parametrize(
    ("text", "top"),
    [
        # Common practice: the scorer of a takedown or reversal is on top, an escape brings neutral.
        ("takedown red 3", "red"),
        ("takedown red 3; reversal blue 2", "blue"),
        ("takedown red 3; escape blue 1", None),
        ("takedown red 3; near_fall red 2; near_fall red 4", "red"),
        ("takedown red 3; stalling_warning blue; penalty_point blue 1", "red"),
        ("takedown red 3; period_end", None),
        ("period_end; period_start blue", "blue"),
        ("period_end; period_start", None),
    ],
)
def test_control(play: Play, text: str, top: str | None) -> None:
    assert play(COLLEGIATE, "period_start; " + text).control == top


@pytest.mark.parametrize(
    ("text", "move"),
    [
        ("period_start", Move("escape", "red", 1)),
        ("period_start", Move("reversal", "red", 2)),
        ("period_start", Move("near_fall", "red", 2)),
        ("period_start; takedown red 3", Move("takedown", "blue", 3)),
        ("period_start; takedown red 3", Move("escape", "red", 1)),
        ("period_start; takedown red 3", Move("reversal", "red", 2)),
        ("period_start; takedown red 3", Move("near_fall", "blue", 2)),
    ],
)
def test_scores_that_the_position_rules_out(play: Play, text: str, move: Move) -> None:
    with pytest.raises(IllegalMove, match=f"not open to {move.corner}, .*(neutral|on top)"):
        COLLEGIATE.apply(play(COLLEGIATE, text), move)


def test_first_period_starts_in_neutral_and_later_ones_by_choice(play: Play) -> None:
    def starts(state: State) -> set[str | None]:
        return {move.corner for move in COLLEGIATE.legal_events(state) if move.kind == "period_start"}

    assert starts(COLLEGIATE.initial()) == {None}
    assert starts(play(COLLEGIATE, "period_start; period_end")) == {None, "red", "blue"}
    assert starts(play(COLLEGIATE, LEVEL)) == {None}  # sudden victory
    assert starts(play(COLLEGIATE, LEVEL + "; period_start; period_end")) == {"red", "blue"}  # tie-breaker


def test_stalling_ladder(play: Play) -> None:
    # Published summaries of the NCAA rules: warning, 1, 1, 2, then disqualification.
    state = play(COLLEGIATE, "period_start")
    seen = []
    while step := [
        m for m in COLLEGIATE.legal_events(state) if m.kind.startswith("stalling") and m.against == "red"
    ]:
        assert len(step) == 1
        seen.append((step[0].kind, step[0].corner, step[0].points))
        state = COLLEGIATE.apply(state, step[0])
    assert seen == [
        ("stalling_warning", None, 0),
        ("stalling_point", "blue", 1),
        ("stalling_point", "blue", 1),
        ("stalling_point", "blue", 2),
    ]
    assert COLLEGIATE.apply(state, Move("disqualification", "blue")).over == Outcome(
        "blue", "disqualification"
    )
    with pytest.raises(IllegalMove, match="ladder"):
        COLLEGIATE.apply(state, Move("stalling_point", "blue", 2, "red"))
    with pytest.raises(IllegalMove, match="ladder"):
        COLLEGIATE.apply(play(COLLEGIATE, "period_start"), Move("stalling_point", "blue", 1, "red"))


def test_a_position_chosen_in_mid_period(play: Play) -> None:
    # NFHS release of 2012: the third stalling penalty gives the other side the choice of position.
    text = "period_start; takedown red 3; stalling_warning red"
    text += "; stalling_point blue 1; stalling_point blue 1; stalling_point blue 2"
    state = play(SCHOLASTIC, text)
    assert state.control == "red"
    neutral = SCHOLASTIC.apply(state, Move("restart"))
    assert neutral.control is None
    assert SCHOLASTIC.apply(neutral, Move("takedown", "blue", 3)).score == (3, 7)
    assert SCHOLASTIC.apply(state, Move("restart", "blue")).control == "blue"
    with pytest.raises(IllegalMove):
        SCHOLASTIC.apply(state, Move("restart", "red"))  # that is how they are


def test_fourth_penalty_disqualifies(play: Play) -> None:
    # Published school summaries of the NFHS penalty chart: 1, 1, 2, then disqualification.
    state = play(SCHOLASTIC, "period_start; penalty_point red 1; penalty_point red 1; penalty_point red 2")
    assert (state.score, state.cautions) == ((4, 0), (0, 3))
    with pytest.raises(IllegalMove, match="next disqualifies"):
        SCHOLASTIC.apply(state, Move("penalty_point", "red", 2, "blue"))
    # Points of false starts, one each time, are of no chart.
    assert SCHOLASTIC.apply(state, Move("penalty_point", "red", 1, "blue")).score == (5, 0)


def test_technical_fall(play: Play) -> None:
    # NFHS changes for 2024-25: a 15-point advantage; a takedown straight into a near fall is scored out.
    text = "period_start; takedown red 3; near_fall red 4; near_fall red 4; escape blue 1; takedown red 3"
    state = play(SCHOLASTIC, text + "; escape blue 1; takedown red 3")
    assert (state.score, state.over) == ((17, 2), Outcome("red", "superiority"))
    assert SCHOLASTIC.legal_events(state) == ()
    assert SCHOLASTIC.apply(state, Move("near_fall", "red", 3)).score == (20, 2)
    with pytest.raises(IllegalMove, match="over"):
        SCHOLASTIC.apply(state, Move("near_fall", "blue", 3))
    with pytest.raises(IllegalMove, match="over"):
        SCHOLASTIC.apply(state, Move("escape", "blue", 1))


def test_fall_counts_from_any_position(play: Play) -> None:
    # Common practice: the wrestler underneath can pin too.
    state = play(COLLEGIATE, "period_start; takedown red 3")
    for corner in CORNERS:
        assert COLLEGIATE.apply(state, Move("fall", corner)).over == Outcome(corner, "fall")


@pytest.mark.parametrize("text", ["period_start", THIRD.rsplit(";", 3)[0], LEVEL + "; period_start"])
def test_no_riding_time_before_the_end_or_in_sudden_victory(play: Play, text: str) -> None:
    state = play(COLLEGIATE, text)
    assert "riding_time" not in {move.kind for move in COLLEGIATE.legal_events(state)}


def test_riding_time_as_the_bout_ends(play: Play) -> None:
    # Published summaries of the NCAA rules: one point, to one side, as the bout ends.
    state = play(COLLEGIATE, THIRD + "; riding_time red 1; bout_end")
    assert (state.score, state.over) == ((4, 1), Outcome("red", "points"))
    with pytest.raises(IllegalMove, match="given already"):
        COLLEGIATE.apply(play(COLLEGIATE, THIRD + "; riding_time red 1"), Move("riding_time", "blue", 1))


def test_riding_time_called_after_the_whistle(play: Play) -> None:
    decided = play(COLLEGIATE, LEVEL + "; riding_time blue 1")
    assert (decided.score, decided.over) == ((3, 4), Outcome("blue", "points"))
    # One point behind, the riding-time point levels the score: the bout goes to overtime after all.
    ended = play(COLLEGIATE, THIRD + "; penalty_point blue 1; period_end")
    assert ended.over == Outcome("red", "points")
    reopened = COLLEGIATE.apply(ended, Move("riding_time", "blue", 1))
    assert (reopened.score, reopened.over) == ((3, 3), None)
    assert Move("period_start") in COLLEGIATE.legal_events(reopened)


def test_scholastic_has_no_riding_time(play: Play) -> None:
    with pytest.raises(IllegalMove, match="no such event"):
        SCHOLASTIC.apply(play(SCHOLASTIC, THIRD), Move("riding_time", "red", 1))


def test_level_bout_is_not_over_and_cannot_be_ended(play: Play) -> None:
    running = play(COLLEGIATE, LEVEL.removesuffix("; period_end"))
    with pytest.raises(IllegalMove, match="level"):
        COLLEGIATE.apply(running, Move("bout_end"))
    ended = play(COLLEGIATE, LEVEL)
    assert (ended.over, COLLEGIATE.outcome(ended)) == (None, None)


def test_sudden_victory_ends_with_the_first_score(play: Play) -> None:
    # State association slides on NFHS overtime (2006-07); NCAA release of June 2021.
    state = play(COLLEGIATE, LEVEL + "; period_start; takedown blue 3")
    assert (state.score, state.over) == ((3, 6), Outcome("blue", "points"))


def test_tiebreakers_are_both_wrestled_in_full(play: Play) -> None:
    # State association slides on NFHS overtime (2006-07): most points over both tie-breakers wins.
    first = play(COLLEGIATE, TIEBREAKER + "; escape blue 1; period_end")
    assert first.over is None
    assert play(
        COLLEGIATE, TIEBREAKER + "; escape blue 1; period_end; period_start blue; period_end"
    ).over == Outcome("blue", "points")
    level = play(
        COLLEGIATE, TIEBREAKER + "; escape blue 1; period_end; period_start blue; escape red 1; period_end"
    )
    assert (level.score, level.over) == ((4, 4), None)


def test_riding_time_of_overtime(play: Play) -> None:
    # NCAA 3.16.4 and case book A.R. 3-11: reckoned again over the tie-breakers, one point at most.
    text = (
        THIRD
        + "; penalty_point blue 1; riding_time blue 1; period_end; period_start; period_end; period_start red"
    )
    first = play(COLLEGIATE, text)
    assert "riding_time" not in {move.kind for move in COLLEGIATE.legal_events(first)}
    after = play(COLLEGIATE, text + "; period_end; period_start blue; period_end; riding_time red 1")
    assert (after.score, after.over) == ((4, 3), Outcome("red", "points"))


def test_riding_out_the_ultimate_tiebreaker(play: Play) -> None:
    # From memory (NFHS 6-7): without a score the offensive wrestler wins; else the first score does.
    ultimate = (
        "period_start; period_end; " * 4
        + "period_start red; period_end; period_start blue; period_end; period_start red"
    )
    assert play(SCHOLASTIC, ultimate + "; period_end").over == Outcome("red", "criteria")
    assert play(SCHOLASTIC, ultimate + "; bout_end").over == Outcome("red", "criteria")
    assert play(SCHOLASTIC, ultimate + "; escape blue 1").over == Outcome("blue", "points")


def test_level_after_all_tiebreakers(play: Play) -> None:
    # A riding-time advantage of a second decides (NCAA 3.16.4), which no event shows.
    overtime = "period_start; period_end; period_start red; period_end; period_start blue; period_end"
    state = play(COLLEGIATE, LEVEL + f"; {overtime}; {overtime}")
    assert state.over == Outcome(None, "unknown")


def test_penalty_in_the_break_of_a_level_bout_decides_it(play: Play) -> None:
    assert play(COLLEGIATE, LEVEL + "; penalty_point red 1").over == Outcome("red", "points")


def test_replay_drops_an_overturned_takedown(play: Play) -> None:
    kept = [
        Move("period_start"),
        Move("near_fall", "red", 4),  # its takedown was overturned; the review of the rest is still to come
        Move("escape", "blue", 1),
        Move("period_end"),
    ]
    state = COLLEGIATE.replay(kept)
    assert (state.score, state.control, state.period, state.over) == ((4, 1), None, 1, None)
