"""The board at the end of each period, as it is known beforehand, in the search and in the flags."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from extract.bout import extract_bout
from extract.errors import InputError
from extract.record.model import Record
from extract.transcript.known import Known
from tests.made_talk import Line, bout_file, final, points, transcript

_CIRCLING = ("They circle in the middle of the mat.",) * 28
#: Red takes two points in the first period and blue two in the second; no score is said.
UNSAID: tuple[Line, ...] = (
    "Here we go, first period.",
    "Takedown, red! Two points.",
    *_CIRCLING,
    "That is the end of the first period.",
    (200.0, "Second period under way."),
    *_CIRCLING,
    "Takedown, blue! Two points.",
    *("They tie up again.",) * 4,
)
#: The same with the board told at the end of the first period.
TOLD: tuple[Line, ...] = (*UNSAID[:30], "Two-nothing red at the break, two-nothing.", *UNSAID[30:])
SWAP = {"red": "blue", "blue": "red"}


def read(known: Known | None, lines: tuple[Line, ...] = UNSAID, rules: str = "freestyle") -> Record:
    return extract_bout(transcript(*lines), replace(bout_file(rules), known=known))


def known_flags(record: Record) -> list[tuple[object, object]]:
    return [(f.said, f.computed) for f in record.flags if f.kind == "known"]


def in_period(record: Record, period: int) -> list[tuple[str | None, int]]:
    return [(e.corner, e.points) for e in record.events if e.points and e.period == period]


def test_points_that_nobody_said_are_put_into_the_period_whose_board_shows_them() -> None:
    assert final(read(None)) == (2, 2)
    record = read(Known(periods=((2, 1), (2, 3))))
    assert in_period(record, 1) == [("red", 2), ("blue", 1)]
    assert in_period(record, 2) == [("blue", 2)]
    (event,) = [e for e in record.events if e.basis == "inferred" and e.points]
    assert "known beforehand of the end of period 1" in event.why
    assert known_flags(record) == []


def test_the_first_period_alone_may_be_known() -> None:
    record = read(Known(periods=((2, 1),)))
    assert final(record) == (2, 3)
    assert in_period(record, 1) == [("red", 2), ("blue", 1)]


def test_the_corners_are_alike() -> None:
    mirrored = tuple(
        line if isinstance(line, tuple) else re.sub("red|blue", lambda m: SWAP[m[0]], line) for line in UNSAID
    )
    one, other = read(Known(periods=((2, 1),))), read(Known(periods=((1, 2),)), mirrored)
    assert [(SWAP[str(corner)], n) for corner, n in points(one)] == points(other)


def test_the_last_of_all_periods_stands_for_the_final_score() -> None:
    assert final(read(Known(periods=((2, 0), (4, 2))))) == (4, 2)


def test_a_board_told_at_the_break_outweighs_the_known_one_and_a_flag_says_so() -> None:
    record = read(Known(periods=((2, 4),)), TOLD)
    assert in_period(record, 1) == [("red", 2)]
    assert known_flags(record) == [((2, 4), (2, 0))]
    (flag,) = [f for f in record.flags if f.kind == "known"]
    assert "end of period 1" in flag.why
    assert flag.t < 200


def test_three_awards_that_nobody_said_cost_no_more_than_many() -> None:
    record = read(Known(periods=((8, 4), (8, 6))))
    assert final(record) == (8, 6)
    assert in_period(record, 2) == [("blue", 2)]


def test_what_fits_changes_nothing() -> None:
    plain, record = read(None, TOLD), read(Known(periods=((2, 0),)), TOLD)
    assert known_flags(record) == []
    assert points(record) == points(plain)


def test_many_points_that_nobody_said_are_filled_in_at_a_period_and_at_the_end() -> None:
    # No three awards bring so much.
    record = read(Known(periods=((11, 6), (11, 8))))
    assert final(record) == (11, 8)
    assert sum(n for _, n in in_period(record, 1)) == 17
    assert final(read(Known("red", "superiority", (12, 2)))) == (12, 2)


@pytest.mark.parametrize(("rules", "most"), [("freestyle", 2), ("greco", 2)])
def test_more_periods_than_the_style_has_are_refused(rules: str, most: int) -> None:
    with pytest.raises(InputError) as error:
        read(Known(periods=tuple((n, 0) for n in range(most + 1))), rules=rules)
    assert f"{most} at most" in str(error.value)
    assert error.value.remedy


def test_a_level_board_of_a_style_with_overtime_is_no_final_score() -> None:
    record = read(Known(periods=((2, 0), (2, 0), (2, 2))), rules="scholastic")
    assert not [f for f in record.flags if f.kind == "known" and "final score" in f.why]
