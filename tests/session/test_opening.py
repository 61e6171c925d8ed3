"""A recording of one bout that begins with something else: what is said before the bout is no part of it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from benchmarks.foreign_talk import lead_in, moved
from extract import extract_bout, read_bout_file, read_transcript
from extract.decisions import Decision
from extract.decisions.model import EventIs
from extract.mentions import hear
from extract.record.model import Record
from extract.recording.opening import first_cue, is_lead_in
from extract.talk.style import heard_style
from extract.transcript import BoutFile, Transcript
from extract.transcript.cue import Cue
from tests.samples import FOLDER

SAMPLES = ("lantern-final.srt", "tallow-quarter.vtt", "pellingham-dual.txt", "ropewalk-greco.json")


def sample(name: str) -> tuple[Transcript, BoutFile | None]:
    path = FOLDER / name
    sheet = path.with_suffix(".bout.toml")
    return read_transcript(path), read_bout_file(sheet) if sheet.exists() else None


def begins(talk: Transcript, style: str = "freestyle") -> int:
    return first_cue(talk, hear(talk, style))


def told(record: Record, before: int = 0) -> dict[str, Any]:
    """What the record says of the bout, with ``before`` cues of something else in front of it."""
    return {
        "events": [(e.kind, e.corner, e.points, e.status, e.basis, e.period) for e in record.events],
        "board": [(b.red, b.blue) for b in record.board],
        "clocks": [e.clock_s for e in record.events],
        "statements": [(s.cue - before, s.start, s.said, s.computed, s.verdict) for s in record.statements],
        "clock": [(c.cue - before, c.start, c.seconds_left, c.period) for c in record.clock],
        "result": (record.result.winner, record.result.by, record.result.score),
    }


@pytest.mark.parametrize("seconds", [30.0, 300.0, 1200.0])
@pytest.mark.parametrize("name", SAMPLES)
def test_foreign_talk_before_a_bout_changes_nothing_in_it(name: str, seconds: float) -> None:
    talk, known = sample(name)
    longer = lead_in(talk, seconds, seed=4)
    before = len(longer.cues) - len(talk.cues)
    record = extract_bout(longer, known)
    assert told(record, before) == told(extract_bout(talk, known))
    assert record.source.cues == len(longer.cues)
    assert (record.board[0].t, record.board[0].red, record.board[0].blue) == (0.0, 0, 0)


@pytest.mark.parametrize("name", SAMPLES)
def test_who_wrestles_is_heard_in_the_bout_and_not_before_it(name: str) -> None:
    talk, known = sample(name)
    rules = known.rules if known else None
    alone = extract_bout(talk, rules=rules)
    longer = extract_bout(lead_in(talk, 300.0, seed=5), rules=rules)
    assert (longer.bout.red, longer.bout.blue) == (alone.bout.red, alone.bout.blue)


def test_what_was_left_out_is_told() -> None:
    talk, known = sample("lantern-final.srt")
    assert not [f for f in extract_bout(talk, known).flags if f.kind == "lead_in"]
    (note,) = [f for f in extract_bout(lead_in(talk, 300.0, seed=4), known).flags if f.kind == "lead_in"]
    assert note.severity == "note"
    assert note.t == pytest.approx(300.8, abs=15.0)
    assert "is no part of it" in note.why


@pytest.mark.parametrize("name", [*SAMPLES, "shed-notes.csv", "saltpan-foil.srt"])
def test_a_bout_keeps_its_own_introduction(name: str) -> None:
    talk, _ = sample(name)
    assert not is_lead_in(talk, begins(talk, heard_style(talk)[0]))


@pytest.mark.parametrize("by", [7.3, 200.0, 36000.1])
def test_where_a_bout_plainly_begins_hangs_on_no_clock(by: float) -> None:
    """Silences are weighed by steps, and captions stand so close that rounding may tip them over one."""
    cues = tuple(
        Cue(n + 1, t / 100, (t + 33) / 100, text)
        for n, (t, text) in enumerate(
            [(1, "Evening all."), (434, "Whistle!"), (867, "Takedown red."), (1300, "Two nil.")]
        )
    )
    talk = Transcript("talk.srt", "srt", "0" * 64, cues)
    here, there = talk.evened(), moved(talk, by).evened()
    assert [b.start - a.end for a, b in pairwise(there.cues)] == [
        b.start - a.end for a, b in pairwise(here.cues)
    ]
    assert begins(there) == begins(here)


def test_silence_before_the_first_word_is_no_talk() -> None:
    talk, known = sample("lantern-final.srt")
    record = extract_bout(moved(talk, 1200.0), known)
    assert told(record) == told(extract_bout(talk, known))
    assert not [f for f in record.flags if f.kind == "lead_in"]


def test_a_countdown_before_a_bout_is_no_part_of_it() -> None:
    talk, known = sample("lantern-final.srt")
    said = [f"{minutes} minutes to go." for minutes in range(10, 1, -1)] + [
        "One minute to go.",
        "We're live.",
    ]
    count = tuple(Cue(n + 1, 60.0 * n, 60.0 * n + 2.0, text) for n, text in enumerate(said))
    own = tuple(replace(cue, index=cue.index + len(count)) for cue in moved(talk, 640.0).cues)
    record = extract_bout(replace(talk, cues=(*count, *own)), known)
    assert told(record, len(count)) == told(extract_bout(talk, known))


def test_what_a_person_has_decided_is_part_of_the_bout() -> None:
    talk, known = sample("lantern-final.srt")
    longer = lead_in(talk, 300.0, seed=4)
    seen = Decision(
        "d1",
        "2026-03-01T10:00:00Z",
        "R. Pell",
        "add",
        "event",
        None,
        EventIs(200.0, "step_out", "red", None, 1),
    )
    record = extract_bout(longer, known, decisions=[seen])
    assert (200.0, "step_out", "red") in [(e.t, e.kind, e.corner) for e in record.events]
    (note,) = [f for f in record.flags if f.kind == "lead_in"]
    assert note.t <= 200.0


def test_no_talk_that_is_like_a_bout_is_cut() -> None:
    cues = tuple(Cue(n + 1, 5.0 * n, 5.0 * n + 3.0, "It's cold in here.") for n in range(40))
    assert begins(Transcript("talk.srt", "srt", "0" * 64, cues)) == 0
    assert begins(Transcript("talk.srt", "srt", "0" * 64, ())) == 0


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("seconds", [30.0, 120.0, 1200.0])
def test_a_lead_in_takes_as_long_as_is_asked_for(name: str, seconds: float) -> None:
    talk, _ = sample(name)
    longer = lead_in(talk, seconds, seed=1)
    before = longer.cues[: len(longer.cues) - len(talk.cues)]
    own = longer.cues[len(before) :]
    assert before
    assert before[0].start == talk.cues[0].start
    assert [cue.index for cue in longer.cues[: len(before) + 1]] == list(range(1, len(before) + 2))
    assert [cue.text for cue in own] == [cue.text for cue in talk.cues]
    assert all(
        b.start - a.start == pytest.approx(seconds, abs=1e-3) for a, b in zip(talk.cues, own, strict=True)
    )
    assert all(a.end <= b.start + 1e-3 for a, b in pairwise((*before, own[0])))
