"""Overtime out of talk: which extra period is named, and the ways of winning that only it has."""

from __future__ import annotations

import pytest

from extract.mentions.model import MarkMention
from extract.record.model import Record
from tests.made_talk import Line, bout, found

REGULATION: tuple[Line, ...] = (
    (0.0, "Here's the whistle, first period under way."),
    (180.0, "And that's the end of the first period, no score."),
    (190.0, "Second period, they choose neutral. Whistle."),
    (310.0, "End of the second period. Nothing-nothing."),
    (320.0, "Third period under way, neutral again."),
    (440.0, "End of regulation, zero-zero. We are going to overtime."),
    (455.0, "Sudden victory under way."),
)
TIE_BREAKERS: tuple[Line, ...] = (
    (575.0, "End of sudden victory, still nothing-nothing. Tie-breakers next."),
    (585.0, "First tie-breaker under way. Red on the bottom, blue on top."),
    (595.0, "Escape, red, one point. Red leads one to nothing."),
    (615.0, "End of the first tie-breaker."),
    (625.0, "Second tie-breaker under way. Blue on the bottom, red on top."),
    (640.0, "Escape, blue, one point. It's tied, one to one."),
)


def awards(record: Record) -> list[tuple[str, str | None, int, int, str]]:
    return [(e.kind, e.corner, e.points, e.period, e.basis) for e in record.events if e.points]


def test_tie_breakers_and_a_win_on_riding_time() -> None:
    record = bout(
        *REGULATION, *TIE_BREAKERS,
        (655.0, "End of the second tie-breaker. One to one. Red wins it on riding time, by five seconds."),
        (665.0, "The final score one to one, and red takes it."),
        rules="collegiate",
    )  # fmt: skip
    assert awards(record) == [("escape", "red", 1, 5, "called"), ("escape", "blue", 1, 6, "called")]
    assert (record.result.winner, record.result.by, record.result.score) == ("red", "criteria", (1, 1))
    assert not [f for f in record.flags if f.kind in ("score", "winner")]


def test_an_ultimate_tie_breaker_that_is_ridden_out() -> None:
    first = [(t - 120.0 if t > 440 else t * 2 / 3, text) for t, text in (*REGULATION, *TIE_BREAKERS)]
    record = bout(
        *first,
        (545.0, "End of the second tie-breaker. One to one."),
        (556.0, "The ultimate tie-breaker now, red is on the bottom, blue on top. Whistle."),
        (588.0, "And that's time! Blue rode him out, he gets the point and wins two to one."),
        rules="scholastic",
    )
    assert awards(record)[-1] == ("ride_out", "blue", 1, 7, "called")
    assert (record.result.winner, record.result.by, record.result.score) == ("blue", "points", (1, 2))


def test_a_takedown_in_sudden_victory() -> None:
    record = bout(
        *REGULATION, (500.0, "Takedown, blue! Three points, and that's the match!"), (506.0, "Three-nothing, blue."),
        rules="collegiate",
    )  # fmt: skip
    assert awards(record) == [("takedown", "blue", 3, 4, "called")]
    assert (record.result.winner, record.result.by) == ("blue", "points")


@pytest.mark.parametrize(
    ("lines", "periods"),
    [
        (["Sudden victory starts.", "End of sudden victory.", "Into the first tie-breaker."], [4, 4, 5]),
        (
            ["Overtime starts.", "First tiebreaker.", "Second tiebreaker.", "Second sudden victory."],
            [4, 5, 6, 7],
        ),
        (["Sudden victory.", "Tie-breaker number two."], [4, 6]),
        (["Second sudden victory.", "Now the tie-breaker."], [7, 8]),
    ],
)
def test_which_period_of_overtime_is_named(lines: list[str], periods: list[int]) -> None:
    marks = found(MarkMention, " ".join(lines), "collegiate")
    assert [m.period for m in marks if m.period is not None and m.period > 3] == periods
