"""Marks of a score sheet in typed notes: letters for the kind, the points behind them (common practice of scorers)."""

from __future__ import annotations

import pytest

from tests.mentions.test_notes import calls, notes

#: So that R and B are letters of the corners.
CORNERS = ("R pressing", "B pressing", "R circling", "B circling")


def marks(line: str, rules: str) -> list[tuple[tuple[str, ...], int | None, str | None]]:
    return [(kinds, points, corner) for kinds, points, corner, _ in calls(*CORNERS, line, rules=rules)]


@pytest.mark.parametrize(
    ("line", "kind", "points", "corner"),
    [
        ("R td2", "takedown", 2, "red"),
        ("R TD2 2-0", "takedown", 2, "red"),
        ("B so1 6-1", "step_out", 1, "blue"),
        ("R gut2 4-0", "exposure", 2, "red"),
        ("B ll2", "exposure", 2, "blue"),
        ("B exp2", "exposure", 2, "blue"),
        ("R rev1", "reversal", 1, "red"),
        ("R ac1", "passivity_point", 1, "red"),
        ("R: SO (2-4)", "step_out", None, "red"),
        ("R gut wrench 4-0", "exposure", None, "red"),
        ("R gut 2", "exposure", 2, "red"),
    ],
)
def test_olympic(line: str, kind: str, points: int | None, corner: str) -> None:
    assert marks(line, "freestyle") == [((kind,), points, corner)]


@pytest.mark.parametrize(
    ("line", "kind", "points", "corner"),
    [
        ("R T3 3-0", "takedown", 3, "red"),
        ("E1 R 3-1", "escape", 1, "red"),
        ("G R2", "reversal", 2, "blue"),
        ("R NF4", "near_fall", 4, "red"),
        ("R P1 5-4", "penalty_point", 1, "red"),
        ("S R", "stalling_warning", None, "blue"),
        ("R S0", "stalling_warning", None, "blue"),
        ("R SW", "stalling_warning", None, "blue"),
        ("S1 R", "stalling_point", 1, "red"),
    ],
)
def test_folkstyle(line: str, kind: str, points: int | None, corner: str) -> None:
    """Of a warning the corner is the one that it favours; the offender stands beside it."""
    corners = ("R pressing", "G pressing", "R circling", "G circling")
    found = [(kinds, p, c) for kinds, p, c, _ in calls(*corners, line, rules="collegiate")]
    assert found == [((kind,), points, corner)]


def test_marks_of_one_row() -> None:
    assert marks("R T3, N2 8-1", "collegiate") == [(("takedown",), 3, "red"), (("near_fall",), 2, "red")]


def test_a_code_that_nobody_knows_counts_by_its_points() -> None:
    assert marks("R zz2 4-0", "freestyle") == [((), 2, "red")]
    assert marks("R has mat3 in view", "freestyle") == []
    assert marks("R on mat 3", "freestyle") == []


@pytest.mark.parametrize("line", ["P1", "P2 R bottom", "P1 start"])
def test_a_period_is_no_penalty(line: str) -> None:
    assert marks(line, "collegiate") == []
    assert any(
        getattr(m, "what", "") == "period_start" for m in notes(*CORNERS, line, rules="collegiate").mentions
    )


def test_a_letter_is_a_corner_where_only_one_has_anything_to_note() -> None:
    found = calls("R td2", "R gut2", "R gut2", "R so1")
    assert [corner for _, _, corner, _ in found] == ["red"] * 4
    # Beside the letter of another it is somebody's initial.
    talk = notes("B touch, attack", "K parries", "B again", "B long lunge", "K quiet")
    assert not [
        ref for ref in talk.refs if ref.how == "colour" and talk.document.words.text[ref.start] == "B"
    ]


def test_riding_time_is_another_clock() -> None:
    talk = notes("R T3", "G E1", "R T3", "G E1", "final. RT R 1:08 -> +1. 13-9", rules="collegiate")
    assert [(m.clock, m.seconds) for m in talk.mentions if hasattr(m, "clock")] == [("riding", 68)]
