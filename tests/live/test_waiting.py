"""When something that does not fit is worth a flag."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.live.parameters import live_parameters
from extract.live.waiting import Seen, Waiting

WEIGHTS = {"always": -0.5, "odds": 1.3, "stood": 0.4, "swapped": 1.0}


def seen(wrong: float, slip: str = "wrong") -> Seen:
    return Seen(100.0, wrong, "score", slip, 0.9, 96.0)


def first(at: float, chances: list[float], slip: str = "wrong") -> int | None:
    """The caption at which a flag is raised."""
    waiting = Waiting(at, WEIGHTS)
    return next((n for n, wrong in enumerate(chances) if waiting.is_worth(seen(wrong, slip))), None)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=12), st.floats(0, 1), st.floats(0, 1))
def test_who_wants_to_be_surer_waits_no_less(chances: list[float], one: float, other: float) -> None:
    low, high = sorted((one, other))
    soon, late = first(low, chances), first(high, chances)
    assert late is None or (soon is not None and soon <= late)


@given(st.floats(0, 1), st.floats(0, 1))
def test_what_is_likelier_wrong_is_likelier_flagged(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert Waiting(0.5, WEIGHTS).chance(seen(low)) <= Waiting(0.5, WEIGHTS).chance(seen(high))


def test_right_numbers_on_the_wrong_side_are_flagged_sooner() -> None:
    chances = [0.5, 0.5, 0.6, 0.7, 0.8]
    swapped, wrong = first(0.6, chances, "swapped"), first(0.6, chances)
    assert swapped is not None
    assert wrong is not None
    assert swapped < wrong


def test_what_stands_for_longer_is_surer() -> None:
    waiting = Waiting(1.0, WEIGHTS)
    chances = []
    for _ in range(10):
        chances.append(waiting.chance(seen(0.7)))
        assert not waiting.is_worth(seen(0.7))
    assert chances == sorted(chances)
    # More than so many captions make nothing surer.
    assert chances[-1] == pytest.approx(chances[-2])


def test_at_nothing_everything_is_flagged_at_once() -> None:
    assert first(0.0, [0.01, 0.9]) == 0


def test_the_shipped_option_is_in_the_parameters() -> None:
    at = live_parameters().get("flag", "at")
    shipped, given_so = Waiting(), Waiting(at)
    for wrong in (0.3, 0.5, 0.7, 0.9):
        assert shipped.is_worth(seen(wrong)) == given_so.is_worth(seen(wrong))
