from __future__ import annotations

import csv

import pytest


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("header", [True, False])
def test_notes(read, delimiter: str, header: bool) -> None:
    rows = [("time", "note")] * header + [
        ("0:12", '"Red in; two, so 2-0"'),
        ("1:05:20", "Blue out"),
        ("3930", '"a ""b"""'),
    ]
    cues = read("".join(delimiter.join(row) + "\n" for row in rows)).cues
    assert [(cue.index, cue.start, cue.end, cue.text) for cue in cues[:2]] == [
        (1, 12.0, 14.0, "Red in; two, so 2-0"),
        (2, 3920.0, 3922.0, "Blue out"),
    ]
    assert (cues[2].text, cues[2].origin) == ('a "b"', ())
    assert cues[2].end > cues[2].start


def test_columns_by_their_heads(read) -> None:
    text = "Nr;Who;Comment;Video time\n1;Ida;Two for red;12,5\n2;;Blue out;0:20\n"
    assert [(cue.speaker, cue.text, cue.start) for cue in read(text).cues] == [
        ("Ida", "Two for red", 12.5),
        (None, "Blue out", 20.0),
    ]


def test_unknown_heads(read) -> None:
    assert [cue.text for cue in read("when,heard\n0:12,Two\n0:15,One\n").cues] == ["Two", "One"]


def test_comma_in_a_note_without_quotes(read) -> None:
    (one, _) = read("time,note\n0:12,Red shoots, blue sprawls\n0:20,Out\n").cues
    assert one.text == "Red shoots, blue sprawls"


def test_note_over_two_lines_and_blanks_about_it(read) -> None:
    one, two = read('time,note\n0:12," Red\nshoots "\n\n0:20,Out\n').cues
    assert (one.text, one.origin[0], one.origin[-1]) == ("Red\nshoots", 1, 11)
    assert two.index == 2


def test_row_without_note_ends_the_one_before(read) -> None:
    cues = read("time,note\n0:12,Two\n0:20,\n0:40,Out\n").cues
    assert [(cue.index, cue.end) for cue in cues[:1]] == [(1, 14.0)]
    assert cues[1].index == 3


@pytest.mark.parametrize(
    ("cell", "problem"),
    [
        ("0:75", "broken time '0:75'"),
        ("soon", "broken time 'soon'"),
        ("-5", "is negative"),
        ("nan", "not finite"),
        ("inf", "not finite"),
        ("", "without a time"),
        ("0:10", "goes back from 12 s to 10 s"),
    ],
)
def test_bad_time_names_line(fail, cell: str, problem: str) -> None:
    error = fail(f'time,note\n0:12,"Two\nlines"\n{cell},One\n')
    assert problem in error.problem
    assert error.line == 4


def test_no_time_column(fail) -> None:
    error = fail("note,speaker\nTwo for red,Ida\n")
    assert (error.problem, error.line) == ("no time column in the table", 1)
    assert "time column" in fail("Two for red,Ida\n", "notes.csv").problem


def test_no_note_column(fail) -> None:
    assert "note column" in fail("time,speaker\n0:12,\n").problem


def test_open_quotation_mark(fail) -> None:
    limit = csv.field_size_limit()
    try:
        for of_process in (131_072, 10**9):
            csv.field_size_limit(of_process)
            error = fail('time,note\n0:12,"' + "a" * 200_000 + "\n")
            assert "cannot be read" in error.problem
    finally:
        csv.field_size_limit(limit)


@pytest.mark.parametrize("row", ["1.000,--> two", "0:12,3 --> 4", "0:12,--> 1:05 left"])
def test_arrow_in_a_note_does_not_make_a_caption(read, row: str) -> None:
    assert read(f"time,note\n{row}\n").cues[0].text == row.split(",")[1]


def test_note_is_of_its_own_time_and_not_spread_to_the_next(read) -> None:
    long = "red shoots, " * 6
    cues = read(f'time,note\n0:45,"{long}"\n2:40,Two\n2:41,Out\n').cues
    # 71 characters at 12 a second; then the next start comes before the two seconds that a note takes at least.
    assert [(cue.start, cue.end) for cue in cues] == [(45.0, 50.917), (160.0, 161.0), (161.0, 163.0)]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('time,note\n0:12,"Two\n0:20,Out\n0:30,In\n', 2),
        ('time,note\n0:12,Two\n0:20,"Out\n0:30,"In"\n0:40,Up\n', 3),
        ('0:12\tTwo\n0:20\t"Out\n0:30\tIn\n', 2),
        ('time,note\n12,Two\n20,"Out\n30,"In"\n', 3),
        ('note;time\n"Two\nup";0:12\n"Out;0:20\n"In";0:30\nUp;0:40\n', 4),
    ],
)
def test_quotation_mark_that_swallows_rows(fail, text: str, line: int) -> None:
    error = fail(text, "notes.csv")
    assert "quotation mark" in error.problem
    assert error.line == line


def test_cell_too_long_names_its_line(fail) -> None:
    text = "time,note\n0:12,Two\n" + '0:20,"Out\n' + "and so they wrestle on\n" * 9000
    assert fail(text).line == 3


def test_note_over_lines_that_begin_with_numbers(read) -> None:
    cues = read('time,note\n0:12,"Red:\n2, then 4"\n0:20,Out\n').cues
    assert [cue.text for cue in cues] == ["Red:\n2, then 4", "Out"]
