"""Sequences of events that nobody called: which there are, and how much they weigh at most."""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_search_exact import model_of

from extract.log.uncalled_events import MOST_BRIDGES, UncalledEvents
from extract.rules import State, ruleset_names
from extract.rules.kinds import kinds_that

STYLES = sorted(set(ruleset_names()) & {"collegiate", "freestyle", "greco", "scholastic"})
GAINS = st.integers(0, 6)


@st.composite
def states(draw: st.DrawFn) -> tuple[UncalledEvents, State]:
    """A state that a random legal bout leads to."""
    model = model_of(draw(st.sampled_from(STYLES)))
    rules = model.rules
    state = rules.initial()
    for _ in range(draw(st.integers(0, 15))):
        moves = [move for move in rules.legal_events(state) if move.kind not in kinds_that("end")]
        if moves:
            state = rules.apply(state, draw(st.sampled_from(moves)))
    return model.uncalled, state


@settings(max_examples=200, deadline=None)
@given(states(), GAINS, GAINS, st.floats(0.0, 400.0), st.booleans())
def test_no_way_is_shorter_or_heavier_than_it_can_be(
    at: tuple[UncalledEvents, State], red: int, blue: int, seconds: float, flurry: bool
) -> None:
    uncalled, state = at
    found, pace = uncalled.sequences(state, red, blue), uncalled.pace(seconds, flurry=flurry)
    least = uncalled.least_events(red, blue)
    assert all(len(moves) >= least for _, moves in found.ways)
    assert found.weight(pace) <= pace.most(least) * (1 + 1e-9)


@settings(max_examples=100, deadline=None)
@given(states(), GAINS, GAINS)
def test_ways_bring_the_points_and_are_legal_from_the_score_that_there_is(
    at: tuple[UncalledEvents, State], red: int, blue: int
) -> None:
    uncalled, state = at
    rules = uncalled._rules
    for _, moves in uncalled.sequences(state, red, blue).ways:
        after: State | None = state
        for move in moves:
            after = rules.after(after, move) if after is not None else None
        if after is not None:
            assert after.score == (state.score[0] + red, state.score[1] + blue)
        else:
            # Only what ends the bout on the way may stand against it.
            lead = max(
                abs(state.score[0] - state.score[1]), abs(state.score[0] + red - state.score[1] - blue)
            )
            assert (
                state.over is not None
                or lead + red + blue >= (rules.superiority_lead or 0)
                or state.period > 1
            )


@settings(max_examples=100, deadline=None)
@given(states(), st.data())
def test_no_bridge_costs_less_than_it_can(at: tuple[UncalledEvents, State], data: st.DataObject) -> None:
    uncalled, state = at
    rules = uncalled._rules
    # What was open earlier, and may not be now.
    started = rules.apply(rules.initial(), rules.legal_events(rules.initial())[0])
    move = data.draw(st.sampled_from(rules.legal_events(started)))
    bridges = uncalled.bridges(state, move)
    assert len(bridges) <= MOST_BRIDGES
    assert all(price <= uncalled.forced for price, _ in bridges)


@pytest.mark.parametrize("style", STYLES)
def test_the_fewest_awards_for_so_many_points_are_those_that_counting_finds(style: str) -> None:
    uncalled = model_of(style).uncalled
    rules = uncalled._rules
    values = {points for kind in rules.scoring_kinds for points in rules.points_of(kind) if points}
    for total in range(1, 7):
        ways = [n for n in (1, 2, 3) for picked in product(values, repeat=n) if sum(picked) == total]
        assert min(uncalled.least_events(total, 0), 4) == min(ways, default=4)


def test_more_events_weigh_less_at_most() -> None:
    pace = model_of("freestyle").uncalled.pace(60.0, flurry=False)
    assert pace.most(1) > pace.most(2) > pace.most(3) > pace.most(4) == 0.0
    assert pace.most(3) == pytest.approx(pace.first * pace.more**2 * math.exp(-1.79))
