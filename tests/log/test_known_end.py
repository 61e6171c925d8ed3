"""How a bout ended, as it is known beforehand: it shows what nobody has said, and plain talk contradicts it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.bout import extract_bout
from extract.record.model import Record
from extract.transcript.known import Known
from tests.made_talk import bout_file, final, points, transcript

#: Red takes two points; no score is said, and what follows is only talk.
UNSAID = (
    "Here we go, first period.",
    "Takedown, red! Two points.",
    *("They circle in the middle of the mat." for _ in range(30)),
)
#: The same with its end told: two-nothing, red.
TOLD = (
    *UNSAID,
    "Two-nothing, red.",
    "That's the end of the bout, red wins it.",
    "Final score two-nothing, red.",
)


def read(lines: tuple[str, ...], known: Known | None, rules: str = "freestyle") -> Record:
    return extract_bout(transcript(*lines), replace(bout_file(rules), known=known))


def known_flags(record: Record) -> list[tuple[object, object]]:
    return [(f.said, f.computed) for f in record.flags if f.kind == "known"]


def test_points_that_nobody_said_are_filled_in_up_to_the_known_score() -> None:
    assert final(read(UNSAID, None)) == (2, 0)
    record = read(UNSAID, Known(None, None, (2, 1)))
    assert final(record) == (2, 1)
    assert record.result.winner == "red"
    (event,) = [e for e in record.events if e.corner == "blue" and e.points]
    assert event.basis == "inferred"
    assert "known beforehand" in event.why
    (note,) = [f for f in record.flags if f.kind == "uncalled"]
    assert "known beforehand" in note.why
    assert known_flags(record) == []


def test_the_corners_are_alike() -> None:
    turned = tuple(line.replace("red", "blue") for line in UNSAID)
    assert final(read(turned, Known(None, None, (1, 2)))) == (1, 2)


def test_plain_talk_contradicts_what_is_known() -> None:
    record = read(TOLD, Known("blue", "points", (2, 3)))
    assert final(record) == (2, 0)
    assert (record.result.winner, record.result.by) == ("red", "points")
    assert set(known_flags(record)) == {("blue", "red"), ((2, 3), (2, 0))}


def test_what_fits_is_no_flag_and_changes_nothing() -> None:
    record = read(TOLD, Known("red", "points", (2, 0)))
    assert record == replace(read(TOLD, None), result=record.result)
    assert known_flags(record) == []


def test_a_corner_that_the_talk_leaves_open_is_the_one_that_is_known_to_have_won() -> None:
    lines = ("Here we go, first period.", "Takedown! Two points.", "They circle.", "And that is the end.")
    for winner, score in (("red", (2, 0)), ("blue", (0, 2))):
        record = read(lines, Known(winner, "points", score))  # type: ignore[arg-type]
        assert points(record) == [(winner, 2)]
        assert known_flags(record) == []


@pytest.mark.parametrize("way", ["injury", "disqualification", "forfeit"])
def test_a_way_that_no_points_tell_is_taken_over(way: str) -> None:
    record = read(UNSAID, Known("blue", way, None))
    assert (record.result.winner, record.result.by) == ("blue", way)
    assert known_flags(record) == []


def test_a_fall_that_nobody_tells_of_is_flagged() -> None:
    assert known_flags(read(TOLD, Known("red", "fall", None))) == [("fall", "points")]


_ENDS = st.builds(
    Known,
    st.sampled_from([None, "red", "blue"]),
    st.sampled_from([None, "points", "criteria", "superiority", "fall"]),
    st.none() | st.tuples(st.integers(0, 14), st.integers(0, 14)),
)


@settings(max_examples=25, deadline=None)
@given(_ENDS)
def test_nothing_that_is_known_overrules_a_plain_end(known: Known) -> None:
    record = read(TOLD, known)
    assert (final(record), record.result.winner) == ((2, 0), "red")
    given_read = ((known.winner, "red"), (known.by, "points"), (known.score, (2, 0)))
    assert sorted(map(str, known_flags(record))) == sorted(
        str(pair) for pair in given_read if pair[0] is not None and pair[0] != pair[1]
    )


@settings(max_examples=15, deadline=None)
@given(st.tuples(st.integers(0, 8), st.integers(0, 8)))
def test_a_known_score_of_a_bare_talk_is_the_same_from_both_sides(score: tuple[int, int]) -> None:
    swap = {"red": "blue", "blue": "red"}
    turned = tuple(line.replace("red", "blue") for line in UNSAID)
    one, other = read(UNSAID, Known(None, None, score)), read(turned, Known(None, None, score[::-1]))
    assert [(swap[str(corner)], n) for corner, n in points(one)] == points(other)
