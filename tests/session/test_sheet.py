"""Bout sheets: what is read, and what is refused with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from extract.errors import InputError
from extract.session import read_sheet
from extract.transcript import Side


def sheet(folder: Path, text: str) -> Path:
    path = folder / "card.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_sheet_has_what_a_bout_file_may_say(tmp_path: Path) -> None:
    text = (
        "label,rules,date,red,red_team,red_aliases,blue,blue_colour\n"
        '125 lb,collegiate,2026-01-17,"Ada Vell",Gull Rock,Addy|The Eel,Ida Holt,white\n'
        "\n"
        ",,,Mo Sund,,,Bo Lind,\n"
    )
    read = read_sheet(sheet(tmp_path, text))
    first, second = read.bouts
    assert (first.label, first.rules, first.date, first.line) == ("125 lb", "collegiate", "2026-01-17", 2)
    assert first.red == Side("Ada Vell", "Gull Rock", ("Addy", "The Eel"))
    assert first.blue == Side("Ida Holt", None, (), "white")
    assert (second.red.name, second.blue.name, second.label, second.line) == ("Mo Sund", "Bo Lind", None, 4)
    bout = first.bout_file(read.file)
    assert (bout.rules, bout.date, bout.red, bout.file) == ("collegiate", "2026-01-17", first.red, read.file)


def test_cells_are_read_as_they_look(tmp_path: Path) -> None:
    text = "\ufeff\u200ered,blue ,red\u00a0team\n\u200eA\u00a0B,C\u00ad D,\u200b\n\u200b,\u00a0,\n"
    (bout,) = read_sheet(sheet(tmp_path, text)).bouts
    assert (bout.red, bout.blue) == (Side("A B"), Side("C D"))


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_other_delimiters_and_capitals_are_read(tmp_path: Path, delimiter: str) -> None:
    text = f"Red{delimiter}Blue{delimiter}Red team\nA B{delimiter}C D{delimiter}E\n"
    assert read_sheet(sheet(tmp_path, text)).bouts[0].red == Side("A B", "E")


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("red,team\nA,B\n", 1, "no column 'blue'"),
        ("red,blue,wieght\nA,B,57\n", 1, "unknown column 'wieght'"),
        ("red,blue,red\nA,B,C\n", 1, "comes twice"),
        ("red,blue\nA,B\nC,\n", 3, "no name in blue"),
        ("red,blue\nA,a\n", 2, "the same name on both sides"),
        ("red,blue,date\nA,B,tomorrow\n", 2, "is no day"),
        ("red,blue\nA,B,C\n", 2, "3 cells under 2 columns"),
        ('red,blue\n"A,B\n', 2, "no table"),
        ("red,blue\n", None, "no bout on the sheet"),
        ("", None, "the file is empty"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(tmp_path: Path, text: str, line: int | None, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_sheet(sheet(tmp_path, text))
    assert words in caught.value.problem
    assert caught.value.line == line
    assert caught.value.remedy
