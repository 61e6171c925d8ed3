"""The search against exhaustive enumeration, and the enumeration against a general solver, on small cases."""

from __future__ import annotations

from functools import cache
from typing import get_args

import pytest
from enumerate_readings import Lattice, content, enumerate_readings
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from ortools.graph.python import min_cost_flow

from extract.log import default_parameters
from extract.log.frame import Frame, Period
from extract.log.model import Model
from extract.log.search import search
from extract.log.uncalled_events import UncalledEvents
from extract.mentions.model import (
    CallMention,
    CriteriaMention,
    MarginMention,
    Mention,
    ResultMention,
    Review,
    ReviewMention,
    ScoreMention,
    Stance,
    Tie,
    WaveOffMention,
)
from extract.rules import CORNERS, get_ruleset, ruleset_names

#: Readings of one case at most: more would take the enumeration too long.
MOST = 20_000
CASES = settings(
    max_examples=80, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)  # fmt: skip

corners = st.sampled_from(CORNERS)
someone = st.none() | corners
ties = st.sampled_from([tie for tie in get_args(Tie) if tie != "none"])
repairs = st.sampled_from([(), ("word of repair",), ("opens with repair", "cites the board")])
stances = st.sampled_from(["asserted"] * 4 + list(get_args(Stance)))


@cache
def model_of(style: str) -> Model:
    rules = get_ruleset(style)
    return Model(rules, default_parameters(), UncalledEvents(rules, default_parameters()))


@st.composite
def frames(draw: st.DrawFn) -> Frame:
    """One period, or two of which the second begins among the mentions."""
    if draw(st.booleans()):
        return Frame([Period(1, 2.0, 182.0, 180)], [])
    end = draw(st.floats(15, 60))
    return Frame([Period(1, 2.0, end, 180), Period(2, end + 10, end + 190, 180)], [])


@st.composite
def calls(draw: st.DrawFn, t: float, style: str) -> CallMention:
    rules = get_ruleset(style)
    names = ["takedown", "exposure", "throw", "step_out", "escape", "reversal", "near_fall", "caution"]
    names += ["passivity_warning", "stalling_warning", "fall", "touch", "yellow_card"]
    kind = draw(st.none() | st.sampled_from([k for k in names if rules.points_of(k)]))
    points = draw(st.integers(1, 4) if kind is None else st.none() | st.sampled_from(rules.points_of(kind)))
    grade = "points" if kind is None else "kind called" if points is None else "points and kind"
    corner = draw(someone)
    return CallMention(
        0, 0, t, draw(stances), grade, () if kind is None else (kind,), points or None, corner,
        "none" if corner is None else draw(ties), draw(st.booleans()),
    )  # fmt: skip


@st.composite
def scores(draw: st.DrawFn, t: float) -> ScoreMention:
    first = draw(someone)
    pair = (draw(st.integers(0, 5)), draw(st.integers(0, 5)))
    return ScoreMention(
        0, 0, t, draw(stances), draw(st.sampled_from(["to", "hyphen", "bare"])), pair, first,
        "none" if first is None else draw(ties), False, draw(repairs),
    )  # fmt: skip


@st.composite
def others(draw: st.DrawFn, t: float) -> Mention:
    who = draw(someone)
    tie: Tie = "none" if who is None else draw(ties)
    what = draw(st.sampled_from(["review", "review", "margin", "wave off", "criteria", "result"]))
    if what == "review":
        outcome: Review = draw(st.sampled_from(get_args(Review)))
        return ReviewMention(
            0, 0, t, "asserted", draw(st.sampled_from(["plain", "named"])), outcome, who, tie
        )
    if what == "margin":
        return MarginMention(0, 0, t, "asserted", "plain", draw(st.integers(0, 4)), who, tie)
    if what == "wave off":
        return WaveOffMention(0, 0, t, "asserted", draw(st.sampled_from(["taken back", "nothing given"])))
    if what == "criteria":
        return CriteriaMention(0, 0, t, "asserted", "named", who)
    return ResultMention(
        0, 0, t + 200, "asserted", "plain", who, draw(st.sampled_from([None, "superiority"]))
    )


@st.composite
def cases(draw: st.DrawFn, longest: int = 4) -> tuple[str, Frame, tuple[Mention, ...]]:
    """A style, a frame and two to four mentions in order of time."""
    style = draw(st.sampled_from(ruleset_names()))
    mentions: list[Mention] = []
    t = 5.0
    for _ in range(draw(st.integers(2, longest))):
        t += draw(st.sampled_from([1.0, 3.0, 5.0, 8.0, 13.0, 20.0, 40.0]))
        mentions.append(draw(st.one_of(calls(t, style), calls(t, style), scores(t), others(t))))
    return style, draw(frames()), tuple(sorted(mentions, key=lambda m: m.t))


@given(cases())
@CASES
def test_search_finds_the_best_of_all_readings(case: tuple[str, Frame, tuple[Mention, ...]]) -> None:
    style, frame, mentions = case
    model = model_of(style)
    lattice = enumerate_readings(mentions, frame, model, MOST)
    assume(lattice is not None)
    assert lattice is not None
    found = search(mentions, frame, model)
    assert found.readings[0][1].logp == pytest.approx(lattice.best(), abs=1e-9)


def cheapest_path(lattice: Lattice) -> float:
    """The best log probability as a flow of one unit at least cost, in millionths of a nat."""
    numbers: dict[object, int] = {}
    flow = min_cost_flow.SimpleMinCostFlow()

    def number(node: object) -> int:
        return numbers.setdefault(node, len(numbers))

    for start, end, logp in lattice.edges:
        flow.add_arc_with_capacity_and_unit_cost(number(start), number(end), 1, round(-logp * 1e6))
    for h, cost in zip(lattice.ends, lattice.costs, strict=True):
        flow.add_arc_with_capacity_and_unit_cost(
            number((lattice.layers, content(h))), number("end"), 1, round(-cost * 1e6)
        )
    flow.set_node_supply(number(lattice.edges[0][0]), 1)
    flow.set_node_supply(number("end"), -1)
    assert flow.solve() == flow.OPTIMAL
    return -float(flow.optimal_cost()) / 1e6


@given(cases(longest=3))
@settings(CASES, max_examples=15)
def test_a_general_solver_finds_the_same_best(case: tuple[str, Frame, tuple[Mention, ...]]) -> None:
    """The check is OR-Tools' minimum-cost flow (``ortools.graph.python.min_cost_flow``), which knows nothing of beams."""
    style, frame, mentions = case
    lattice = enumerate_readings(mentions, frame, model_of(style), 2_000)
    assume(lattice is not None and lattice.edges)
    assert lattice is not None
    assert cheapest_path(lattice) == pytest.approx(lattice.best(), abs=1e-5)
