"""Typed notes: shorthand, full stops that only shorten, and lines that stand each for itself (common practice)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from extract.mentions import Heard, hear
from extract.mentions.model import CallMention, ClockMention, MarkMention, ScoreMention
from tests.made_talk import bout_file, transcript

REST = ("Red pressing", "tie up, center", "Blue circling", "reset", "hand fight")


def notes(*lines: str, rules: str = "freestyle") -> Heard:
    talk = replace(transcript(*REST, *lines, *REST), format="csv")
    return hear(talk, rules, bout_file(rules))


def calls(*lines: str, rules: str = "freestyle") -> list[tuple[tuple[str, ...], int | None, str | None, str]]:
    found = [m for m in notes(*lines, rules=rules).mentions if isinstance(m, CallMention)]
    return [(m.kinds, m.points, m.corner, m.stance) for m in found]


@pytest.mark.parametrize(
    ("line", "kind", "points", "corner"),
    [
        ("T/D Felmouth", "takedown", None, "red"),
        ("TD. 2 red.", "takedown", 2, "red"),
        ("Rev. 1 blue.", "reversal", 1, "blue"),
        ("Takedown. 2 Strandlow.", "takedown", 2, "blue"),
        ("Fall. red.", "fall", None, "red"),
    ],
)
def test_shorthand(line: str, kind: str, points: int | None, corner: str) -> None:
    assert calls(line) == [((kind,), points, corner, "asserted")]


def test_initials_stand_for_the_two() -> None:
    """Felmouth and Strandlow: each letter often, and one of each."""
    found = calls("F td, 2", "S pressing", "S t/d 2", "F tired", "F again: td", "S quiet")
    assert [(kinds, corner) for kinds, _, corner, _ in found] == [
        (("takedown",), "red"),
        (("takedown",), "blue"),
        (("takedown",), "red"),
    ]
    seldom = [m.corner for m in notes("F td, 2", "S quiet").mentions if isinstance(m, CallMention)]
    assert seldom == [None]


def test_a_call_does_not_run_on_into_the_next_note() -> None:
    assert calls("takedown Red", "2 red, gut") == [
        (("takedown",), None, "red", "asserted"),
        (("exposure",), 2, "red", "asserted"),
    ]
    assert calls("Felmouth shot, no", "takedown Strandlow, 2 pts") == [(("takedown",), 2, "blue", "asserted")]


def test_points_and_the_score_of_the_next_note_are_no_time() -> None:
    talk = notes("blue gut wrench +2", "16-5 Strandlow leads", "final: 13-4 Felmouth", rules="freestyle")
    assert not [m for m in talk.mentions if isinstance(m, ClockMention)]
    assert [m.pair for m in talk.mentions if isinstance(m, ScoreMention)] == [(16, 5), (13, 4)]


@pytest.mark.parametrize(
    ("line", "what", "period"),
    [
        ("p1 over", "period_end", 1),
        ("P2 done", "period_end", 2),
        ("end P3", "period_end", 3),
        ("P4 start", "period_start", 4),
        ("period 2 start", "period_start", 2),
    ],
)
def test_periods(line: str, what: str, period: int) -> None:
    marks = [m for m in notes(line, rules="scholastic").mentions if isinstance(m, MarkMention)]
    assert (what, period) in {(m.what, m.period) for m in marks if m.grade != "loose"}


@pytest.mark.parametrize("line", ["end first period", "end of second period", "end P1"])
def test_a_period_that_ends_is_not_announced(line: str) -> None:
    marks = [m for m in notes(line, rules="scholastic").mentions if isinstance(m, MarkMention)]
    assert [m.what for m in marks if m.grade != "loose"] == ["period_end"]


def test_a_word_of_time_left_in_the_next_note_is_not_of_the_period_that_starts() -> None:
    talk = notes("start P1", "left lead from Felmouth", rules="scholastic")
    named = [m for m in talk.mentions if isinstance(m, MarkMention) and m.grade == "named"]
    assert [(m.what, m.period) for m in named] == [("period_start", 1)]


def test_a_letter_for_each_athlete() -> None:
    """Initials that stand alone often; a letter that both names have, or that means a corner, is none."""
    lines = (
        "F shot, no",
        "S sprawl",
        "F ties",
        "S pressing",
        "F on the edge",
        "S snap",
        "F circling",
        "S shot",
    )
    talk = notes(*lines, "takedown F, 2", "reversal S, 1")
    found = [m for m in talk.mentions if isinstance(m, CallMention)]
    assert [(m.kinds, m.points, m.corner) for m in found] == [
        (("takedown",), 2, "red"),
        (("reversal",), 1, "blue"),
    ]


def test_a_score_with_a_colon() -> None:
    talk = notes("4:1 red", "1:43 left")
    assert [m.pair for m in talk.mentions if isinstance(m, ScoreMention)] == [(4, 1)]
    assert [m.seconds for m in talk.mentions if isinstance(m, ClockMention)] == [103]
