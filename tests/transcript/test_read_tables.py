"""Tables of notes whose notes are split over columns (common practice of people who keep notes in a spreadsheet)."""

from __future__ import annotations

import csv
import io
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.transcript.columns import plain_head
from extract.transcript.decode import SourceText
from extract.transcript.notes import read_notes
from extract.transcript.read import transcript_in

HEADS = ("video", "per", "clk", "wrestler", "code", "score", "remark")
ROWS = (
    ("0:22", "1", "2:38", "OAK", "T3", "3-0", "low single"),
    ("0:51", "1", "2:09", "WBN", "E1", "3-1", ""),
    ("1:10", "1", "1:50", "OAK", "T3", "6-1", "double, quick; late whistle"),
    ("3:15", "2", "2:00", "", "", "", "OAK down"),
    ("3:24", "2", "1:51", "OAK", "E1", "7-1", ""),
)


def table(
    order: tuple[int, ...] = tuple(range(len(HEADS))), delimiter: str = ",", quoting: int = csv.QUOTE_MINIMAL
) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, quoting=quoting, lineterminator="\n")  # type: ignore[arg-type]
    writer.writerows([[row[k] for k in order] for row in (HEADS, *ROWS)])
    return out.getvalue()


def source(text: str) -> SourceText:
    return SourceText("bout.csv", "bout.csv", text, "0" * 64)


def test_every_column_is_read(read) -> None:
    transcript = read(table())
    assert [(cue.index, cue.start, cue.text) for cue in transcript.cues] == [
        (1, 22.0, "2:38 left in the first; OAK T3; 3-0; low single"),
        (2, 51.0, "2:09 left in the first; WBN E1; 3-1"),
        (3, 70.0, "1:50 left in the first; OAK T3; 6-1; double, quick; late whistle"),
        (4, 195.0, "2:00 left in the second; OAK down"),
        (5, 204.0, "1:51 left in the second; OAK E1; 7-1"),
    ]
    assert transcript.notices == ()


@given(
    st.permutations(range(len(HEADS))),
    st.sampled_from(",;\t|"),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
)
def test_order_of_columns_delimiter_and_quotes_make_no_difference(
    order: list[int], delimiter: str, quoting: int
) -> None:
    plain = read_notes(source(table()))
    assert transcript_in(source(table(tuple(order), delimiter, quoting))) == plain


@given(st.permutations(range(len(HEADS))))
def test_offsets_lead_into_the_cells_joined(order: list[int]) -> None:
    """A cue's own text is the values of its cells, in a fixed order and joined by a blank."""
    for cue, row in zip(read_notes(source(table(tuple(order)))).cues, ROWS, strict=True):
        own = " ".join(filter(None, row[1:]))
        places = [cue.source_position(k) for k in range(len(cue.text) + 1)]
        assert all(a <= b for a, b in pairwise(places))
        assert places[-1] == len(own)
        for cell in filter(None, row[2:]):
            at = cue.text.index(cell)
            assert own[cue.source_position(at) : cue.source_position(at + len(cell))] == cell
            assert cue.plain_position(cue.source_position(at)) <= at


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        # A column for each of the two, with what that one was given.
        ("time,red,blue,score\n0:31,TD2,,2-0\n1:30,,SO1,2-1\n", ["red TD2; 2-0", "blue SO1; 2-1"]),
        # The points of the two, as far as they have come.
        (
            "t;action;athlete;score_blue;score_red;notes\n0:31;td;red;0;2;quick\n1:30;so;blue;1;2;\n",
            ["red td; blue 0, red 2; quick", "blue so; blue 1, red 2"],
        ),
        # The two by name; what happened comes before what came of it.
        (
            "time,event,Oakhurst,Winterbourne\n0:22,Oakhurst takedown,3,0\n0:51,Winterbourne escape,3,1\n",
            ["Oakhurst takedown; Oakhurst 3, Winterbourne 0", "Winterbourne escape; Oakhurst 3, Winterbourne 1"],
        ),
        # Points in a column of their own.
        ("time,corner,what,pts\n0:31,R,takedown,2\n0:44,R,gut,+2\n0:50,B,T1,1\n", ["R takedown 2 pts", "R gut +2", "B T1"]),
        # Without heads.
        ("0:22\tR\tT3\t3-0\n0:51\tG\tE1\t3-1\n1:10\tR\tT3\t6-1\n", ["R T3; 3-0", "G E1; 3-1", "R T3; 6-1"]),
        # A period without a clock is named once.
        ("time,period,note\n0:05,1,on feet\n0:31,1,R TD\n3:40,2,B TD\n5:40,OT,on feet\n",
         ["first period; on feet", "R TD", "second period; B TD", "OT; on feet"]),
        # Several columns of text are all read.
        ("time,note,comment\n0:31,R TD,quick\n", ["R TD; quick"]),
    ],
)  # fmt: skip
def test_kinds_of_columns(read, text: str, lines: list[str]) -> None:
    assert [cue.text for cue in read(text, "bout.csv").cues] == lines


def test_one_who_is_named_beside_a_note_alone_speaks(read) -> None:
    assert read("time,who,note\n0:31,Ida,Two for red\n").cues[0].speaker == "Ida"
    assert read("time,who,code\n0:31,R,T3\n").cues[0].text == "R T3"


def test_columns_that_are_not_used_are_named(read) -> None:
    text = "time,wrestler,code,weight,location\n0:31,R,T3,138,mat 1\n0:51,G,E1,138,mat 1\n"
    transcript = read(text)
    assert transcript.notices == ("columns not used: weight, location",)
    assert [cue.text for cue in transcript.cues] == ["R T3", "G E1"]


def test_clock_that_counts_up_is_not_used(read) -> None:
    transcript = read("time,clock,note\n0:31,0:20,R TD\n0:51,0:40,B SO\n1:10,0:59,R TD\n")
    assert transcript.notices == ("columns not used: clock (it counts up)",)
    assert [cue.text for cue in transcript.cues] == ["R TD", "B SO", "R TD"]


def test_lines_above_the_table_are_a_heading(read) -> None:
    head, first, _ = read("Folkstyle 138 lbs\nRED Ada Vell\ntime,who,code\n0:31,R,T3\n0:51,G,E1\n").cues
    assert (head.text, head.heading, head.index, head.start) == (
        "Folkstyle 138 lbs\nRED Ada Vell",
        True,
        1,
        31.0,
    )
    assert (first.text, first.source_position(0)) == ("R T3", len(head.text) + 1)


def test_heads_are_known_whatever_stands_about_them() -> None:
    assert plain_head(" Video-Time (s) ") == "videotimes"


ARBITRARY = st.text(st.characters(codec="utf-8", exclude_characters="\r\x00"), max_size=12)


@given(st.lists(st.lists(ARBITRARY, min_size=3, max_size=5), min_size=1, max_size=6))
def test_any_cells_give_cues_with_sound_offsets(cells: list[list[str]]) -> None:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["time", "who", "code", "score", "remark", "more"])
    writer.writerows([[f"0:{10 + k}", *row] for k, row in enumerate(cells)])
    writer.writerow(["0:59", "R", "T3", "3-0", "end"])
    for cue in read_notes(source(out.getvalue())).cues:
        places = [cue.source_position(k) for k in range(len(cue.text) + 1)]
        assert all(a <= b for a, b in pairwise(places))
