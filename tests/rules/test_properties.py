"""What holds of every legal sequence in every ruleset."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.rules import CORNERS, IllegalMove, Move, State, edition_names, get_ruleset, ruleset_names
from extract.rules.family import Family
from extract.rules.fencing import Foil
from extract.rules.kinds import KINDS as ALL_KINDS
from extract.rules.kinds import kinds_that
from extract.rules.olympic import Olympic

ALL = [get_ruleset(name, edition) for name in ruleset_names() for edition in edition_names(name)]
#: Kinds that may still come when the bout is over.
LATE = frozenset(
    {"bout_end", "challenge_point", "near_fall", "riding_time", "ride_out", "fall"}
) | kinds_that("action")
KINDS = sorted({kind for rules in ALL if isinstance(rules, Family) for kind in rules._points})
ANY_MOVE = st.builds(
    Move,
    st.sampled_from(KINDS),
    st.sampled_from([None, *CORNERS]),
    st.integers(0, 6),
    st.sampled_from([None, *CORNERS]),
)


@st.composite
def bouts(draw: st.DrawFn) -> tuple[Family, list[tuple[State, Move, State]]]:
    """A ruleset and a random legal sequence in it, as (before, move, after)."""
    rules = draw(st.sampled_from(ALL))
    assert isinstance(rules, Family)
    state, steps = rules.initial(), []
    for _ in range(draw(st.integers(0, 40))):
        legal = rules.legal_events(state)
        if not legal:
            break
        # Decisive kinds are always open and would end most bouts at once, and period events are few among
        # many: take the ones seldom and the others often, so that bouts get into overtime too.
        dice = draw(st.integers(0, 19))
        quiet = [move for move in legal if move.kind not in kinds_that("end")]
        whistles = [move for move in quiet if move.kind.startswith("period")]
        move = draw(st.sampled_from(legal if dice == 0 else whistles or quiet if dice < 9 else quiet))
        after = rules.apply(state, move)
        steps.append((state, move, after))
        state = after
    return rules, steps


@settings(max_examples=150, deadline=None)
@given(bouts())
def test_score_is_the_sum_of_the_points(bout: tuple[Family, list[tuple[State, Move, State]]]) -> None:
    _, steps = bout
    total = {"red": 0, "blue": 0}
    for before, move, after in steps:
        if move.corner is not None:
            total[move.corner] += move.points
        assert after.score == (total["red"], total["blue"])
        assert all(new >= old for new, old in zip(after.score, before.score, strict=True))
        sums = tuple(sum(points for side, points in after.values if side == corner) for corner in CORNERS)
        assert sums == after.score


@settings(max_examples=150, deadline=None)
@given(bouts())
def test_over_means_over(bout: tuple[Family, list[tuple[State, Move, State]]]) -> None:
    rules, steps = bout
    for before, move, after in steps:
        assert before.over is None
        assert all(score >= 0 for score in after.score)
        assert (rules.legal_events(after) == ()) is (after.over is not None)
        assert rules.outcome(after) == after.over or after.over is None
        lead = abs(after.score[0] - after.score[1])
        if rules.superiority_lead is not None and lead >= rules.superiority_lead:
            assert after.over is not None
        if move.kind == "bout_end":
            assert after.over is not None
        assert after.period <= len(rules.period_seconds + rules.extra_period_seconds)
        assert all(0 <= left <= rules.data.challenges for left in after.challenges)


@settings(max_examples=150, deadline=None)
@given(bouts())
def test_criteria_name_exactly_one_leader(bout: tuple[Family, list[tuple[State, Move, State]]]) -> None:
    rules, steps = bout
    if isinstance(rules, Foil):  # there a lot decides, where it has been drawn
        return
    for _, _, after in steps:
        level = after.score[0] == after.score[1]
        decided = isinstance(rules, Olympic) and level and after.score != (0, 0)
        assert (rules.criteria(after) in CORNERS) is decided


@settings(max_examples=200, deadline=None)
@given(bouts(), ANY_MOVE)
def test_apply_takes_what_is_listed_and_nothing_else(
    bout: tuple[Family, list[tuple[State, Move, State]]], move: Move
) -> None:
    rules, steps = bout
    state = steps[-1][2] if steps else rules.initial()
    for legal in rules.legal_events(state):
        rules.apply(state, legal)
        # An advantage in riding time can win a level bout without a point.
        assert legal.points in rules.points_of(legal.kind) or legal[0:3:2] == ("riding_time", 0)
        if ALL_KINDS[legal.kind].counts:
            assert legal.against is not None
            assert legal.against != legal.corner
    late = state.over is not None and move.kind in LATE
    if move not in rules.legal_events(state) and not late:
        with pytest.raises(IllegalMove, match=move.kind):
            rules.apply(state, move)


@settings(max_examples=100, deadline=None)
@given(bouts())
def test_replay_agrees_with_apply(bout: tuple[Family, list[tuple[State, Move, State]]]) -> None:
    rules, steps = bout
    state = steps[-1][2] if steps else rules.initial()
    assert rules.replay([move for _, move, _ in steps]) == state


@settings(max_examples=100, deadline=None)
@given(bouts())
def test_shared_lists_are_those_of_the_state_itself(
    bout: tuple[Family, list[tuple[State, Move, State]]],
) -> None:
    rules, steps = bout
    for before, _, _ in steps:
        assert rules.legal_events(before) == rules._open(before).moves


@settings(max_examples=150, deadline=None)
@given(bouts())
def test_every_end_with_a_winner_is_one_kind_of_victory(
    bout: tuple[Family, list[tuple[State, Move, State]]],
) -> None:
    rules, steps = bout
    state = steps[-1][2] if steps else rules.initial()
    if state.over is None or state.over.winner is None:
        return
    fitting = [kind for kind in rules.data.victories if rules._is_victory(kind, state.over, state)]
    # Three cautions are a disqualification of their own name, which stands first.
    assert len(fitting) == 1 or {kind.code for kind in fitting} == {"VCA", "DSQ"}
    assert rules.victory(state.over, state) == fitting[0]


@settings(max_examples=100, deadline=None)
@given(bouts(), ANY_MOVE)
def test_after_and_allows_say_what_apply_does(
    bout: tuple[Family, list[tuple[State, Move, State]]], any_move: Move
) -> None:
    rules, steps = bout
    for _, _, state in steps:
        for move in (any_move, *rules.legal_events(state)[:3]):
            after = rules.after(state, move)
            assert rules.allows(state, move) is (after is not None)
            if after is None:
                with pytest.raises(IllegalMove):
                    rules.apply(state, move)
            else:
                assert rules.apply(state, move) == after


@settings(max_examples=50, deadline=None)
@given(bouts(), st.integers(0, 9))
def test_a_state_with_another_field_is_as_replaced(
    bout: tuple[Family, list[tuple[State, Move, State]]], period: int
) -> None:
    for _, _, state in bout[1]:
        other = state.but(period=period)
        assert other == dataclasses.replace(state, period=period)
        assert hash(other) == hash(dataclasses.replace(state, period=period))


def every_move(rules: Family) -> list[Move]:
    """Every move of the style, open or not."""
    sides = (None, *CORNERS)
    return [
        Move(kind, corner, points, against)
        for kind in sorted(rules.kinds())
        for points in rules.points_of(kind)
        for corner in sides
        for against in sides
    ]


@settings(max_examples=150, deadline=None)
@given(bouts(), st.data())
def test_in_a_gist_the_same_may_come_and_after_it_too(
    bout: tuple[Family, list[tuple[State, Move, State]]], data: st.DataObject
) -> None:
    rules, steps = bout
    state = steps[-1][2] if steps else rules.initial()
    search_key, moves = rules.search_key(state), every_move(rules)
    assert rules.search_key(search_key) == search_key
    assert rules.legal_events(search_key) == rules.legal_events(state)
    open_now = [move for move in moves if rules.allows(state, move)]
    assert open_now == [move for move in moves if rules.allows(search_key, move)]
    for move in open_now if len(open_now) < 4 else data.draw(st.lists(st.sampled_from(open_now), max_size=4)):
        then, then_of_key = rules.after(state, move), rules.after(search_key, move)
        assert then is not None
        assert then_of_key is not None
        assert [m for m in moves if rules.allows(then, m)] == [
            m for m in moves if rules.allows(then_of_key, m)
        ]


def test_before_the_last_period_the_lead_counts_in_the_key() -> None:
    """A bout that is level after regulation goes into overtime, and one with a lead ends: the break before the last period
    is not early."""
    rules = get_ruleset("collegiate", "2015-16")
    level = rules.initial()
    for kind in ("period_start", "period_end", "period_start", "period_end"):
        level = rules.apply(level, Move(kind))
    ahead = level.but(score=(2, 0), values=(("red", 2),), earned=(True,))
    last = Move("period_start")
    moves = every_move(rules)
    for state in (level, ahead):
        then, then_of_key = rules.apply(state, last), rules.apply(rules.search_key(state), last)
        assert [m for m in moves if rules.allows(then, m)] == [
            m for m in moves if rules.allows(then_of_key, m)
        ]
