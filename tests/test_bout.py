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
    # Each of these files says it in its first lines.
    assert message.startswith((f"{path}:1: ", f"{path}:2: ", f"{path}: "))
    return message


def test_unknown_rules_of_a_bout_file(tmp_path: Path) -> None:
    near = refusal(tmp_path, 'rules = "freestile"')
    assert "unknown ruleset 'freestile'; did you mean freestyle? use one of collegiate, foil, " in near
    assert near.endswith(", greco, scholastic, in the bout file or with --rules")
    far = refusal(tmp_path, 'rules = "sumo"')
    assert "did you mean" not in far
    assert "use one of collegiate, foil, freestyle, greco, scholastic" in far


def test_unknown_edition_of_a_bout_file(tmp_path: Path) -> None:
    message = refusal(tmp_path, 'edition = "1066"', rules="freestyle")
    assert "unknown edition of freestyle '1066'" in message
    assert message.endswith(", 2026 as edition in the bout file, or take it out")


def test_date_of_a_bout_file_before_all_editions(tmp_path: Path) -> None:
    message = refusal(tmp_path, 'rules = "freestyle"\ndate = 1950-01-01')
    assert message.endswith("; correct the date, or name an edition in the bout file to use it all the same")


def test_option_that_names_the_other_side_of_the_bout_file(tmp_path: Path) -> None:
    message = refusal(tmp_path, '[blue]\nname = "Ilse Varnholt"', red="ilse  varnholt")
    assert "the same name on both sides" in message


def test_unknown_age_group_of_a_bout_file(tmp_path: Path) -> None:
    message = refusal(tmp_path, 'rules = "freestyle"\nage_group = "U12"')
    assert "unknown age group of freestyle 'U12'; use one of U20, U23, seniors, U15, U17, veterans" in message
    assert message.endswith(" as age_group, or take it out")


def test_what_is_wrong_is_known_by_what_it_is_not_by_its_words(tmp_path: Path) -> None:
    message = refusal(tmp_path, 'rules = "freestyle"\nedition = "age group"')
    assert message.endswith(" as edition in the bout file, or take it out")


def test_the_age_group_gives_the_length_of_the_periods(tmp_path: Path) -> None:
    path = tmp_path / "facts.toml"
    path.write_text('rules = "freestyle"\nage_group = "U15"\n', encoding="utf-8")
    lines = [
        "here we go, first period",
        "takedown, red, two points",
        "that's the horn, end of the first period",
    ]
    cues = tuple(
        Cue(n + 1, t, t + 2, text) for n, (t, text) in enumerate(zip((5.0, 35.0, 126.0), lines, strict=True))
    )
    record = extract_bout(Transcript("talk.srt", "srt", "0" * 64, cues), read_bout_file(path))
    assert record.bout.age_group == "U15"
    (award,) = [event for event in record.events if event.points]
    assert award.clock_s == pytest.approx(91.0, abs=3.0)


def test_unknown_rules_of_the_caller() -> None:
    with pytest.raises(InputError, match=r"^rules: unknown ruleset 'sumo'; use one of .*, scholastic$"):
        extract_bout(TALK, rules="sumo")
