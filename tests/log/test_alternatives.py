"""The next best logs: how readings are held against each other, and what is told of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.bout import extract_bout
from extract.checks.sides import CORNERS_ONLY
from extract.log import BoutLog, infer
from extract.log.compare import differences, other_logs, runners_up
from extract.log.hypothesis import Hypothesis, ReadingEvent, ReviewRun, Said, SaidHistory
from extract.log.to_log import Reading
from extract.mentions import Heard
from extract.record.alternatives import tell_differences
from extract.rules import get_ruleset
from extract.rules.base import Corner, Move, Outcome, State
from tests.made_talk import bout_file, heard, transcript

RULES = get_ruleset("freestyle")
# Whether the second call is a takedown told again or a further award is open: no score is said after it.
OPEN = (
    "Here we go, first period.",
    "Takedown, red! Two points.",
    "Two-nothing, red.",
    (40.0, "Step-out, one, blue."),
    (48.0, "Three-one, I make it."),
    (60.0, "Two for red there, maybe."),
    (90.0, "And that is the horn."),
)


def takedown(t: float, corner: Corner = "red", *, points: int = 2, kind: str = "takedown") -> ReadingEvent:
    return ReadingEvent(Move(kind, corner, points), t, t, "called")


def reading(
    *entries: ReadingEvent,
    share: float = 1.0,
    said: Sequence[Said] = (),
    reviews: tuple[ReviewRun, ...] = (),
    winner: Corner = "red",
) -> Reading:
    stand = [e.move for e in entries if e.overturned is None]
    red, blue = (sum(m.points for m in stand if m.corner == corner) for corner in ("red", "blue"))
    state: State = replace(RULES.initial(), score=(red, blue))
    history = None
    for item in said:
        history = SaidHistory(item, history)
    hypothesis = Hypothesis(0.0, state, entries, reviews=reviews, said=history)
    return Reading(share, hypothesis, tuple(e.t for e in entries), Outcome(winner, "points"))


@cache
def small_talk() -> tuple[Heard, BoutLog]:
    talk = heard(*OPEN)
    return talk, infer(talk.mentions, RULES, 94.0)


def log_of(*readings: Reading) -> BoutLog:
    return replace(small_talk()[1], best=readings[0].hypothesis, readings=readings)


def told(best: Reading, other: Reading) -> tuple[str, ...]:
    log = log_of(best, other)
    (only,) = other_logs(log, 1)
    outcome = other.outcome
    assert outcome is not None
    return tell_differences(only, log, small_talk()[0], CORNERS_ONLY, outcome.winner, outcome.by)


def test_a_reading_does_not_differ_from_itself() -> None:
    one = reading(takedown(10.0), said=[Said(0, 12.0, (2, 0), (2, 0), "agrees")])
    assert not differences(one, one)
    assert other_logs(log_of(one, replace(one, share=0.2)), 5) == ()


@pytest.mark.parametrize(("gap", "same"), [(20.0, True), (20.5, False)])
def test_an_award_is_the_same_within_twenty_seconds(gap: float, same: bool) -> None:
    found = differences(reading(takedown(30.0)), reading(takedown(30.0 + gap)))
    assert bool(found) is not same
    assert same or found.events == ((0, None), (None, 0))


def test_the_nearest_goes_with_the_nearest() -> None:
    ours = reading(takedown(10.0), takedown(28.0))
    assert differences(ours, reading(takedown(27.0))).events == ((0, None),)
    assert differences(ours, reading(takedown(11.0))).events == ((1, None),)


def test_each_thing_that_may_differ_is_told() -> None:
    best = reading(takedown(70.0))
    assert told(best, reading()) == (
        "without red's takedown (2) at 1:10",
        "at the end red wins 0-0 by points",
    )
    assert (
        told(best, reading(takedown(70.0), takedown(90.0, "blue")))[0] == "with blue's takedown (2) at 1:30"
    )
    assert told(best, reading(takedown(71.0, kind="exposure"))) == (
        "red's exposure (2) at 1:11 instead of red's takedown (2)",
    )
    assert told(best, reading(takedown(71.0, points=4, kind="throw")))[0] == (
        "red's throw (4) at 1:11 instead of red's takedown (2)"
    )
    assert told(best, reading(takedown(70.0, "blue"), winner="blue")) == (
        "blue's takedown (2) at 1:10 instead of red's takedown (2)",
        "at the end blue wins 2-0 by points",
    )
    off = takedown(70.0)._replace(overturned=0, off=80.0)
    assert told(best, reading(off))[0] == "red's takedown (2) at 1:10 is overturned"
    assert told(reading(off), best)[0] == "red's takedown (2) at 1:10 is not overturned"


def test_warnings_are_told_by_whom_they_are_against() -> None:
    warning = ReadingEvent(Move("passivity_warning", against="blue"), 50.0, 50.0, "called")
    best = reading(takedown(10.0))
    assert told(best, reading(takedown(10.0), warning)) == (
        "with the passivity warning against blue at 0:50",
    )


def test_a_start_of_a_period_is_no_difference() -> None:
    start = ReadingEvent(Move("period_start"), 1.0, 1.0, "called")
    assert not differences(reading(takedown(10.0)), reading(start, takedown(10.0)))


def test_challenges_are_told_by_their_outcome() -> None:
    asked = ReviewRun("red", 60.0, None, "won", 80.0)
    best = reading(takedown(10.0), reviews=(asked,))
    assert told(best, reading(takedown(10.0))) == ("without red's challenge at 1:00",)
    lost = reading(takedown(10.0), reviews=(asked._replace(outcome="lost"),))
    assert told(best, lost) == ("red's challenge at 1:00 is lost",)
    assert told(lost, best) == ("red's challenge at 1:00 is won",)
    other = reading(takedown(10.0), reviews=(asked._replace(by="blue", outcome="unknown"),))
    assert told(best, other) == ("blue's challenge at 1:00, result unknown, instead of one by red",)
    assert told(reading(takedown(10.0)), best) == ("with red's challenge at 1:00, won",)


def test_verdicts_that_change_stand_with_the_award_before_them() -> None:
    talk, log = small_talk()
    first, second = (taken.said.mention for taken in log.taken[:2])
    times = [talk.mentions[m].t for m in (first, second)]
    assert first != second
    slips = [Said(first, times[0], (2, 0), (4, 0), "stale"), Said(second, times[1], (3, 1), (4, 0), "wrong")]
    best = reading(takedown(3.0), takedown(times[1] - 4, "red"), said=slips)
    right = [s._replace(verdict="agrees") for s in slips]
    alone = reading(takedown(3.0), said=right)
    # The score said before the award that differs stands by itself.
    assert told(best, alone) == (
        "2-0 red at 0:10 is right",
        "without red's takedown (2) at 0:44; then 3-1 red at 0:48 is right",
        "at the end red wins 2-0 by points",
    )
    assert told(alone, best)[1] == "with red's takedown (2) at 0:44; then 3-1 red at 0:48 is wrong"
    none = reading(takedown(3.0), takedown(times[1] - 4, "red"))
    assert told(best, none) == ("2-0 red at 0:10 and 3-1 red at 0:48 are no scores of this bout",)


def test_another_kind_of_slip_is_no_difference() -> None:
    said = Said(3, 12.0, (2, 0), (4, 0), "stale")
    one = reading(takedown(10.0), said=[said])
    assert not differences(one, reading(takedown(10.0), said=[said._replace(verdict="wrong")]))


def test_readings_that_do_not_differ_are_one_log() -> None:
    best = reading(takedown(10.0), share=0.4)
    missing, extra = reading(share=0.1), reading(takedown(10.0), takedown(60.0), share=0.25)
    log = log_of(best, extra, missing, replace(best, share=0.05), replace(missing, share=0.2))
    logs = other_logs(log, 9)
    assert [round(o.share, 9) for o in logs] == [0.3, 0.25]
    assert [o.reading for o in logs] == [missing, extra]
    assert len(other_logs(log, 1)) == 1
    assert other_logs(log, 0) == ()


def test_runner_up_is_what_most_of_the_others_have() -> None:
    other = takedown(11.0, points=4, kind="throw")
    log = log_of(
        reading(takedown(10.0), takedown(60.0), share=0.6),
        reading(other, takedown(60.0), share=0.15),
        reading(takedown(60.0), share=0.2),
        reading(replace_time(other, 12.0), takedown(60.0), share=0.1),
    )
    found = runners_up(log)
    assert set(found) == {0}
    assert (round(found[0].share, 9), found[0].readings, found[0].entry) == (0.25, 2, other)


def replace_time(entry: ReadingEvent, t: float) -> ReadingEvent:
    return entry._replace(t=t, low=t)


entries = st.builds(
    takedown,
    st.integers(0, 200).map(float),
    st.sampled_from(("red", "blue")),
    points=st.sampled_from((1, 2, 4)),
    kind=st.sampled_from(("takedown", "throw", "step_out")),
)
readings = st.lists(entries, max_size=6).map(lambda es: reading(*sorted(es, key=lambda e: e.t)))


@settings(deadline=None)
@given(readings, readings)
def test_nothing_is_paired_twice_and_both_ways_tell_as_much(a: Reading, b: Reading) -> None:
    there, back = differences(a, b), differences(b, a)
    for side in (0, 1):
        positions = [pair[side] for pair in there.events if pair[side] is not None]
        assert len(positions) == len(set(positions))
    lone = sum(i is None for i, _ in there.events) - sum(j is None for _, j in there.events)
    assert lone == len(b.hypothesis.entries) - len(a.hypothesis.entries)
    assert bool(there) == bool(back)
    assert not differences(a, a)


@settings(deadline=None, max_examples=50)
@given(st.lists(readings, min_size=1, max_size=8), st.integers(0, 8))
def test_shares_are_those_of_the_readings_that_differ(many: list[Reading], most: int) -> None:
    log = log_of(*(replace(r, share=1 / len(many)) for r in many))
    logs = other_logs(log, most)
    assert len(logs) <= most
    assert [o.share for o in logs] == sorted((o.share for o in logs), reverse=True)
    differing = sum(r.share for r in log.readings[1:] if differences(log.readings[0], r))
    assert sum(o.share for o in other_logs(log, len(many))) == pytest.approx(differing)
    assert all(o.differences for o in logs)


def test_alternatives_of_a_talk() -> None:
    talk = transcript(*OPEN)
    plain = extract_bout(talk, bout_file())
    asked = extract_bout(talk, bout_file(), alternatives=4)
    assert plain.alternatives == ()
    assert replace(asked, alternatives=()) == plain
    assert 1 <= len(asked.alternatives) <= 4
    for other in asked.alternatives:
        assert other.differences
        assert 0.0 < other.share < 1.0
        ends = other.differences[-1].startswith("at the end ")
        result = (plain.result.score, plain.result.winner, plain.result.by)
        assert ends == ((other.score, other.winner, other.by) != result)
    assert asked.alternatives[:2] == extract_bout(talk, bout_file(), alternatives=2).alternatives
