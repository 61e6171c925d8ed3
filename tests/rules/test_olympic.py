"""Freestyle and Greco-Roman bouts worked by hand."""

from __future__ import annotations

import pickle
import subprocess
import sys
from collections.abc import Callable

import pytest

from extract.rules import IllegalMove, Move, Outcome, Ruleset, State, get_ruleset
from extract.rules.family import Family

Play = Callable[[Ruleset, str], State]
Moves = Callable[[str], list[Move]]
FREESTYLE = get_ruleset("freestyle")
GRECO = get_ruleset("greco")
TWO = "period_start; {}; period_end; period_start; {}; bout_end"


@pytest.mark.parametrize(
    ("first", "second", "score", "outcome"),
    [
        ("takedown red 2", "step_out blue 1", (2, 1), Outcome("red", "points")),
        # USA Wrestling, Rule Book & Guide to Wrestling (2021), end of the bout: level scores go by the
        # highest value actions, then the fewest cautions, then the last point scored.
        ("throw red 4", "takedown blue 2; takedown blue 2", (4, 4), Outcome("red", "criteria")),
        ("throw red 5", "throw blue 4; step_out blue 1", (5, 5), Outcome("red", "criteria")),
        ("takedown red 2", "step_out blue 1; step_out blue 1", (2, 2), Outcome("red", "criteria")),
        ("takedown red 2", "takedown blue 2", (2, 2), Outcome("blue", "criteria")),
        ("caution red 1", "step_out blue 1", (1, 1), Outcome("red", "criteria")),
        ("step_out blue 1", "caution red 1", (1, 1), Outcome("red", "criteria")),
        ("step_out red 1", "step_out blue 1", (1, 1), Outcome("blue", "criteria")),
        # The value of a hold goes before cautions, cautions before the last point (same source).
        ("takedown red 2; caution blue 1", "step_out blue 1", (2, 2), Outcome("red", "criteria")),
        # UWW rules of January 2026, Art. 29: the last technical point; passivity and lost challenges are none.
        (
            "step_out red 1",
            "passivity_warning red; passivity_point blue 1",
            (1, 1),
            Outcome("red", "criteria"),
        ),
        ("step_out red 1", "challenge_point blue 1", (1, 1), Outcome("red", "criteria")),
        # The highest value, then more of it, then cautions (same article): nothing is said of the next value.
        (
            "throw red 4; step_out red 1; caution red 1",
            "throw blue 4; takedown blue 2",
            (6, 6),
            Outcome("red", "criteria"),
        ),
    ],
)
def test_bouts_to_the_end(
    play: Play, first: str, second: str, score: tuple[int, int], outcome: Outcome
) -> None:
    state = play(FREESTYLE, TWO.format(first, second))
    assert (state.score, state.over) == (score, outcome)


@pytest.mark.parametrize(
    "second", ["passivity_warning red; passivity_point blue 1", "challenge_point blue 1"]
)
def test_before_2026_any_last_point_decides(play: Play, second: str) -> None:
    # UWW rules of January 2023, Art. 29: the last score.
    old = get_ruleset("freestyle", "2023")
    assert play(old, TWO.format("step_out red 1", second)).over == Outcome("blue", "criteria")


def test_the_action_that_reached_superiority_is_finished(play: Play) -> None:
    # UWW rules of January 2023 and 2026, Art. 18, 27 and 43: stopped only in neutral, the counter counts.
    ten = play(FREESTYLE, "period_start; throw red 4; throw red 4; takedown red 2")
    assert ten.over == Outcome("red", "superiority")
    assert FREESTYLE.legal_events(ten) == ()
    countered = FREESTYLE.apply(ten, Move("exposure", "blue", 2))
    assert (countered.score, countered.over) == ((10, 2), None)
    assert FREESTYLE.apply(ten, Move("fall", "blue")).over == Outcome("blue", "fall")
    assert FREESTYLE.apply(ten, Move("exposure", "red", 2)).over == Outcome("red", "superiority")


