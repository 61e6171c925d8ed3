"""The bout clock at each event, out of whistles, lengths of periods and the times left that were said."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.log import Parameters, default_parameters
from extract.log.frame import Frame, Period, TimeCheck
from extract.log.periods import TimeSigns, periods
from extract.mentions.model import MarkMention
from extract.rules import get_ruleset
from tests.made_talk import Line, awards, bout

START = "Here we go, first period."
TAKEDOWN = "Takedown, red! Two points."


def clock(*lines: Line, rules: str = "freestyle") -> tuple[float, float]:
    """Seconds left at the first award, and how far that may be off."""
    event = awards(bout(*lines, rules=rules))[0]
    assert event.clock_s is not None
    assert event.clock_uncertainty_s is not None
    return event.clock_s, event.clock_uncertainty_s


def test_without_a_reading_the_clock_runs_from_the_whistle() -> None:
    seconds, off = clock((0.0, START), (31.5, TAKEDOWN), (36.0, "Two-nothing, red."))
    assert abs(seconds - 150.0) <= off


def test_a_reading_tells_of_a_stop_before_it() -> None:
    seconds, off = clock(
        (0.0, START), (80.0, "Two minutes left."), (82.0, TAKEDOWN), (88.0, "Two-nothing, red.")
    )
    assert abs(seconds - 119.0) <= max(off, 2.0)


def test_the_clock_stands_between_equal_readings() -> None:
    seconds, off = clock(
        (0.0, START),
        (95.0, "1:30 left."),
        (120.0, TAKEDOWN),
        (140.0, "1:30 left."),
        (146.0, "Two-nothing, red."),
    )
    assert seconds == 90.0
    assert off <= 2.0


def test_between_readings_the_stop_may_be_anywhere() -> None:
    """20 of 60 seconds ran, so that at the award 100 to 120 are left."""
    seconds, off = clock(
        (0.0, START),
        (62.0, "2:00 left."),
        (92.0, TAKEDOWN),
        (122.0, "1:40 left."),
        (128.0, "Two-nothing, red."),
    )
    assert 100.0 <= seconds <= 120.0
    assert seconds - off <= 100.0
    assert seconds + off >= 120.0


def test_the_second_period_starts_anew() -> None:
    record = bout(
        (0.0, START),
        (20.0, TAKEDOWN),
        (26.0, "Two-nothing, red."),
        (180.0, "That's the horn, end of the first period."),
        (212.0, "Second period, here we go."),
        (243.5, "Step-out, one, blue."),
        (250.0, "Two-one, red."),
    )
    first, second = awards(record)
    assert (first.period, second.period) == (1, 2)
    assert second.clock_s is not None
    assert abs(second.clock_s - 150.0) <= 4.0
    starts = [e.t for e in record.events if e.kind == "period_start"]
    assert starts[0] == pytest.approx(0.0, abs=5.0)
    assert starts[1] == pytest.approx(212.0, abs=5.0)


@pytest.mark.parametrize(
    ("rules", "seconds"), [("freestyle", 180), ("greco", 180), ("collegiate", 180), ("scholastic", 120)]
)
def test_the_first_period_has_the_length_of_its_style(rules: str, seconds: int) -> None:
    left, off = clock((0.0, START), (11.5, "Takedown, red!"), (16.0, "They go on."), rules=rules)
    assert abs(left - (seconds - 10.0)) <= off


def test_a_time_that_runs_backwards_is_flagged() -> None:
    record = bout(
        (0.0, START),
        (30.0, "Two thirty left."),
        (60.0, "Two minutes left."),
        (90.0, "1:30 left."),
        (100.0, "Two minutes and forty seconds left."),
        (120.0, "One minute left."),
        (150.0, "Thirty seconds left."),
    )
    (flag,) = [f for f in record.flags if f.kind == "clock"]
    assert (flag.severity, flag.cue, flag.said) == ("note", 5, "2:40")


def test_times_left_are_in_the_record() -> None:
    record = bout(
        (0.0, START), (60.0, "Two minutes left."), (122.0, "Under a minute to go."), (151.0, "thirty left")
    )
    assert [(c.seconds_left, c.bound, c.period, c.cue) for c in record.clock] == [
        (120.0, "exact", 1, 2),
        (60.0, "under", 1, 3),
        (30.0, "exact", 1, 4),
    ]


def times_left(*cues: tuple[float, str]) -> list[float]:
    return [c.seconds_left for c in bout((0.0, START), *cues).clock]


def test_a_time_that_is_put_right_counts_once() -> None:
    said = times_left(
        (60.0, "Two minutes, two oh one left."), (90.0, "Thirty-one, no, thirty-two seconds gone.")
    )
    assert said == [121.0]


def test_a_time_that_is_asked_for_is_kept_where_it_fits() -> None:
    asked = (90.0, "Is it a minute thirty?")
    assert times_left((60.0, "Two minutes left."), asked, (120.0, "One minute left.")) == [120.0, 90.0, 60.0]
    asked = (90.0, "Is it two minutes thirty?")
    assert times_left((60.0, "Two minutes left."), asked, (120.0, "One minute left.")) == [120.0, 60.0]


def test_a_time_that_cannot_be_is_left_out() -> None:
    told = (90.0, "Ten seconds left on there.")
    said = times_left((60.0, "Two minutes left."), told, (120.0, "One minute left."), (150.0, "Thirty left."))
    assert said == [120.0, 60.0, 30.0]


@settings(deadline=None)
@given(
    steps=st.lists(st.tuples(st.integers(1, 40), st.integers(0, 40)), max_size=6),
    at=st.floats(0.0, 400.0, allow_nan=False),
)
def test_the_clock_stays_within_what_is_known(steps: list[tuple[int, int]], at: float) -> None:
    """However the readings lie: between two of them the clock is between their values, at one it is its value."""
    t, left = 0.0, 180
    readings = []
    for number, (gap, ran) in enumerate(steps):
        t, left = t + gap, max(left - min(ran, gap), 0)
        readings.append(TimeCheck(number, t, left, 1, True))
    frame = Frame([Period(1, 0.0, 400.0, 180)], readings)
    for reading in readings:
        value = frame.clock_at(reading.t)
        assert value is not None
        assert value[0] == reading.seconds
    now = frame.clock_at(at)
    assert now is not None
    before = [180, *(r.seconds for r in readings if r.t <= at)][-1]
    after = next((r.seconds for r in readings if r.t > at), 0)
    assert after <= now[0] <= before
    assert now[1] >= 0.0


@pytest.mark.parametrize(("introduced", "start"), [(None, 13.0), (10.0, 13.0), (32.0, 35.0)])
def test_a_first_period_that_nobody_marks_begins_where_the_bout_is_introduced(
    introduced: float | None, start: float
) -> None:
    signs = TimeSigns([], [], 400.0, begins=10.0, introduced=introduced)
    frame = periods(signs, get_ruleset("freestyle"), default_parameters())
    assert frame.periods[0].start == start


def test_a_whistle_before_that_starts_the_period_all_the_same() -> None:
    whistle = MarkMention(0, 1, 20.0, "asserted", "plain", "period_start", 1)
    signs = TimeSigns([whistle], [], 400.0, begins=10.0, introduced=32.0)
    frame = periods(signs, get_ruleset("freestyle"), default_parameters())
    assert frame.periods[0].start == 20.0


@pytest.mark.parametrize(
    ("key", "value", "start"), [("first_after_s", 3.0, 13.0), ("first_after_s", 8.0, 18.0)]
)
def test_where_a_bout_that_nobody_opens_begins_is_the_parameters_business(
    key: str, value: float, start: float
) -> None:
    tables = copy.deepcopy(default_parameters().tables)
    tables["periods"][key] = value
    signs = TimeSigns([], [], 400.0, begins=10.0)
    assert periods(signs, get_ruleset("freestyle"), Parameters(tables)).periods[0].start == start
