"""Verdicts on what was said, and the flags that a person should look at."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extract.checks.sides import CORNERS_ONLY
from extract.checks.statements import _Known
from extract.checks.words import clock_text as moment
from extract.log import BoutLog
from extract.record.model import Record
from extract.rules.base import Move
from extract.rules.board import BoardChange
from tests.made_talk import bout, final
from tests.samples import NAMES, sample

START = "Here we go, first period."
#: Red scores 2, blue 2, red 1: three-two.
TO_THREE_TWO = (
    START,
    "Takedown, red! Two points.",
    "Two-nothing, red.",
    "Takedown, blue! Two points.",
    "Two-two on the board.",
    "Step-out, one, red.",
    "Three-two, red.",
)


def after(said: str) -> Record:
    """A bout at three-two in which something is said, and then the score twice more."""
    return bout(*TO_THREE_TWO, said, "Three-two, red, and they circle.", "Still three-two, red.")


@pytest.mark.parametrize(
    ("said", "value", "slip"),
    [
        ("Four-two, red.", (4, 2), "wrong"),
        ("Three-two, Strandlow leads.", (2, 3), "swapped"),
        ("It's two-two, Felmouth needs one.", (2, 2), "stale"),
        ("Felmouth leads three to one.", (3, 1), "wrong"),
        ("The score is three-one, red.", (3, 1), "wrong"),
    ],
)
def test_a_slip_is_flagged_with_said_and_computed(said: str, value: tuple[int, int], slip: str) -> None:
    record = after(said)
    assert final(record) == (3, 2)
    (statement,) = [s for s in record.statements if s.cue == 8]
    assert (statement.said, statement.computed, statement.slip) == (value, (3, 2), slip)
    (flag,) = [f for f in record.flags if f.kind == "score"]
    assert (flag.said, flag.computed, flag.cue) == (value, (3, 2), 8)
    assert flag.refs == (statement.id,)
    assert flag.severity in ("error", "warning")
    assert flag.text == statement.text
    assert "3-2" in flag.why


@pytest.mark.parametrize(
    "said", ["Three-two, red.", "felmouth up 3-2", "It's three to two.", "blue trails three-two"]
)
def test_a_right_score_agrees_and_is_not_flagged(said: str) -> None:
    record = after(said)
    (statement,) = [s for s in record.statements if s.cue == 8]
    assert (statement.verdict, statement.slip, statement.computed) == ("agrees", None, (3, 2))
    assert "step-out" in statement.why
    assert [f for f in record.flags if f.severity == "error"] == []


@pytest.mark.parametrize(
    ("said", "verdict", "margin", "leader"),
    [
        ("Felmouth by one.", "agrees", 1, "red"),
        ("A one-point lead for red.", "agrees", 1, "red"),
        ("Strandlow trails by one.", "agrees", 1, "red"),
        ("Felmouth by three.", "unclear", 3, "red"),
        ("Strandlow leads by one.", "unclear", 1, "blue"),
        ("They are dead level.", "unclear", 0, None),
    ],
)
def test_a_lead_said_in_one_number(said: str, verdict: str, margin: int, leader: str | None) -> None:
    record = after(said)
    (statement,) = [s for s in record.statements if s.cue == 8]
    assert (statement.said, statement.verdict) == (None, verdict)
    assert (statement.margin, statement.leader) == (margin, leader)
    flags = [f for f in record.flags if statement.id in f.refs]
    assert [f.severity for f in flags] == ([] if verdict == "agrees" else ["note"])
    assert final(record) == (3, 2)


def test_a_lead_of_nobody_is_no_statement() -> None:
    assert [s for s in after("It's a two-point match.").statements if s.cue == 8] == []


def test_a_final_score_that_is_not_the_computed_one() -> None:
    record = bout(
        *TO_THREE_TWO,
        (60.0, "Three-two, red, still."),
        (180.0, "That's the horn, end of the first period."),
        (212.0, "Second period, here we go."),
        (250.0, "Three-two, red."),
        (393.0, "That's the horn, it's all over!"),
        (398.0, "Final score: Felmouth three, Strandlow one."),
    )
    kinds = [f.kind for f in record.flags]
    assert "score" in kinds
    (flag,) = [f for f in record.flags if f.kind == "final_score"]
    assert (flag.severity, flag.said, flag.computed) == ("error", (3, 1), (3, 2))
    assert record.result.said_score == (3, 1)
    assert record.result.score == (3, 2)


def test_no_winner_is_flagged() -> None:
    record = bout(START, "They circle.", "Nothing-nothing.")
    (flag,) = [f for f in record.flags if f.kind == "winner"]
    assert (flag.severity, flag.computed) == ("warning", "0-0")
    assert record.result.winner is None


def test_flags_stand_most_serious_first() -> None:
    record = bout(
        START,
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        (40.0, "That makes it two-two."),
        (48.0, "Two-two."),
        (55.0, "Two-two on the board."),
        (60.0, "Two-one, red."),
        (66.0, "Two-two, they circle."),
        (72.0, "Two-two."),
        (80.0, "The blue corner throws the brick, they challenge."),
    )
    severities = [f.severity for f in record.flags]
    assert len(set(severities)) > 1
    assert severities == sorted(severities, key=["error", "warning", "note"].index)
    for level in set(severities):
        times = [f.t for f in record.flags if f.severity == level]
        assert times == sorted(times)
    assert len({f.id for f in record.flags}) == len(record.flags)


_AWARDS = {
    "Takedown, red! Two points.": ("red", 2),
    "Takedown, blue! Two points.": ("blue", 2),
    "Step-out, one, red.": ("red", 1),
    "Step-out, one, blue.": ("blue", 1),
    "Big throw! Four points, blue.": ("blue", 4),
}


@settings(deadline=None, max_examples=60)
@given(said=st.lists(st.sampled_from(sorted(_AWARDS)), min_size=1, max_size=6))
def test_a_bout_called_and_scored_in_full_has_no_error(said: list[str]) -> None:
    """Every award called, the score said after each: the log is what was called, and nothing disagrees."""
    lines: list[tuple[float, str]] = [(0.0, START)]
    board = {"red": 0, "blue": 0}
    for n, line in enumerate(said):
        corner, worth = _AWARDS[line]
        if abs(board["red"] + (worth if corner == "red" else 0) - board["blue"]) > 9:
            break
        board[corner] += worth
        if abs(board["red"] - board["blue"]) > 9:
            board[corner] -= worth
            break
        lines += [
            (20.0 + 25.0 * n, line),
            (28.0 + 25.0 * n, f"Felmouth {board['red']}, Strandlow {board['blue']}."),
        ]
    record = bout(*lines)
    assert final(record) == (board["red"], board["blue"])
    assert {s.verdict for s in record.statements} <= {"agrees"}
    assert [f for f in record.flags if f.kind in ("score", "uncalled", "final_score")] == []


def test_the_reason_names_the_change_that_brought_the_score() -> None:
    """Each reason that names points with a score names those after which that score stood."""
    for name in NAMES:
        _, _, record = sample(name)
        scores = {moment(e.t): e.score_after for e in record.events if e.points}
        for statement in record.statements:
            found = re.search(
                r"\((\d+)\) at ([\d:]+)(?:, which nobody mentioned,?)? made it (\d+)-(\d+)", statement.why
            )
            if found is not None:
                assert sorted(scores[found[2]]) == sorted((int(found[3]), int(found[4]))), statement.why


def test_the_change_is_the_one_that_brought_the_score() -> None:
    """Points told in the same breath stand at the very moment of a score that is held against the one before them."""
    record = bout(*TO_THREE_TWO)
    points = [e for e in record.events if e.points]
    log = SimpleNamespace(
        readings=(),
        order=None,
        board=[BoardChange(0.0, (0, 0)), *(BoardChange(e.t, e.score_after) for e in points)],
        events=[
            SimpleNamespace(
                t=e.t,
                score_after=e.score_after,
                entry=SimpleNamespace(move=Move(e.kind, e.corner, e.points), off=None, basis="called"),
            )
            for e in points
        ],
    )
    known = _Known(cast(BoutLog, log), CORNERS_ONLY)
    last = points[-1]
    change = known.last_change(last.t, points[-2].score_after)
    assert change is not None
    assert change.after == f"after blue's takedown (2) at {moment(points[-2].t)}"
    assert known.last_change(last.t, (9, 9)) is None
