"""What the words of the talk show of awards that nobody called."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.log import default_parameters
from extract.log.moments import Moments
from extract.log.parameters import Parameters
from extract.mentions.model import Passage

TELLING = "tellingword"


def parameters() -> Parameters:
    """The shipped ones, with a word of our own that tells of takedowns."""
    tables = default_parameters().tables
    takedown = {"sign": {"bias": -3.0, f"said {TELLING}": 4.0}}
    return Parameters({**tables, "moment": {**tables["moment"], "takedown": takedown}})


def passage(t: float, *said: str) -> Passage:
    return Passage(0, 1, t, t + 5.0, frozenset(said), frozenset())


def test_no_talk_tells_nothing() -> None:
    silent = Moments((), parameters())
    assert silent.ratio("takedown", 0.0, 60.0) == 1.0
    assert silent.times(["takedown"], 0.0, 60.0, 1.0) is None


def test_telling_words_make_an_award_likelier_where_they_are_said() -> None:
    moments = Moments([passage(5.0 * k, TELLING if k == 6 else "quiet") for k in range(20)], parameters())
    assert moments.ratio("takedown", 28.0, 33.0) > 1 > moments.ratio("takedown", 50.0, 80.0)


def test_an_uncalled_award_goes_where_the_words_tell_of_it() -> None:
    fitted = parameters()
    moments = Moments([passage(5.0 * k, TELLING if k == 6 else "quiet") for k in range(10)], fitted)
    lag_s = fitted.get("moment", "lag_s")
    assert moments.times(["takedown"], 0.0, 45.0, 1.0) == [30.0 - lag_s]


said_at = st.lists(st.tuples(st.floats(0, 100), st.sampled_from([TELLING, "quiet"])), max_size=12)


@given(said_at, st.integers(1, 3))
def test_times_are_in_order_and_apart_and_between_the_bounds(
    said: list[tuple[float, str]], count: int
) -> None:
    fitted, step = parameters(), 2.0
    moments = Moments([passage(t, word) for t, word in sorted(said)], fitted)
    times = moments.times(["takedown"] * count, 20.0, 80.0, step)
    if times is None:
        return
    assert len(times) == count
    assert all(20.0 <= t <= 80.0 for t in times)
    # What is said at the very beginning of the stretch is not put before it.
    lag_s = fitted.get("moment", "lag_s")
    for a, b in pairwise(times):
        assert b >= a + step - (lag_s if a == 20.0 else 0.0) - 1e-9


@given(said_at, st.floats(0, 100), st.floats(0, 100))
def test_words_weigh_within_bounds(said: list[tuple[float, str]], a: float, b: float) -> None:
    fitted = parameters()
    table = fitted.table("moment")
    ratio = Moments([passage(t, word) for t, word in sorted(said)], fitted).ratio(
        "takedown", min(a, b), max(a, b)
    )
    least, most = (table[key] ** table["trust"] for key in ("least", "most"))
    assert ratio == 1.0 or least <= ratio <= most


@pytest.mark.parametrize("kind", ["fall", "caution"])
def test_a_kind_that_no_words_are_fitted_for_stays_as_it_is(kind: str) -> None:
    assert Moments([passage(0.0, TELLING), passage(5.0)], parameters()).ratio(kind, 0.0, 4.0) == 1.0