def test_a_lead_taken_back_by_a_lost_challenge_ends_nothing(play: Play) -> None:
    ten = play(FREESTYLE, "period_start; throw red 5; throw red 5")
    after = FREESTYLE.apply(ten, Move("challenge_point", "blue", 1))
    assert (after.score, after.over) == ((10, 1), None)
    assert FREESTYLE.legal_events(after)


def test_both_may_lose(play: Play) -> None:
    # UWW rules, Art. 41: both disqualified, injured or absent, 0:0.
    state = play(FREESTYLE, "period_start; takedown red 2; disqualification")
    assert state.over == Outcome(None, "disqualification")
    victory = FREESTYLE.victory(state.over, state)
    assert victory is not None
    assert (victory.code, victory.points) == ("2DSQ", (0, 0))


@pytest.mark.parametrize("move", [Move("banana"), Move("takedown", "green", 2)])  # type: ignore[arg-type]
def test_replay_knows_only_its_kinds_and_corners(move: Move) -> None:
    with pytest.raises(IllegalMove):
        FREESTYLE.replay([Move("period_start"), move])


def test_end_of_last_period_is_the_end_of_the_bout(play: Play) -> None:
    text = TWO.format("takedown red 2", "step_out blue 1")
    assert play(FREESTYLE, text.replace("bout_end", "period_end")).over == Outcome("red", "points")


def test_nobody_scored(play: Play) -> None:
    state = play(FREESTYLE, "period_start; period_end; period_start")
    assert FREESTYLE.outcome(state) is None
    assert FREESTYLE.apply(state, Move("bout_end")).over == Outcome(None, "unknown")


def test_criteria_are_for_level_scores_only(play: Play) -> None:
    assert FREESTYLE.criteria(play(FREESTYLE, "period_start; takedown red 2; step_out blue 1")) is None
    assert FREESTYLE.criteria(FREESTYLE.initial()) is None


@pytest.mark.parametrize(
    ("second", "winner"),
    [("step_out blue 1", "red"), ("step_out blue 1; step_out red 1; step_out blue 1", "blue")],
)
def test_first_point_at_one_all_in_the_greco_trial(play: Play, second: str, winner: str) -> None:
    # UWW announcement of 19 June 2025: at 1-1 the first scorer wins; other level scores as before.
    trial = get_ruleset("greco", "2025-trial")
    assert play(trial, TWO.format("step_out red 1", second)).over == Outcome(winner, "criteria")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rules", "text", "over"),
    [
        # UWW: technical superiority at ten points in freestyle, eight in Greco-Roman.
        (FREESTYLE, "throw red 4; exposure red 2; exposure red 2; step_out red 1", None),
        (
            FREESTYLE,
            "throw red 4; exposure red 2; exposure red 2; takedown red 2",
            Outcome("red", "superiority"),
        ),
        (FREESTYLE, "takedown red 2; throw blue 5; throw blue 5", None),
        (
            FREESTYLE,
            "takedown red 2; throw blue 5; throw blue 5; takedown blue 2",
            Outcome("blue", "superiority"),
        ),
        (GRECO, "throw red 5; takedown red 2", None),
        (GRECO, "throw red 5; takedown red 2; step_out red 1", Outcome("red", "superiority")),
        (GRECO, "throw red 4; exposure red 2; caution red 2", Outcome("red", "superiority")),
        # A fall ends the bout whatever the score (published summaries of the UWW rules).
        (FREESTYLE, "takedown red 2; fall blue", Outcome("blue", "fall")),
        (FREESTYLE, "injury blue", Outcome("blue", "injury")),
        # From memory: the third caution of one side is disqualification.
        (FREESTYLE, "caution red 1; caution red 1; caution blue 1", None),
        (FREESTYLE, "caution red 1; caution red 1; caution red 1", Outcome("red", "disqualification")),
    ],
)
def test_ends_at_once(play: Play, rules: Ruleset, text: str, over: Outcome | None) -> None:
    state = play(rules, "period_start; " + text)
    assert state.over == over
    assert (rules.legal_events(state) == ()) is (over is not None)


