"""The balance of riding time, out of who is in control and what the clock shows; and the checks on it."""

from __future__ import annotations

import pytest

from extract.record.model import Record
from extract.rules import Corner
from tests.drawn.compare import record_of
from tests.drawn.draw_bout import draw_bout
from tests.drawn.ridden import ridden, signed
from tests.drawn.say_bout import say_bout
from tests.drawn.voice import REGISTERS
from tests.made_talk import Line, bout

#: The first period: red takes blue down after 30 s and rides him to its end, 150 s.
FIRST: tuple[Line, ...] = (
    (0.0, "Here we go, first period."),
    (30.0, "Takedown, red! Three points."),
    (36.0, "Three-nothing, red."),
    (180.0, "There's the horn, end of the first period."),
)


def test_drawn_bouts_give_the_balance_within_five_seconds() -> None:
    """In most, told without noise: a call comes a second or two late, and stops are not always told."""
    off = []
    for seed in range(60):
        drawn = draw_bout("collegiate", seed)
        record = record_of(say_bout(drawn, REGISTERS[seed % len(REGISTERS)]))
        off.append(abs(signed(record)[0] - ridden(drawn)))
    assert sum(o <= 5.0 for o in off) >= 51
    assert max(off) < 15.0


def test_who_is_on_top_at_a_restart_is_heard() -> None:
    chosen = (
        *FIRST,
        (195.0, "Second period, here we go."),
        (197.0, "Blue's on top."),
        (260.0, "Escape, red, one."),
    )
    record = bout(*chosen, rules="collegiate")
    before, after = record.riding_time[-3:-1] if len(record.riding_time) > 2 else ((), ())
    assert (before.control, after.control) == ("blue", None)  # type: ignore[union-attr]
    assert before.seconds - after.seconds == pytest.approx(65.0, abs=6.0)  # type: ignore[union-attr]


def test_an_award_taken_away_gives_no_control() -> None:
    record = bout(
        *FIRST[:3],
        (50.0, "Blue challenges the takedown."),
        (80.0, "Challenge successful, the takedown comes off the board."),
        (84.0, "It's nothing-nothing."),
        FIRST[3],
        rules="collegiate",
    )
    assert record.riding_time[-1].seconds == 0.0


def point(corner: Corner, *between: Line) -> Record:
    """A bout of three periods after which the riding-time point goes to a corner."""
    return bout(
        *FIRST,
        (195.0, "Second period, here we go. They start in neutral."),
        *between,
        (315.0, "There's the horn, end of the second period."),
        (330.0, "Third period, here we go. They start in neutral."),
        (450.0, "That's the match! Final horn."),
        (453.0, f"Riding time, one point, {corner}."),
        (456.0, "Four-nothing, red." if corner == "red" else "Three-one, red."),
        rules="collegiate",
    )


def test_a_point_that_the_balance_bears_out_is_not_flagged() -> None:
    record = point("red")
    assert record.riding_time[-1].seconds == pytest.approx(150.0, abs=5.0)
    assert not [f for f in record.flags if f.kind.startswith("riding_time")]


def test_a_point_for_the_wrong_corner_is_flagged() -> None:
    (flag,) = [f for f in point("blue").flags if f.kind == "riding_time"]
    assert (flag.severity, flag.said, flag.computed) == ("warning", "blue", "red")


def test_a_riding_time_said_that_cannot_be_is_noted() -> None:
    record = point("red", (220.0, "He's got forty seconds of riding time."))
    (flag,) = [f for f in record.flags if f.kind == "riding_time_said"]
    assert flag.said == "0:40"
    assert not [
        f
        for f in point("red", (220.0, "He's got two and a half minutes of riding time.")).flags
        if f.kind == "riding_time_said"
    ]


def test_a_point_that_nobody_gave_is_noted() -> None:
    record = bout(
        *FIRST,
        (195.0, "Second period, here we go. They start in neutral."),
        (315.0, "There's the horn, end of the second period."),
        (330.0, "Third period, here we go. They start in neutral."),
        (450.0, "That's the match! Final horn."),
        (456.0, "Three-nothing, red."),
        rules="collegiate",
    )
    (flag,) = [f for f in record.flags if f.kind == "riding_time"]
    assert (flag.severity, flag.said, flag.computed) == ("note", None, "red")


def test_styles_without_riding_time_have_no_balance() -> None:
    assert bout((0.0, "Here we go."), (30.0, "Takedown, red! Two points.")).riding_time == ()
