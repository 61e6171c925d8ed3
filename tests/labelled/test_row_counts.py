"""What each row did on labelled bouts: right, wrong, unused, in conflict; and the table of it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.labelled import LabelledBout
from extract.labelled.row_counts import RowCount, count_rows, total_rows
from extract.mentions import Heard
from extract.mentions.model import (
    CallMention,
    ClockMention,
    MarginMention,
    MarkMention,
    Mention,
    ResultMention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)
from extract.record import Evidence, Record
from tests.labelled.hand_made import (
    SAMPLES,
    TrueBoard,
    TrueChallenge,
    TrueClock,
    TrueResult,
    TrueScore,
    award,
    challenge,
    event,
    reading,
    record,
    statement,
    truth,
)
from tests.made_talk import heard, transcript

LINES = ("one two three four five six", "seven eight nine ten eleven twelve")
#: A shipped row that is found in none of the lines.
ROW, OTHER = "score.held", "score.colon"


def counted(mentions: list[Mention], found: Record, **labels: Any) -> dict[str, RowCount]:
    """What the rows did with some mentions, in the lines above, each five seconds after the one before."""
    in_lines: Heard = replace(heard(*LINES), mentions=tuple(mentions))
    in_lines.talk.fitted.clear()
    return count_rows(LabelledBout(transcript(*LINES), None, truth(**labels)), in_lines, found)


def one(mention: Mention, found: Record, **labels: Any) -> str:
    """Whether a mention by a row is right, wrong or unused."""
    count = counted([mention], found, **labels)[ROW]
    assert (count.fired, count.conflicts) == (1, 0)
    [what] = [what for what in ("right", "wrong", "unused") if getattr(count, what)]
    return what


def said(kind: Any, *fields: Any, start: int = 0, end: int = 2, row: str = ROW) -> Any:
    return kind(start, end, 0.0, "asserted", "grade", *fields, row=row)


#: The words of a mention that begins with the first word, as a record has them.
SPOT = {"cue": 1, "start": 0, "end": 7}
RESTS = (Evidence(1, 0, 7, "one two"),)
BOARD = (TrueBoard(0.0, 0, 0), TrueBoard(3.0, 2, 0), TrueBoard(60.0, 4, 0))


@pytest.mark.parametrize(
    ("first", "at", "stated", "wanted"),
    [
        ("red", 6.0, (3, 1), "right"),
        (None, 6.0, (3, 1), "right"),
        ("blue", 6.0, (1, 3), "wrong"),
        ("red", 6.01, (3, 1), "wrong"),
        # The log took it for no score of this bout, or no label has it.
        ("red", 6.01, None, "unused"),
        ("blue", 6.0, None, "unused"),
    ],
)
def test_scores(first: Any, at: float, stated: Any, wanted: str) -> None:
    statements = () if stated is None else (statement(1, 0.0, stated, **SPOT),)
    score = said(ScoreMention, (3, 1), first, "near")
    assert one(score, record(statements=statements), scores=(TrueScore(at, (3, 1), None),)) == wanted


def test_a_repetition_of_the_board_is_neither_right_nor_wrong() -> None:
    score = said(ScoreMention, (2, 0), "red", "near")
    found = record(statements=(statement(1, 0.0, (2, 0), **SPOT),))
    assert one(score, found, board=BOARD) == "unused"
    flagged = record(statements=(statement(1, 0.0, (2, 0), verdict="disagrees", **SPOT),))
    assert one(score, flagged, board=BOARD) == "wrong"


@pytest.mark.parametrize(
    ("kinds", "points", "status", "wanted"),
    [
        (("takedown",), 2, "stands", "right"),
        ((), 2, "stands", "right"),
        ((), 1, "stands", "wrong"),
        ((), 1, "overturned", "unused"),
        (("exposure",), None, "stands", "wrong"),
    ],
)
def test_calls(kinds: Any, points: Any, status: str, wanted: str) -> None:
    call = said(CallMention, kinds, points, "red", "near")
    found = record(events=(event(1, 0.0, points=1, status=status, evidence=RESTS),))
    assert one(call, found, events=(award(0.0),)) == wanted
    assert one(call, record(), events=(award(0.0),)) == ("right" if wanted == "right" else "unused")


@pytest.mark.parametrize(
    ("seconds", "clock", "wanted"), [(59, "bout", "right"), (58, "bout", "wrong"), (60, "riding", "wrong")]
)
def test_times_left(seconds: int, clock: str, wanted: str) -> None:
    found = record(clock=(replace(reading(1, 0.0, seconds), **SPOT),))
    mention = said(ClockMention, seconds, "exact", clock, None)
    labels = (TrueClock(4.0, 60.0),)
    if clock == "riding":
        assert one(mention, record(), clocks=labels) == "unused"
    else:
        assert one(mention, found, clocks=labels) == wanted


def test_reviews() -> None:
    asked = said(ReviewMention, "ask", "red", "near")
    found = record(challenges=(replace(challenge(1, 0.0, "red", "lost"), evidence=RESTS),))
    assert one(asked, found, challenges=(TrueChallenge(1.0, "red", "lost"),)) == "right"
    assert one(asked, found, challenges=(TrueChallenge(90.0, "red", "lost"),)) == "wrong"
    assert one(asked, record()) == "unused"


@pytest.mark.parametrize(
    ("margin", "leader", "wanted"),
    [(2, "red", "right"), (0, None, "right"), (2, "blue", "wrong"), (2, None, "wrong"), (3, "red", "wrong")],
)
def test_leads(margin: int, leader: Any, wanted: str) -> None:
    found = record(statements=(statement(1, 0.0, None, **SPOT),))
    assert one(said(MarginMention, margin, leader, "near"), found, board=BOARD) == wanted


def test_marks_results_and_what_no_label_tells() -> None:
    start = award(0.0, None, kind="period_start", points=0, corner=None)
    assert one(said(MarkMention, "period_start", None), record(), events=(start,)) == "right"
    assert one(said(MarkMention, "period_end", None), record(), events=(start,)) == "unused"
    won = TrueResult("red", "fall", 2, 0)
    assert one(said(ResultMention, "red", None), record(), result=won) == "right"
    assert one(said(ResultMention, None, "fall"), record(), result=won) == "right"
    assert one(said(ResultMention, "blue", "fall"), record(), result=won) == "unused"
    assert one(said(WaveOffMention), record()) == "unused"


def test_conflicts_are_of_other_rows_other_values_and_the_same_words() -> None:
    def conflicts(other: Mention) -> tuple[int, int]:
        mentions = sorted([said(ScoreMention, (3, 1), "red", "near"), other], key=lambda m: (m.start, m.end))
        counts = counted(mentions, record())
        return counts[ROW].conflicts, counts[OTHER].conflicts

    assert conflicts(said(ScoreMention, (1, 3), "red", "near", start=1, end=4, row=OTHER)) == (1, 1)
    assert conflicts(said(CallMention, (), 3, None, "none", start=1, row=OTHER)) == (1, 1)
    # The same said by another row is none, nor what only stands beside it, nor another value by the same row.
    assert conflicts(said(ScoreMention, (3, 1), "red", "order", start=1, row=OTHER)) == (0, 0)
    assert conflicts(said(ScoreMention, (1, 3), "red", "near", start=2, end=4, row=OTHER)) == (0, 0)
    assert conflicts(said(ScoreMention, (1, 3), "red", "near", start=1, row=ROW)) == (0, 0)


def test_every_row_is_counted_and_what_fitted_too() -> None:
    talk = ("It's two-nothing, Okomfo leads.", "Four-two from behind.")
    in_lines = heard(*talk)
    counts = count_rows(LabelledBout(transcript(*talk), None, truth()), in_lines, record())
    assert set(counts) == set(in_lines.lexicon.rows.by_id)
    assert (counts["pair.hyphen"].fired, counts["pair.hyphen"].bouts) == (2, 1)
    assert (counts["score-sign.leading"].fired, counts["score-sign.leading"].bouts) == (0, 1)
    assert counts["score-sign.leading"].gives == "score sign"
    assert counts["no-score.weight"] == RowCount("no score")


def test_rows_are_added_up_and_stand_by_their_use() -> None:
    one = {"a": RowCount("score", 3, 1, 2, 0, 1), "b": RowCount("score", 2, 2, 0, 1, 1)}
    two = {"a": RowCount("score", 1, 1, 0, 0, 1), "c": RowCount("whose", bouts=1), "d": RowCount("whose")}
    got = total_rows([one, two])
    assert list(got) == ["b", "a", "c", "d"]
    assert got["a"] == RowCount("score", 4, 2, 2, 0, 2)
    assert (got["a"].accuracy, got["b"].accuracy, got["d"].accuracy) == (0.5, 1.0, None)
    assert (got["a"].unused, RowCount("score", 4, 1, 2).unused) == (0, 1)


def measure(*options: str) -> Any:
    return CliRunner().invoke(app, ["measure", str(SAMPLES), "--phrases", *options])


def test_the_table_and_the_document() -> None:
    text, tree = measure(), json.loads(measure("--json").stdout)
    assert text.exit_code == 0
    heading, columns, *lines = text.stdout.splitlines()
    assert heading.startswith(f"6 labelled bouts, shipped parameters: {len(lines)} rows, ")
    assert columns.split() == [
        "row", "gives", "fired", "right", "wrong", "unused", "conflicts", "accuracy", "bouts",
    ]  # fmt: skip
    assert tree["schema"] == "saidscore.rows/1"
    assert [row["row"] for row in tree["rows"]] == [line.split()[0] for line in lines]
    hyphen = next(row for row in tree["rows"] if row["row"] == "pair.hyphen")
    assert hyphen["fired"] == hyphen["right"] + hyphen["wrong"] + hyphen["unused"]
    assert hyphen["right"] > 20
    assert hyphen["accuracy"] == round(hyphen["right"] / (hyphen["right"] + hyphen["wrong"]), 4)
    assert tree["bouts"][0] == "lantern-final"
