"""The samples give the records that are expected of them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

import extract
from extract.record import to_json
from tests.samples import EXPECTED, FOLDER, NAMES, extracted, sample


def record_json(name: str) -> str:
    return to_json(sample(name)[2])


def test_there_are_samples_in_five_formats_and_in_more_than_one_sport() -> None:
    records = [json.loads(record_json(name)) for name in NAMES]
    assert {record["source"]["format"] for record in records} == {"srt", "vtt", "asr", "block", "csv"}
    assert {"freestyle", "greco", "collegiate", "foil"} <= {record["bout"]["rules"] for record in records}
    assert sorted(f"{Path(name).stem}.record.json" for name in NAMES) == sorted(
        path.name for path in EXPECTED.glob("*.record.json")
    )


@pytest.mark.parametrize("name", NAMES)
def test_record_is_the_expected_one(name: str) -> None:
    expected = (EXPECTED / f"{Path(name).stem}.record.json").read_text(encoding="utf-8")
    assert json.loads(record_json(name)) == json.loads(expected), (
        "read the difference, then: python -m tests.samples"
    )


@pytest.mark.parametrize("name", NAMES)
def test_a_second_run_gives_the_same_bytes(name: str) -> None:
    assert to_json(extracted(FOLDER / name)[2]) == record_json(name)


def test_no_stage_names_the_sport_that_was_added_as_data() -> None:
    """Foil fencing is its rules, its words and its sample: nothing between them knows of it."""
    root = Path(extract.__file__).parent
    named = re.compile(r"\b(?:foil|fencing|penalty_touch|yellow_card|priority|piste)\b")
    stages = ("transcript", "lexicon", "mentions", "log", "checks", "record")
    files = [path for stage in stages for path in (root / stage).rglob("*.py")]
    files += [root / "log" / "parameters.toml", root / "log" / "priors.toml"]
    assert len(files) > 60
    assert [path.name for path in files if named.search(path.read_text("utf-8"))] == []
