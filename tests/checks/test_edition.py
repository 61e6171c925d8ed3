"""The edition that the points called belong to."""

from __future__ import annotations

from extract.bout import extract_bout
from extract.record.model import Record
from extract.transcript import BoutFile, Side
from tests.made_talk import transcript

TWO = (
    "Here's the whistle, first period.",
    "Takedown red, two points.",
    "Escape blue, one.",
    "Takedown, two points, red.",
)
THREE = tuple(line.replace("two", "three") for line in TWO)


def record(lines: tuple[str, ...], **facts: str) -> Record:
    sheet = BoutFile(rules="collegiate", red=Side("Ida Felmouth"), blue=Side("Mo Strandlow"), **facts)
    return extract_bout(transcript(*lines), sheet)


def test_an_edition_that_nobody_gave_is_heard_from_the_points() -> None:
    old, new = record(TWO), record(THREE)
    assert (old.bout.edition, old.bout.from_["edition"], old.result.score) == ("2021-22", "heard", (4, 1))
    assert (new.bout.edition, new.bout.from_["edition"], new.result.score) == ("2023-24", "assumed", (6, 1))


def test_an_edition_that_was_given_stays_and_is_flagged() -> None:
    kept = record(THREE, date="2019-01-12")
    assert (kept.bout.edition, kept.bout.from_["edition"]) == ("2015-16", "given")
    (flag,) = [f for f in kept.flags if f.kind == "edition"]
    assert (flag.said, flag.computed) == ("2023-24", "2015-16")
    assert not [f for f in record(TWO, date="2019-01-12").flags if f.kind == "edition"]