@pytest.mark.parametrize(
    ("edition", "scorer", "clock"),
    [
        ("2018", "red", None),  # UWW inactivity procedure: a score by either ends the 30 seconds
        ("2018", "blue", None),
        ("2022", "red", None),  # UWW announcement, January 2022: only the passive side's score does
        ("2022", "blue", "red"),
    ],
)
def test_who_ends_the_activity_clock(play: Play, edition: str, scorer: str, clock: str | None) -> None:
    rules = get_ruleset("freestyle", edition)
    state = play(rules, f"period_start; passivity_warning red; activity_clock_start red; takedown {scorer} 2")
    assert state.activity == clock


def test_passivity_ladder_in_freestyle(play: Play) -> None:
    # UWW inactivity procedure: verbal warning, then the clock, then a point if nothing is scored.
    point = Move("passivity_point", "blue", 1, "red")
    state = play(FREESTYLE, "period_start")
    with pytest.raises(IllegalMove, match="red was neither warned nor put on the activity clock"):
        FREESTYLE.apply(state, point)
    on_clock = play(FREESTYLE, "period_start; activity_clock_start red")
    after = FREESTYLE.apply(on_clock, point)
    assert (after.score, after.activity, after.penalties) == ((0, 1), None, (1, 0))
    # Lenient: the start of the clock may have gone unmentioned.
    assert play(FREESTYLE, "period_start; passivity_warning red; passivity_point blue 1").score == (0, 1)


def test_caution_is_no_score_for_the_activity_clock(play: Play) -> None:
    assert play(FREESTYLE, "period_start; activity_clock_start red; caution red 1").activity == "red"


def test_new_period_ends_the_activity_clock(play: Play) -> None:
    text = "period_start; activity_clock_start red; period_end"
    assert play(FREESTYLE, text).activity == "red"
    assert play(FREESTYLE, text + "; period_start").activity is None


def test_passivity_in_greco(play: Play) -> None:
    # UWW announcement of 2 February (2023): first and second passivity of a bout a point, later ones none.
    state = play(GRECO, "period_start; passivity_point blue 1; passivity_point red 1")
    assert state.score == (1, 1)
    with pytest.raises(IllegalMove, match="no point after the first 2"):
        GRECO.apply(state, Move("passivity_point", "red", 1, "blue"))
    assert GRECO.apply(state, Move("passivity_warning", None, 0, "blue")).warnings == (0, 1)


def test_a_lost_challenge_is_spent(play: Play) -> None:
    # From memory: one challenge a side, kept when won, a point to the other side when lost.
    state = play(FREESTYLE, "period_start; challenge_point red 1")
    assert (state.score, state.challenges) == ((1, 0), (1, 0))
    with pytest.raises(IllegalMove, match="blue has no challenge left"):
        FREESTYLE.apply(state, Move("challenge_point", "red", 1))
    assert FREESTYLE.apply(state, Move("challenge_point", "blue", 1)).challenges == (0, 0)


def test_last_action_challenged_after_the_end(play: Play) -> None:
    state = play(FREESTYLE, TWO.format("step_out red 1", "step_out blue 1"))
    assert state.over == Outcome("blue", "criteria")
    late = FREESTYLE.apply(state, Move("challenge_point", "red", 1))
    assert (late.score, late.over) == ((2, 1), Outcome("red", "points"))
    fallen = play(FREESTYLE, "period_start; fall red")
    with pytest.raises(IllegalMove, match="over"):
        FREESTYLE.apply(fallen, Move("challenge_point", "red", 1))


def test_bout_end_after_the_end_changes_nothing(play: Play) -> None:
    state = play(GRECO, "period_start; throw red 5; throw red 4")
    assert GRECO.apply(state, Move("bout_end")) == state


