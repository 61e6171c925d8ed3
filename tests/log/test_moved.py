"""Where the recording's clock began tells nothing of a bout: with all times moved the log is the same, moved as much."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.foreign_talk import moved
from extract import extract_bout, read_bout_file, read_transcript
from extract.record.model import Record
from extract.transcript.cue import Transcript
from tests.made_talk import bout_file, transcript
from tests.samples import FOLDER

#: From half a second over the ten hours at which broadcasts begin their time code to more than four days.
SHIFTS = (0.5, 7.3, 200.0, 3600.0, 36000.0, 359000.0)
SAMPLES = (
    "lantern-final.srt",
    "ropewalk-greco.json",
    "pellingham-dual.txt",
    "shed-notes.csv",
    "tallow-quarter.vtt",
)


def told(record: Record) -> dict[str, Any]:
    """All that the record says of the bout but the times of the recording."""
    return {
        "events": [
            (e.kind, e.corner, e.points, e.status, e.basis, e.period, e.clock_s, e.clock_uncertainty_s, e.confidence)
            for e in record.events
        ],
        "board": [(b.red, b.blue) for b in record.board],
        "statements": [(s.cue, s.start, s.said, s.computed, s.verdict, s.confidence) for s in record.statements],
        "clock": [(c.cue, c.start, c.seconds_left, c.period, c.about) for c in record.clock],
        "challenges": [(c.by, c.outcome, c.events) for c in record.challenges],
        "flags": [(f.kind, f.severity, f.said, f.computed, f.refs) for f in record.flags],
        "result": replace(record.result, why=record.result.why.rpartition(",")[0]),
    }  # fmt: skip


@pytest.mark.parametrize("name", SAMPLES)
def test_a_sample_moved_by_any_time_has_the_same_log(name: str) -> None:
    talk = read_transcript(FOLDER / name)
    sheet = (FOLDER / name).with_suffix(".bout.toml")
    known = read_bout_file(sheet) if sheet.exists() else None
    as_it_is = told(extract_bout(talk, known))
    for by in (200.0, 36000.0):
        assert told(extract_bout(moved(talk, by), known)) == as_it_is


@pytest.mark.parametrize("by", SHIFTS)
def test_times_move_as_the_cues_do(by: float) -> None:
    talk = read_transcript(FOLDER / "lantern-final.srt")
    known = read_bout_file(FOLDER / "lantern-final.bout.toml")
    before, after = extract_bout(talk, known), extract_bout(moved(talk, by), known)
    for old, new in zip(before.events, after.events, strict=True):
        assert new.t == pytest.approx(old.t + by, abs=0.011)
        assert new.t_range == pytest.approx([t + by for t in old.t_range], abs=0.011)
    for old_said, new_said in zip(before.statements, after.statements, strict=True):
        assert new_said.t == pytest.approx(old_said.t + by, abs=0.001)


LINES = (
    "Whistle, and they're off.", "Takedown, red, two points.", "Two-nothing, red.", "Exposure, blue, two.", "two all",
    "two twenty left", "Step-out, one for red.", "Three-two.", "Passivity, blue, that's the first.", "ten seconds",
    "And that's the end of the first period.", "Second period under way.", "Red challenges that.", "Nobody moves.",
)  # fmt: skip


@given(
    said=st.lists(st.tuples(st.integers(0, 3_000), st.sampled_from(LINES)), min_size=2, max_size=12),
    begins=st.integers(1, 2_000),
    by=st.integers(1, 40_000_000),
)
@settings(max_examples=15, deadline=None)
def test_any_talk_moved_by_any_hundredths_has_the_same_log(
    said: list[tuple[int, str]], begins: int, by: int
) -> None:
    """Records are written to the hundredth of a second: two awards a few milliseconds apart may fall into one or two."""
    at, timed = begins, []
    for after, line in said:
        timed.append((at / 100, line))
        at += 50 + after
    talk = transcript(*timed)
    shift = by / 100
    here, there = extract_bout(talk, bout_file()), extract_bout(moved(talk, shift), bout_file())
    assert told(there) == told(here)
    for old, new in zip(here.events, there.events, strict=True):
        assert new.t == pytest.approx(old.t + shift, abs=0.011)


def test_differences_between_times_are_the_same_to_the_last_bit() -> None:
    talk = read_transcript(FOLDER / "lantern-final.srt")

    def apart(talk: Transcript) -> list[float]:
        words = [cue.time_at(len(cue.text) // 3) for cue in talk.evened().cues]
        return [b - a for a, b in pairwise(words)]

    assert apart(moved(talk, 36007.3)) == apart(talk)


def test_a_recording_still_shows_level_from_its_start_on() -> None:
    record = extract_bout(
        moved(transcript("Takedown, red, two points.", "Two-nothing, red."), 200.0), bout_file()
    )
    assert [(b.t, b.red, b.blue) for b in record.board] == [(0.0, 0, 0), (200.0, 2, 0)]


def test_a_period_has_its_clock_from_its_start_on() -> None:
    """The start is no longer read off the clock at a time that rounding put before it."""
    talk = transcript(
        "Here we go.", (10.004, "Whistle, and they're off."), (20.0, "Takedown, red, two points.")
    )
    for by in (0.0, 0.003, 0.007):
        record = extract_bout(moved(talk, by), bout_file())
        assert (record.events[0].kind, record.events[0].clock_s) == ("period_start", 180.0)
