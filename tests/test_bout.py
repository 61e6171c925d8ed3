"""What extract_bout refuses: it names the file that the fault stands in."""

from __future__ import annotations

from pathlib import Path

import pytest

from extract.bout import extract_bout
from extract.errors import InputError
from extract.transcript import read_bout_file
from extract.transcript.cue import Cue, Transcript

TALK = Transcript("talk.srt", "srt", "0" * 64, (Cue(1, 0.0, 1.0, "two for red"),))


def refusal(folder: Path, text: str, **given: str) -> str:
    path = folder / "facts.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        extract_bout(TALK, read_bout_file(path), **given)  # type: ignore[arg-type]
    message = str(caught.value)
    assert message.startswith(f"{path}: ")
    return message


def test_unknown_rules_of_a_bout_file(tmp_path: Path) -> None:
    near = refusal(tmp_path, 'rules = "freestile"')
    assert near.endswith("nearest: freestyle; name one of these in the bout file or with --rules")
    far = refusal(tmp_path, 'rules = "sumo"')
    assert "nearest" not in far
    assert "known: collegiate, foil, freestyle, greco, scholastic" in far


def test_unknown_edition_of_a_bout_file(tmp_path: Path) -> None:
    message = refusal(tmp_path, 'edition = "1066"', rules="freestyle")
    assert "unknown edition of freestyle '1066'" in message
    assert message.endswith("; name one of these as edition in the bout file, or take it out")


def test_date_of_a_bout_file_before_all_editions(tmp_path: Path) -> None:
    message = refusal(tmp_path, 'rules = "freestyle"\ndate = 1950-01-01')
    assert message.endswith("; correct the date, or name an edition in the bout file to use it all the same")


def test_option_that_names_the_other_side_of_the_bout_file(tmp_path: Path) -> None:
    message = refusal(tmp_path, '[blue]\nname = "Ilse Varnholt"', red="ilse  varnholt")
    assert "the same name on both sides" in message


def test_unknown_rules_of_the_caller() -> None:
    with pytest.raises(InputError, match=r"^rules: unknown rules 'sumo'; known: .*; name one of these$"):
        extract_bout(TALK, rules="sumo")
