"""The summary of a record for the terminal."""

from __future__ import annotations

from dataclasses import replace

import pytest
from record_example import make_event, make_record, make_statement

from extract.checks.words import clock_text
from extract.record import Flag, Result, SideInfo, disagreement_lines
from extract.record.model import BoutInfo, Origin, Search
from extract.record.plain import printable
from extract.record.summary import summary


def test_flags_come_first_then_result_then_scores() -> None:
    text = summary(make_record())
    order = [
        "1:52: WRONG SCORE: said 3-1 Varnholt; should be 3-0 Varnholt",
        "Result: Varnholt wins 3-0",
        "takedown",
        "Challenges",
    ]
    places = [text.index(part) for part in order]
    assert places == sorted(places)
    assert "(cue 25)" in text
    assert "No call has given blue a point." in text
    assert "6:35: WRONG WINNER: said Brackett; should be Varnholt\n" in text
    assert "1:14: CHALLENGE RESULT UNKNOWN\n" in text
    assert text.rstrip().endswith("the officials' score sheet stands.")


@pytest.mark.parametrize(
    ("lost", "confidence", "why"),
    [
        (("much guessed",), 0.9, "few of the points were mentioned"),
        (("much dropped",), 0.49, "the transcript can be read in too many ways to weigh all of them"),
        (("much unexplained",), 0.49, "many of the scores said do not fit"),
        (
            ("some dropped", "much guessed", "much unexplained"),
            0.2,
            "few of the points were mentioned, and many of the scores said do not fit",
        ),
    ],
)
def test_a_guessed_record_says_so_right_under_the_heading(
    lost: tuple[str, ...], confidence: float, why: str
) -> None:
    result = replace(make_record().result, confidence=confidence)
    lines = summary(make_record(search=Search(0.4, lost), result=result)).splitlines()
    assert lines[3] == f"Mostly guessed: {why}; check before use."


@pytest.mark.parametrize(
    ("lost", "confidence"),
    [
        ((), 0.1),
        (("some dropped", "some guessed", "some unexplained"), 0.1),
        (("much dropped", "much unexplained"), 0.5),
    ],
)
def test_a_record_that_is_read_rather_than_guessed_says_nothing_of_it(
    lost: tuple[str, ...], confidence: float
) -> None:
    result = replace(make_record().result, confidence=confidence)
    assert "guessed" not in summary(make_record(search=Search(0.4, lost), result=result))


@pytest.mark.parametrize("origin", ["given", "heard", "assumed"])
def test_where_the_ruleset_came_from(origin: Origin) -> None:
    bout = replace(make_record().bout, from_={"rules": origin, "edition": "assumed"})
    assert f"Freestyle, rules of 2022 (names given and heard, rules {origin})\n" in summary(
        make_record(bout=bout)
    )


def test_winner_and_way_that_are_not_known() -> None:
    text = summary(make_record(result=Result(None, "unknown", (0, 0), None, 0.4)))
    assert "Result: 0-0, winner not known; confidence 40 %\n" in text
    text = summary(make_record(result=Result("blue", "unknown", (0, 1), None, 0.4)))
    assert "Result: Brackett wins 1-0; confidence 40 %\n" in text


def test_a_row_for_each_score() -> None:
    lines = summary(make_record()).splitlines()
    takedown = next(line for line in lines if " takedown " in line)
    assert takedown.split() == (
        ["0:40", "1", "2:19", "±2", "takedown", "Varnholt", "2", "2-0", "said", "93", "%"]
    )
    assert any(line.startswith("1:32-1:36 ") and "step-out" in line and "inferred" in line for line in lines)
    assert any("caution" in line and "said, overturned" in line for line in lines)
    assert not any("period start" in line for line in lines)
    assert any("1:14 by Brackett: won at 1:41 (changes e3)" in line for line in lines)


def test_warning_names_who_is_warned() -> None:
    event = make_event(1, 5.0, kind="passivity_warning", corner=None, against="blue", points=0)
    assert "against Brackett" in summary(make_record(events=(event,)))


def test_plain_outside_a_terminal_and_styled_in_one() -> None:
    plain = summary(make_record())
    assert "\x1b" not in plain
    assert plain.isascii() or set(plain) - set(map(chr, range(128))) == {"±"}
    assert not any(line.endswith(" ") for line in plain.splitlines())
    assert "\x1b[" in summary(make_record(), width=100)


def test_long_lines_are_not_wrapped_outside_a_terminal() -> None:
    why = "word " * 100 + "end"
    flag = Flag("f1", "k", "error", 1.0, 1, "", None, None, why)
    assert f"    {why}\n" in summary(make_record(flags=(flag,)))


def test_markup_in_names_and_quotes_is_shown_as_it_stands() -> None:
    bout = BoutInfo("freestyle", "2022", SideInfo("[red]Ilse[/red] :smile:"), SideInfo("[/]"), {})
    text = summary(make_record(bout=bout), title="[b]a.srt")
    assert "[red]Ilse[/red] :smile: (red) against [/] (blue)\n" in text
    # As the winner, with the riding time, as that of another possible log, and in each row of the table.
    assert text.count(":smile:") >= 1 + 3 + 3
    assert text.startswith("[b]a.srt\n")


def test_escape_sequences_of_a_transcript_do_not_reach_the_terminal() -> None:
    hostile = "two\x1b]0;gone\x07 \x9b2J\u202e\nto one"
    statement = make_statement(1, 5.0, why=hostile)
    bout = BoutInfo("freestyle", "2022", SideInfo(hostile, "heard", hostile, "heard"), SideInfo(hostile), {})
    flag = Flag("f1", hostile, "error", 1.0, 1, hostile, hostile, hostile, hostile)
    record = make_record(bout=bout, statements=(statement,), flags=(flag,))
    for text in (summary(record), *disagreement_lines(record, f"a{hostile}.srt")):
        assert not set(text.replace("\n", "")) & set("\x1b\x07\x9b\u202e")
    assert all("\n" not in line for line in disagreement_lines(record, "a.srt"))


def test_empty_record() -> None:
    text = summary(make_record(events=(), statements=(), clock=(), challenges=(), flags=(), board=()))
    assert "Nothing to check; no scores stated" in text
    assert "No scoring was found." in text
    assert "Challenges" not in text


def test_next_best_logs_come_after_the_challenges_one_line_a_difference() -> None:
    lines = summary(make_record()).splitlines()
    start = lines.index("Other possible logs")
    assert start > lines.index("Challenges")
    assert lines[start + 1 : start + 7] == [
        "  12 %: Varnholt wins 2-0 by points",
        "    without step-out red, 1 at 1:35",
        "    ends 2-0",
        "  under 1 %: 3-0 Varnholt, winner not known",
        "    without caution red, 1 at 1:10",
        "",
    ]
    assert "Other possible logs" not in summary(make_record(alternatives=()))


def test_minutes_and_printable() -> None:
    assert [clock_text(t) for t in (0, 59.99, 60, 3600, -1)] == ["0:00", "0:59", "1:00", "1:00:00", "0:00"]
    assert printable("Zoë\tÅs \u2028 x\ud800") == "Zoë Ås x"
