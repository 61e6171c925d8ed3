"""Properties of drawn bouts and of what is said over them, and that the program finds them again."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.rules import IllegalMove
from tests.drawn.compare import call_counts, differences, record_of, right_final, told_bout
from tests.drawn.draw_bout import STYLES, draw_bout
from tests.drawn.drawn_bout import DrawnBout
from tests.drawn.say_bout import WARNINGS, Told, say_bout
from tests.drawn.voice import REGISTERS, Noise, grammar
from tests.drawn.words import misheard, people

bouts = st.builds(draw_bout, st.sampled_from(STYLES), st.integers(0, 10_000))
shares = st.floats(0, 1)
noises = st.builds(
    Noise, points_only=shares, kind_only=shares, uncalled=shares, call_delay=shares, replays=shares,
    statements=shares, clocks=shares, slips=shares, distractors=shares, word_errors=st.floats(0, 0.4),
)  # fmt: skip
FEW = settings(max_examples=60, deadline=None)


@given(bouts)
@FEW
def test_drawn_bouts_are_legal(bout: DrawnBout) -> None:
    """Every event is legal when it comes; an award that a challenge takes off is gone from then on."""
    state = bout.rules.initial()
    kept: list[int] = []
    reviews = sorted((e.off, k) for k, e in enumerate(bout.events) if e.off is not None)
    for k, event in enumerate(bout.events):
        while reviews and reviews[0][0] <= event.t:
            kept.remove(reviews.pop(0)[1])
            state = bout.rules.replay(bout.events[n].move for n in kept)
        try:
            state = bout.rules.apply(state, event.move)
        except IllegalMove as error:
            pytest.fail(f"{event}: {error}")
        kept.append(k)
    assert state.over == bout.outcome
    assert state.score == bout.score_at(bout.end)
    assert bout.outcome.winner is not None


@given(bouts)
@FEW
def test_time_and_clock_of_drawn_bouts_run_on(bout: DrawnBout) -> None:
    times = [e.t for e in bout.events]
    assert times == sorted(times)
    for event in bout.events:
        known = bout.clock_at(event.t)
        assert known is not None
        # Where a period ends as the next thing happens, both clocks are right.
        if known[0] == event.period:
            assert known[1] == pytest.approx(event.clock, abs=0.5)
    for span in bout.spans:
        stood = sum(
            min(b, span.end) - max(a, span.start) for a, b in bout.stops if a < span.end and b > span.start
        )
        assert span.end - span.start - stood <= span.seconds + 0.5
    for challenge in bout.challenges:
        about = bout.events[challenge.about]
        assert about.t < challenge.t < challenge.t_outcome
        assert about.move.corner != challenge.by
        assert (about.off is not None) == (challenge.outcome == "won")


def test_drawn_bouts_are_of_every_sort() -> None:
    """Rates are as usual, and each end and each kind of award comes up."""
    for style in STYLES:
        drawn = [draw_bout(style, seed) for seed in range(150)]
        awards = [sum(1 for e in b.events if e.move.points) for b in drawn]
        assert 8 <= sum(awards) / len(awards) <= 16
        assert {"points", "superiority", "fall"} <= {b.outcome.by for b in drawn}
        kinds = {e.move.kind for b in drawn for e in b.events}
        expected = {
            k for k in ("takedown", "exposure", "throw", "step_out", "caution", "passivity_point", "escape", "reversal")
            if drawn[0].rules.points_of(k)
        }  # fmt: skip
        assert expected <= kinds
        if drawn[0].rules.initial().challenges != (0, 0):
            assert {c.outcome for b in drawn for c in b.challenges} == {"won", "lost"}


@given(st.sampled_from(STYLES), st.integers(0, 10_000), st.sampled_from(REGISTERS), noises)
@FEW
def test_truth_is_consistent(style: str, seed: int, register: str, noise: Noise) -> None:
    """The label file agrees with itself: the board with the events, the scores said with the board, the end with both."""
    bout = draw_bout(style, seed)
    told = say_bout(bout, register, noise)  # type: ignore[arg-type]
    truth = told.truth
    standing = [e for e in truth["events"] if e.get("status") != "overturned"]
    total = [sum(e["points"] for e in standing if e["corner"] == corner) for corner in ("red", "blue")]
    result = truth["result"]
    assert total == [result["red"], result["blue"]]
    last = truth["board"][-1]
    assert [last["red"], last["blue"]] == total
    for row in truth["scores"]:
        at_moment = bout.score_at(row["t"] + 0.06)
        assert (tuple(row["said"]) == at_moment) == (row["slip"] is None)
    for row in truth["clocks"]:
        known = bout.clock_at(row["t"])
        assert known is not None
        assert abs(known[1] - row["seconds_left"]) <= 1
    cues = told.transcript.cues
    assert all(a.end <= b.start for a, b in pairwise(cues))
    assert all(cue.text for cue in cues)


@given(st.sampled_from(STYLES), st.integers(0, 10_000), st.sampled_from(REGISTERS))
@FEW
def test_without_noise_everything_is_said(style: str, seed: int, register: str) -> None:
    """There is at least a cue for each award and warning, within a few seconds of it."""
    bout = draw_bout(style, seed)
    told = say_bout(bout, register)  # type: ignore[arg-type]
    starts = [cue.start for cue in told.transcript.cues]
    for event in bout.events:
        if event.move.points or event.move.kind in WARNINGS:
            assert any(0 <= start - event.t <= 12 for start in starts)
    assert not any(row["slip"] for row in told.truth["scores"])


def test_the_grammar_has_eight_templates_for_each_thing() -> None:
    def lists(node: object, path: str) -> list[tuple[str, list[str]]]:
        if isinstance(node, dict):
            return [found for key, value in node.items() for found in lists(value, f"{path}.{key}")]
        assert isinstance(node, list)
        return [(path, node)]

    short = [p for p, options in lists(grammar(), "") if "phrase" not in p and len(set(options)) < 8]
    assert not short


def test_the_same_seed_says_the_same() -> None:
    bout = draw_bout("freestyle", 7)
    assert draw_bout("freestyle", 7) == bout
    noise = Noise(word_errors=0.2, slips=0.5)
    assert say_bout(bout, "lower", noise) == say_bout(bout, "lower", noise)
    assert say_bout(bout, "lower", noise, seed=1) != say_bout(bout, "lower", noise)


@given(st.integers(0, 10_000))
def test_names_of_two_people_differ_in_every_part(seed: int) -> None:
    cast = people(random.Random(seed))
    parts = [part for p in cast.values() for part in (p.given, p.family, *p.team.split())]
    assert len(set(parts)) == len(parts)


@given(st.integers(0, 1000))
def test_word_errors_are_as_many_as_asked(seed: int) -> None:
    text = "two points for red " * 100
    words = misheard(text, 0.25, random.Random(seed), ("red",)).split()
    changed = len(text.split()) - sum(w in ("two", "points", "for", "red") for w in words)
    assert 40 <= changed <= 160
    assert misheard(text, 0.0, random.Random(seed), ()) == text


@pytest.mark.parametrize("number", range(120))
def test_a_bout_told_without_noise_is_found_exactly(number: int) -> None:
    """Awards, kinds, warnings, boards, challenges and result, in every style and register."""
    _, told = told_bout(number)
    assert differences(told.truth, record_of(told)) == []


def test_comparing_shows_what_differs() -> None:
    """A record of another bout differs in its awards, board and result."""
    _, told = told_bout(0)
    _, another = told_bout(12)
    record = record_of(told)
    assert {line.split(":")[0] for line in differences(another.truth, record)} >= {"awards", "board"}
    assert not right_final(another.truth, record)
    counts = call_counts(told.truth, record)
    assert counts["calls_hit"] == counts["calls_drawn"] == counts["calls_found"]
    assert isinstance(told, Told)
