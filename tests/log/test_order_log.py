"""Bouts of which only the order is known: periods, clock, uncalled awards by the gap, and what is said of the places."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract import extract_bout
from extract.log import default_parameters
from extract.log.model import Model
from extract.log.uncalled_events import UncalledEvents
from extract.record import Record, from_json, to_json
from extract.record.model import Event, Result
from extract.rules import get_ruleset
from extract.transcript import Transcript
from extract.transcript.cue import Order
from extract.transcript.decode import SourceText
from extract.transcript.read import transcript_in

ACCOUNT = """Ottilie Brannoway (Gannet Row) vs Junia Skelvara (Cooper's Slip)
Freestyle 57 kg

1st period
Brannoway takedown 2-0
1:40 left Skelvara step out 2-1
Skelvara takedown, 2-3
0:50 left Skelvara step out, 2-4
-- second --
Brannoway takedown 4-4
They circle
Brannoway leads 6-4 now
Final 6-4 Brannoway
"""


def _read(text: str) -> Transcript:
    return transcript_in(SourceText("account.txt", "account.txt", text, "0" * 64))


def _record(text: str, rules: str | None = None) -> Record:
    return extract_bout(_read(text), rules=rules)


def _awards(record: Record) -> list[tuple[str, str | None, int, int, float | None]]:
    return [(e.kind, e.corner, e.points, e.period, e.clock_s) for e in record.events if e.points]


@pytest.fixture(scope="module")
def record() -> Record:
    return _record(ACCOUNT)


def test_awards_periods_and_clock(record: Record) -> None:
    # The clock is known where an entry tells it, and between two times that are near each other. Else it is not.
    assert _awards(record) == [
        ("takedown", "red", 2, 1, None),
        ("step_out", "blue", 1, 1, 100.0),
        ("takedown", "blue", 2, 1, None),
        ("step_out", "blue", 1, 1, 50.0),
        ("takedown", "red", 2, 2, None),
        ("takedown", "red", 2, 2, None),
    ]
    assert [e.basis for e in record.events if e.points][-1] == "inferred"
    assert (record.result.winner, record.result.score, record.result.by) == ("red", (6, 4), "points")


def test_times_near_each_other_tell_the_clock_between_them() -> None:
    found = _record(ACCOUNT.replace("0:50 left", "1:20 left"))
    assert [clock for *_, clock in _awards(found)][1:4] == [100.0, 90.0, 80.0]


def test_the_record_says_that_times_are_by_order(record: Record) -> None:
    source = record.source
    assert source.times == "by order"
    assert source.order is not None
    assert source.order.lines == (1, 2, *range(4, 14))
    assert any(flag.kind == "reading" and "no times of a recording" in flag.why for flag in record.flags)
    # No reason and no flag names a time of a recording.
    told = [e.why for e in record.events] + [s.why for s in record.statements] + [f.why for f in record.flags]
    assert any("at line 5" in why for why in told)
    assert not any(f" at {minutes}:" in why for why in told for minutes in range(10))
    assert from_json(to_json(record)).source == source
    assert '"times": "by order"' in to_json(record)


def test_a_timed_record_says_nothing_of_order() -> None:
    timed = _record("[0:10] Takedown red, two\n[0:20] Two-nothing\n", "freestyle")
    assert '"order"' not in to_json(timed)
    assert '"times"' not in to_json(timed)


def test_no_flag_about_the_pace_of_the_clock() -> None:
    found = _record(
        "P1\n2:50 left Brisk takedown 2-0\n0:03 left Brisk takedown 4-0\n2:40 left\nP2\nTallow takedown 4-2\n",
        "freestyle",
    )
    assert not [flag for flag in found.flags if flag.kind == "clock"]


def test_a_time_left_that_goes_up_begins_a_period() -> None:
    found = _record(
        "1:40 left Brisk takedown 2-0\nTallow step out 2-1\n0:20 left\n2:30 left Tallow takedown 2-3\nBrisk out, 2-4\n",
        "freestyle",
    )
    assert [(e.period, e.points) for e in found.events if e.points][-1][0] == 2


def test_overtime_is_heard() -> None:
    text = "P1\nBrisk takedown 3-0\nP2\nTallow escape 3-1\nP3\nTallow reversal 3-3\nOT\nBrisk takedown 6-3\nBrisk wins\n"
    found = _record(text, "scholastic")
    assert [(e.period, e.corner) for e in found.events if e.points][-1] == (4, "red")
    assert found.result.winner == "red"


def test_uncalled_awards_cost_by_the_gap() -> None:
    rules, parameters = get_ruleset("freestyle"), default_parameters()
    uncalled = UncalledEvents(rules, parameters)
    rate = parameters.get("uncalled", "rate_per_gap")
    for step in (5.0, 20.0, 300.0):
        order = Order(step, step / 2, tuple(range(1, 30)))
        model = Model(rules, parameters, uncalled, order=order)
        # However long a step is taken to be, three gaps are three gaps.
        assert model.pace(2 * step, 5 * step, flurry=False).first == pytest.approx(3 * rate)
    timed = Model(rules, parameters, uncalled)
    assert timed.pace(0.0, 60.0, flurry=False) == uncalled.pace(60.0, flurry=False)


@pytest.mark.parametrize(
    "text",
    [
        "Dear all,\nthe bus leaves at nine from the hall. Bring a coat, as it may rain.\nBest wishes\n",
        "Flour, butter and milk.\nStir well.\nBake until brown.\n",
    ],
)
def test_prose_of_no_bout_has_no_result(text: str) -> None:
    found = _record(text)
    assert [flag.kind for flag in found.flags if flag.severity == "error"] == ["nothing_understood"]
    assert found.result.winner is None
    assert found.result.confidence == 0
    assert " 0:" not in found.flags[0].why


def test_a_page_of_several_bouts_says_so_first() -> None:
    found = _record(
        "Brisk vs Tallow\nBrisk takedown 2-0\n\nOrrell vs Crewe\nCrewe takedown 0-2\n", "freestyle"
    )
    assert found.flags[0].kind == "several_bouts"
    assert "session" in found.flags[0].why


def test_no_riding_time_without_times() -> None:
    text = "P1\nBrisk takedown 3-0\nP2\nTallow escape 3-1\nP3\nBrisk escape 4-1\nRiding time Brisk, 5-1\nFinal 5-1\n"
    found = _record(text, "collegiate")
    assert found.riding_time == ()
    assert not [flag for flag in found.flags if flag.kind.startswith("riding_time")]


def test_corners_said_newest_first() -> None:
    lines = ACCOUNT.splitlines()[:2] + ACCOUNT.splitlines()[3:][::-1]
    forward, back = _record(ACCOUNT), _record("\n".join(lines))
    assert _awards(back) == _awards(forward)
    assert _but_moments(back.result) == _but_moments(forward.result)
    assert [s.said for s in back.statements] == [s.said for s in forward.statements]


def _plain(event: Event) -> Event:
    """An event without the sentence that names lines."""
    return replace(event, why="")


_ENTRY = st.tuples(
    st.sampled_from(["red", "blue"]),
    st.sampled_from([("takedown", 2), ("step out", 1), ("four point throw", 4)]),
)


@given(st.lists(_ENTRY, min_size=3, max_size=7), st.booleans())
@settings(max_examples=12, deadline=None)
def test_turning_a_page_round_changes_nothing(
    entries: list[tuple[str, tuple[str, int]]], scored: bool
) -> None:
    score, lines = {"red": 0, "blue": 0}, []
    for n, (corner, (kind, points)) in enumerate(entries, 1):
        score[corner] += points
        told = f", {score['red']}-{score['blue']}" if scored or n % 2 else ""
        lines.append(f"{n}. {corner} {kind}{told}")
    forward, back = _record("\n".join(lines), "freestyle"), _record("\n".join(reversed(lines)), "freestyle")
    assert [_plain(e) for e in forward.events] == [_plain(e) for e in back.events]
    assert _but_moments(forward.result) == _but_moments(back.result)
    assert forward.source.order is not None
    assert back.source.order is not None
    assert back.source.order.lines == forward.source.order.lines[::-1]


def _but_moments(result: Result) -> Result:
    """A result without the line that its reason names."""
    return replace(result, why=result.why.rpartition(",")[0])
