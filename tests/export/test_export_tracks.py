"""Chapters and metadata."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest
from export_samples import LANTERN, sample_bouts

from extract.export.board import board_states, stretches
from extract.export.tracks import chapters_vtt, metadata_vtt
from extract.record import BoardEntry, Event, Record, from_json
from extract.record.model import NOTE
from extract.transcript import Transcript
from tests.record.record_example import make_event, make_record

HEAD = f"WEBVTT\n\nNOTE {NOTE}\n\n"


def bound(number: int, t: float, kind: str, period: int) -> Event:
    return make_event(number, t, kind=kind, period=period, corner=None, points=0)


def test_golden_chapters() -> None:
    assert chapters_vtt(from_json(LANTERN)) == HEAD + (
        "00:00:00.000 --> 00:00:13.930\nBefore the bout: 0-0\n\n"
        "00:00:13.930 --> 00:03:49.660\nPeriod 1: 0-0 to 3-2\n\n"
        "00:03:49.660 --> 00:04:34.660\nBreak: 3-2\n\n"
        "00:04:34.660 --> 00:08:15.610\nPeriod 2: 3-2 to 6-6\n"
    )


def test_golden_metadata() -> None:
    blocks = metadata_vtt(from_json(LANTERN)).removeprefix(HEAD).split("\n\n")
    assert blocks[0] == '00:00:00.000 --> 00:00:46.340\n{"red": 0, "blue": 0, "period": 0, "event": null}'
    # The exposure was taken off by the review.
    assert blocks[3] == '00:01:20.740 --> 00:02:24.390\n{"red": 0, "blue": 2, "period": 1, "event": "review"}'
    assert json.loads(blocks[-1].split("\n")[1]) == {"red": 6, "blue": 6, "period": 2, "event": "step_out"}
    assert len(blocks) == 11


@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_parts_and_states_follow_on_one_another(bout: tuple[Record, Transcript]) -> None:
    record = bout[0]
    for parts in (stretches(record), board_states(record)):
        assert parts[0].start == 0.0
        assert all(a.end == b.start for a, b in pairwise(parts))
        assert all(part.start < part.end for part in parts)
        assert parts[-1].end >= record.source.seconds
    chapters = stretches(record)
    assert all(a.after == b.before for a, b in pairwise(chapters))
    assert chapters[-1].after == record.result.score
    assert all("-->" not in line for line in metadata_vtt(record).split("\n") if line.startswith("{"))


def test_what_is_scored_at_the_horn_belongs_to_the_period_and_a_fall_ends_one() -> None:
    record = make_record(
        events=(
            bound(1, 0.0, "period_start", 1),
            bound(2, 100.0, "period_end", 1),
            bound(3, 130.0, "period_start", 2),
            make_event(4, 160.0, kind="fall", period=2, points=0),
        ),
        board=(BoardEntry(0.0, 0, 0), BoardEntry(100.0, 2, 0), BoardEntry(120.0, 1, 0)),
    )
    titles = chapters_vtt(record).removeprefix(HEAD).split("\n")[1::3]
    assert titles == [
        "Period 1: 0-0 to 2-0",
        "Break: 2-0 to 1-0",
        "Period 2: 1-0 to 1-0",
        "After the bout: 1-0",
    ]


def test_record_without_periods_or_board() -> None:
    record = make_record(events=(), board=())
    assert "00:00:00.000 --> 00:06:42.500\nBout: 0-0 to 0-0\n" in chapters_vtt(record)
    assert metadata_vtt(record) == HEAD.removesuffix("\n")


def test_points_that_went_without_a_review_are_a_correction() -> None:
    record = make_record(board=(BoardEntry(0.0, 0, 0), BoardEntry(40.25, 2, 0), BoardEntry(60.0, 0, 0)))
    assert [state.event for state in board_states(record)] == [None, "takedown", "correction"]
