from __future__ import annotations

from pathlib import Path

import pytest

from extract.errors import InputError
from extract.transcript import BoutFile, Side, read_bout_file


def write(folder: Path, text: str) -> Path:
    path = folder / "talk.bout.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_all_that_it_can_say(tmp_path: Path) -> None:
    text = (
        'rules = "freestyle"\nedition = "2025"\ndate = 2026-03-21\nage_group = "U17"\n'
        '[red]\nname = "Ida Voss"\nteam = "Lantern Bay"\naliases = ["Voss", "the Lantern"]\n'
        '[blue]\nname = "Mo Tern"\ncolour = "green"\n'
    )
    assert read_bout_file(write(tmp_path, text)) == BoutFile(
        "freestyle",
        "2025",
        "2026-03-21",
        Side("Ida Voss", "Lantern Bay", ("Voss", "the Lantern")),
        Side("Mo Tern", colour="green"),
        "U17",
    )


def test_names_are_read_as_they_look(tmp_path: Path) -> None:
    text = (
        '[red]\nname = "\u200eVe\u0301ra\u00a0 Voss\u200b"\naliases = ["the\u202fLantern\ufeff"]\n'
        '[blue]\nname = "Mo\u00adra Tern"\nteam = "Lantern\u2060 Bay"\n'
    )
    found = read_bout_file(write(tmp_path, text))
    assert found.red == Side("V\u00e9ra Voss", None, ("the Lantern",))
    assert found.blue == Side("Mora Tern", "Lantern Bay")
    with pytest.raises(InputError, match="name is empty"):
        read_bout_file(write(tmp_path, '[red]\nname = "\u200b\u00a0"\n'))
    with pytest.raises(InputError, match="the same name on both sides"):
        read_bout_file(write(tmp_path, '[red]\nname = "Mo Tern"\n[blue]\nname = "Mo\u200b Tern"\n'))


def test_little_is_enough(tmp_path: Path) -> None:
    path = write(tmp_path, '[blue]\nteam = "Lantern Bay"\n')
    assert read_bout_file(path) == BoutFile(blue=Side(team="Lantern Bay"))
    assert read_bout_file(write(tmp_path, "# nothing known\n")) == BoutFile()


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("age_group = 17", 1, "age_group is a number, not text"),
        ('[red]\ncolour = "Blue"', 2, "both sides are blue; give each side the colour that it wears"),
        ('[red]\ncolour = "green"\n[blue]\ncolour = "green"', 2, "both sides are green"),
        ('\nrule = "freestyle"', 2, "unknown key 'rule'; did you mean 'rules'?"),
        ('[red]\nnmae = "x"', 2, "unknown key 'nmae' in [red]; did you mean 'name'?"),
        ("[bleu]\n", 1, "did you mean 'blue'?"),
        ('red = { nmae = "x" }', 1, "did you mean 'name'?"),
        ("rules = 3", 1, "rules is a number, not text"),
        ('[red]\nteam = "x"\n[blue]\nteam = true', 4, "blue.team is true or false, not text"),
        ('[red]\naliases = "x"', 2, "red.aliases is text, not a list of names"),
        ("[red]\naliases = [1]", 2, "not a list of names"),
        ('red = "Ida"', 1, "red is text, not a table"),
        ("[[red]]\n", 1, "not a table"),
        ('[red]\nname = " "', 2, "red.name is empty"),
        ('date = "21 March"', 1, "is no day"),
        ("date = 12:00:00", 1, "date is a date or time, not text"),
        ('[red]\nname = "Ida  Voss"\n[blue]\nname = "ida voss"', 4, "the same name on both sides"),
        ('[red]\naliases = ["Ace"]\n[blue]\naliases = [\n"ace "]', 4, "the same alias on both sides, 'ace'"),
        (
            '[red]\nname = "Ida Voss"\n[blue]\naliases = ["ida voss"]',
            4,
            "blue's alias 'ida voss' is the name of red",
        ),
        (
            '[red]\naliases = ["x", "Tern"]\n[blue]\nname = "Mo Tern"',
            2,
            "red's alias 'Tern' is the surname of blue",
        ),
        ('rules = "freestyle"\nedition = 2025-', 2, "does not parse"),
        ('rules = "freestyle"\n[red', 2, "does not parse"),
        ("a = " + "[" * 5000, None, "does not parse"),
    ],
)
def test_errors_name_line(tmp_path: Path, text: str, line: int | None, said: str) -> None:
    path = write(tmp_path, text)
    with pytest.raises(InputError) as caught:
        read_bout_file(path)
    assert said in str(caught.value)
    assert (caught.value.file, caught.value.line) == (str(path), line)


def test_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        read_bout_file(tmp_path / "none.bout.toml")
