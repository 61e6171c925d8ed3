"""The result of a bout file, of a row of a sheet and of a row of a list."""

from __future__ import annotations

from pathlib import Path

import pytest

from extract.bout import extract_bout
from extract.dataset.fields import bout_file_of
from extract.errors import InputError
from extract.recording.sheet import sheet_in
from extract.transcript.bout_file import bout_file_in, read_bout_file
from extract.transcript.known import Known
from tests.made_talk import transcript

SIDES = '[red]\nname = "Ida Voss"\naliases = ["the Lantern"]\n[blue]\nname = "Mo van Tern"\n'


def in_file(result: str) -> Known | None:
    return bout_file_in((SIDES + "[result]\n" + result).encode(), "talk.bout.toml").known


@pytest.mark.parametrize(
    ("result", "known"),
    [
        ('winner = "red"\nby = "points"\nscore = [9, 6]\n', Known("red", "points", (9, 6))),
        ('winner = "Van Tern"\nby = "Fall"\n', Known("blue", "fall", None)),
        ('winner = "the lantern"\n', Known("red", None, None)),
        ('by = "superiority"\nscore = "0-10"\n', Known("blue", "superiority", (0, 10))),
        ('by = "injury"\nwinner = "blue"\nscore = [4, 0]\n', Known("blue", "injury", (4, 0))),
        ("periods = [[3, 1], [9, 6]]\n", Known(periods=((3, 1), (9, 6)))),
        ('periods = ["3-1", "9 – 6"]\n', Known(periods=((3, 1), (9, 6)))),
        ('periods = "3 - 1, 9-6"\n', Known(periods=((3, 1), (9, 6)))),
        ('score = "9-6"\nperiods = "3-1; 9-6;"\n', Known(None, None, (9, 6), ((3, 1), (9, 6)))),
        ('by = "points"\nscore = [1, 2]\nperiods = [[1, 2]]\n', Known("blue", "points", (1, 2), ((1, 2),))),
        ("", None),
    ],
)
def test_what_is_known_is_read(result: str, known: Known | None) -> None:
    assert in_file(result) == known


@pytest.mark.parametrize(
    ("result", "problem", "line"),
    [
        ('winner = "Nobody Here"\n', "neither side", 7),
        ('\nby = "luck"\n', "unknown way to win 'luck'", 8),
        ("score = [9]\n", "no final score", 7),
        ("score = [9, -1]\n", "no final score", 7),
        ("score = [true, 1]\n", "no final score", 7),
        ('score = "nine six"\n', "no final score", 7),
        ('by = "points"\nwinner = "blue"\nscore = [9, 6]\n', "blue does not win by points at 9-6", 9),
        ('by = "points"\nscore = [6, 6]\n', "nobody wins by points at 6-6", 8),
        ("\nperiods = 3\n", "periods has no score", 8),
        ("periods = []\n", "periods has no score", 7),
        ('periods = " "\n', "no score", 7),
        ("periods = [3, 1]\n", "number 1 of periods is no score", 7),
        ("periods = [[3, 1], [9]]\n", "number 2 of periods is no score", 7),
        ('periods = ["3-1", "nine"]\n', "'nine' in periods is no score", 7),
        ('periods = "3-1 9"\n', "in periods is no score", 7),
        ("periods = [[3, 1], [2, 6]]\n", "the score falls from 3-1 to 2-6", 7),
        ("score = [9, 6]\nperiods = [[3, 1], [9, 5]]\n", "ends at 9-5 and the bout at 9-6", 8),
        ("winner = 1\n", "result.winner is a number", 7),
        ("wins = 1\n", "unknown key 'wins' in [result]", 7),
    ],
)
def test_what_cannot_be_is_one_clear_error(result: str, problem: str, line: int) -> None:
    with pytest.raises(InputError) as error:
        in_file(result)
    assert problem in str(error.value)
    assert error.value.line == line
    assert error.value.remedy


def test_a_result_that_is_no_table_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "talk.bout.toml"
    path.write_text('result = "red"\n')
    with pytest.raises(InputError, match="result is text, not a table"):
        read_bout_file(path)


def test_a_sheet_has_the_result_in_columns() -> None:
    sheet = sheet_in(
        b"red,blue,winner,by,score\nAda Oake,Ida Birn,Birn,points,3-5\nBo Ell,Cy Orr,,,\n", "s.csv"
    )
    assert [row.bout_file().known for row in sheet.bouts] == [Known("blue", "points", (3, 5)), None]


@pytest.mark.parametrize(
    "row", ["Ada Oake,Ida Birn,Orr,,", "Ada Oake,Ida Birn,,luck,", "Ada Oake,Ida Birn,,,3"]
)
def test_a_bad_cell_of_a_sheet_is_refused_with_its_line(row: str) -> None:
    with pytest.raises(InputError) as error:
        sheet_in(f"red,blue,winner,by,score\nBo Ell,Cy Orr,,,\n{row}\n".encode(), "s.csv")
    assert error.value.line == 3


def test_a_row_of_a_list_has_the_result_in_columns() -> None:
    row = {"red": "Ada Oake", "blue": "Ida Birn", "winner": "Ada Oake", "by": "", "score": "5 - 3"}
    data = bout_file_of(row)
    assert data is not None
    assert bout_file_in(data, "list").known == Known("red", None, (5, 3))


def test_a_sheet_has_the_boards_of_the_periods_in_a_column() -> None:
    table = (
        'red,blue,score,periods\nAda Oake,Ida Birn,9-6,3-1 9-6\nBo Ell,Cy Orr,,"1-0, 2-0"\nDi Orr,Flo Ash,,\n'
    )
    known = [row.bout_file().known for row in sheet_in(table.encode(), "s.csv").bouts]
    assert known == [Known(None, None, (9, 6), ((3, 1), (9, 6))), Known(periods=((1, 0), (2, 0))), None]


@pytest.mark.parametrize("row", ["freestyle,3-1 2-1", "freestyle,1-0 2-0 3-0", ",3"])
def test_bad_periods_of_a_sheet_are_refused_with_their_line(row: str) -> None:
    with pytest.raises(InputError) as error:
        sheet_in(f"red,blue,rules,periods\nBo Ell,Cy Orr,,\nAda Oake,Ida Birn,{row}\n".encode(), "s.csv")
    assert error.value.line == 3


def test_too_many_periods_of_a_bout_file_are_refused_with_their_line(tmp_path: Path) -> None:
    path = tmp_path / "talk.bout.toml"
    path.write_text('rules = "greco"\n[result]\nwinner = "red"\nperiods = "1-0 2-0 3-0"\n')
    with pytest.raises(InputError, match="3 periods") as error:
        extract_bout(transcript("Here we go."), read_bout_file(path))
    assert error.value.line == 4


def test_a_row_of_a_list_has_the_boards_of_the_periods_in_a_column() -> None:
    data = bout_file_of({"red": "Ada Oake", "blue": "Ida Birn", "periods": "3-1 5-3"})
    assert data is not None
    assert bout_file_in(data, "list").known == Known(periods=((3, 1), (5, 3)))