@pytest.mark.parametrize(
    ("text", "move", "why"),
    [
        ("period_start", Move("escape", "red", 1), "no such event"),
        ("period_start", Move("takedown", "red", 3), "worth 2"),
        ("period_start", Move("takedown", None, 2), "not open"),
        ("period_start", Move("caution", "red", 1), "offender"),
        ("period_start", Move("caution", "red", 1, "red"), "offender"),
        ("period_start", Move("period_start"), "while it runs"),
        ("period_start", Move("bout_end"), "not open"),
        ("period_start; period_end", Move("takedown", "red", 2), "in a break nobody is wrestling"),
        ("period_start; period_end", Move("fall", "red"), "break"),
        ("period_start; injury red", Move("takedown", "red", 2), "over"),
    ],
)
def test_what_cannot_be(play: Play, text: str, move: Move, why: str) -> None:
    with pytest.raises(IllegalMove, match=why):
        FREESTYLE.apply(play(FREESTYLE, text), move)


def test_nothing_is_scored_before_the_bout() -> None:
    kinds = {move.kind for move in FREESTYLE.legal_events(FREESTYLE.initial())}
    assert kinds == {"period_start", "disqualification", "injury", "forfeit"}
    with pytest.raises(IllegalMove, match="before the bout"):
        FREESTYLE.apply(FREESTYLE.initial(), Move("takedown", "red", 2))


def test_break_has_calls_but_no_wrestling(play: Play) -> None:
    kinds = {move.kind for move in FREESTYLE.legal_events(play(FREESTYLE, "period_start; period_end"))}
    assert {"caution", "challenge_point", "passivity_warning", "period_start"} <= kinds
    assert not kinds & {
        "takedown",
        "exposure",
        "throw",
        "step_out",
        "reversal",
        "fall",
        "activity_clock_start",
    }


def test_replay_without_an_overturned_throw(play: Play, moves: Moves) -> None:
    called = moves("period_start; throw red 5; throw red 5; bout_end")
    assert FREESTYLE.replay(called).over == Outcome("red", "superiority")
    kept = [*moves("period_start; throw red 5; takedown blue 2; period_end; period_start; bout_end")]
    state = FREESTYLE.replay(kept)
    assert (state.score, state.over) == ((5, 2), Outcome("red", "points"))


def test_replay_judges_the_end_only_after_the_last_move(moves: Moves) -> None:
    # Ten up after two throws, then blue scores: the lead did not last, so the bout goes on.
    state = FREESTYLE.replay(moves("period_start; throw red 5; throw red 5; takedown blue 2"))
    assert (state.score, state.over) == ((10, 2), None)
    late = FREESTYLE.replay(
        moves(TWO.format("step_out red 1", "step_out blue 1") + "; challenge_point red 1")
    )
    assert late.over == Outcome("red", "points")
    fall = FREESTYLE.replay(moves("period_start; takedown blue 2; fall red; bout_end"))
    assert fall.over == Outcome("red", "fall")


def test_replay_knows_no_foreign_kinds() -> None:
    with pytest.raises(IllegalMove, match="no such event"):
        FREESTYLE.replay([Move("period_start"), Move("near_fall", "red", 2)])


def test_a_state_that_was_sent_to_another_process_is_found_again() -> None:
    code = (
        "import pickle, sys; from extract.rules import Move, get_ruleset; rules = get_ruleset('freestyle');"
        "sys.stdout.buffer.write(pickle.dumps(rules.apply(rules.initial(), Move('period_start'))))"
    )
    sent = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True).stdout
    here = FREESTYLE.apply(FREESTYLE.initial(), Move("period_start"))
    assert {here: "found"}.get(pickle.loads(sent)) == "found"


def test_after_is_none_where_apply_raises() -> None:
    state = FREESTYLE.apply(FREESTYLE.initial(), Move("period_start"))
    assert FREESTYLE.after(state, Move("takedown", "red", 2)) == FREESTYLE.apply(
        state, Move("takedown", "red", 2)
    )
    assert FREESTYLE.after(state, Move("takedown", "red", 3)) is None


def test_caches_are_bounded() -> None:
    assert isinstance(FREESTYLE, Family)
    caches = (
        FREESTYLE._legal_cached,
        FREESTYLE._open_cached,
        FREESTYLE._after_cached,
        FREESTYLE._unchecked_cached,
        FREESTYLE._ended_cached,
    )
    for cache in caches:
        assert cache.cache_info().maxsize is not None
