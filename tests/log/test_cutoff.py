"""What is not built for being hopeless changes nothing in what the search finds."""

from __future__ import annotations

import importlib
import math

import pytest
from enumerate_readings import content
from hypothesis import given, settings
from test_search_exact import CASES, cases, model_of

from extract.log.cutoff import Cutoff
from extract.log.facts import Barred, Facts
from extract.log.frame import Frame
from extract.log.hypothesis import Hypothesis, ReadingEvent
from extract.log.search import SearchResult, search
from extract.mentions.model import Mention
from extract.rules import Move

Case = tuple[str, Frame, tuple[Mention, ...]]


class Groundless(Cutoff):
    """A cutoff that holds everything."""

    def rise(self, least: float) -> None:
        pass


def without_cutoff(case: Case) -> SearchResult:
    style, frame, mentions = case
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(importlib.import_module("extract.log.search"), "Cutoff", Groundless)
        return search(mentions, frame, model_of(style))


@given(cases(longest=6))
@settings(CASES, max_examples=60)
def test_the_cutoff_changes_nothing(case: Case) -> None:
    style, frame, mentions = case
    found, all_built = search(mentions, frame, model_of(style)), without_cutoff(case)
    assert [content(h) for _, h in found.readings] == [content(h) for _, h in all_built.readings]
    assert found.dropped == pytest.approx(all_built.dropped, abs=0.01)


def test_it_counts_what_it_does_not_hold() -> None:
    cutoff = Cutoff(around=-2.0)
    cutoff.rise(-5.0)
    assert cutoff.passes(-5.0)
    assert not cutoff.passes(-6.0)
    assert not cutoff.passes_any(-7.0, 2.0)
    assert cutoff.passes_any(-7.0, 8.0)
    assert cutoff.lost == pytest.approx(math.exp(-4.0) + 2 * math.exp(-5.0))


def test_it_never_sinks() -> None:
    cutoff = Cutoff()
    cutoff.rise(-5.0)
    cutoff.rise(-6.0)
    assert cutoff.least == -5.0


@pytest.mark.parametrize(("red", "blue"), [(2, 0), (3, 1), (0, 4), (0, 0)])
@pytest.mark.parametrize("flurry", [True, False])
def test_ways_weigh_together_what_they_weigh_one_by_one(red: int, blue: int, flurry: bool) -> None:
    model = model_of("freestyle")
    state = model.rules.apply(model.rules.initial(), Move("period_start"))
    found = model.uncalled.sequences(state, red, blue)
    pace = model.uncalled.pace(40.0, flurry=flurry)
    each = [math.exp(share + pace.cost(len(moves))) for share, moves in found.ways]
    assert each
    assert found.weight(pace) == pytest.approx(sum(each))


def test_a_reading_that_goes_against_a_fact_is_known() -> None:
    rules = model_of("freestyle").rules
    down = Move("takedown", "red", 2)
    started = Hypothesis(0.0, rules.initial()).push(
        rules, ReadingEvent(Move("period_start"), 0.0, 0.0, "called"), 0.0
    )
    assert started is not None
    with_it = started.push(rules, ReadingEvent(down, 20.0, 20.0, "called"), 0.0)
    assert with_it is not None
    facts = Facts(barred=(Barred("d1", 10.0, 30.0, down),))
    assert facts.paid(with_it)
    assert not facts.paid(started)
