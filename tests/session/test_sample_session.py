"""The sample session is cut into its bouts, with the sheet and without."""

from __future__ import annotations

import pytest

from extract.session import find_parts
from tests.session.session_samples import NEAR_S, found, pebble, pebble_sheet, pebble_truth

BOTH = pytest.mark.parametrize("sheet", [False, True])


@BOTH
def test_every_bout_is_found_and_no_other(sheet: bool) -> None:
    bouts = found(sheet=sheet).session.bouts
    assert [part.number for part in bouts] == list(range(1, len(pebble_truth()) + 1))
    for part, bout in zip(bouts, pebble_truth(), strict=True):
        middle = (bout["introduced"] + bout["over"]) / 2
        assert part.start <= middle <= part.end


@BOTH
def test_boundaries_are_within_twenty_seconds(sheet: bool) -> None:
    right = 0
    for part, bout in zip(found(sheet=sheet).session.bouts, pebble_truth(), strict=True):
        right += abs(part.start - bout["introduced"]) <= NEAR_S
        right += bout["over"] - NEAR_S <= part.end <= bout["told"] + NEAR_S
    assert right >= 0.95 * 2 * len(pebble_truth())


@BOTH
def test_no_event_is_in_the_wrong_bout(sheet: bool) -> None:
    outcome = found(sheet=sheet)
    for part, record, bout in zip(outcome.session.bouts, outcome.records, pebble_truth(), strict=True):
        assert all(part.start <= event["t"] <= part.end for event in bout["events"])
        times = [event.t for event in record.events if event.points]
        assert all(bout["introduced"] <= t <= bout["told"] for t in times)
        assert record.result.by == bout["by"]
        if bout["by"] != "forfeit":
            assert record.result.winner == bout["winner"]
    # One hold too few and a point too many in one bout of the seven: what the log makes of the talk, not of its parts.
    right = sum(
        list(r.result.score) == b["score"] for r, b in zip(outcome.records, pebble_truth(), strict=True)
    )
    assert right >= 6


def test_names_are_heard_without_a_sheet() -> None:
    rows = {(bout.red.name, bout.blue.name) for bout in pebble_sheet().bouts}
    heard = [(r.bout.red.name, r.bout.blue.name) for r in found(sheet=False).records]
    assert sum(pair in rows for pair in heard) >= 5


def test_the_sheet_gives_each_bout_its_row() -> None:
    session = found(sheet=True).session
    assert [part.label for part in session.bouts] == [bout["label"] for bout in pebble_truth()]
    assert {part.label for part in session.parts if part.kind == "studio"} == {None}


def test_the_order_of_the_sheet_does_not_matter() -> None:
    sheet = pebble_sheet()
    turned = type(sheet)(sheet.bouts[::-1], sheet.file)
    labels = [part.label for part in find_parts(pebble(), sheet=turned).bouts]
    assert labels == [bout["label"] for bout in pebble_truth()]
