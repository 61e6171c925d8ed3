"""Riding time: sums worked by hand, and what holds of every one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.rules import get_ruleset
from extract.rules.riding import Hold, riding_balance, riding_point

COLLEGIATE = get_ruleset("collegiate")
HOLDS = st.lists(st.builds(Hold, st.sampled_from(["red", "blue"]), st.integers(0, 180)), max_size=12)


@given(HOLDS)
def test_the_balance_is_what_one_rode_more(holds: list[Hold]) -> None:
    red, blue = (sum(h.seconds for h in holds if h.corner == corner) for corner in ("red", "blue"))
    balance = riding_balance(holds)
    assert balance == red - blue
    point = riding_point(balance, 60)
    assert (point is None) == (abs(red - blue) < 60)
    if point is not None:
        assert (point == "red") == (red > blue)


@given(HOLDS)
def test_corners_exchanged_turn_the_balance_round(holds: list[Hold]) -> None:
    turned = [Hold("blue" if h.corner == "red" else "red", h.seconds) for h in holds]
    assert riding_balance(turned) == -riding_balance(holds)


@pytest.mark.parametrize(
    ("period", "reckoning"),
    [(0, None), (1, 0), (3, 0), (4, None), (5, 1), (6, 1), (7, None), (8, 1), (9, 1), (10, None)],
)
def test_control_counts_in_regulation_and_in_the_tie_breakers(period: int, reckoning: int | None) -> None:
    assert COLLEGIATE.riding_round(period) == reckoning


def test_other_styles_reckon_none() -> None:
    for name in ("scholastic", "freestyle", "greco"):
        rules = get_ruleset(name)
        assert rules.riding_time_seconds is None
        assert rules.riding_round(1) is None
