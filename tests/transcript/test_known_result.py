"""The result of a bout file, of a row of a sheet and of a row of a list."""

from __future__ import annotations

from pathlib import Path

import pytest

from extract.dataset.fields import bout_file_of
from extract.errors import InputError
from extract.recording.sheet import sheet_in
from extract.transcript.bout_file import bout_file_in, read_bout_file
from extract.transcript.known import Known

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
