"""Whatever is said, a recording falls into parts: properties over drawn talk."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extract.lexicon import load_lexicon
from extract.session import Session, Sheet, SheetBout, extract_session, find_parts, part_transcript
from extract.transcript import Cue, Side, Transcript, read_transcript
from tests.drawn.compare import told_bout
from tests.drawn.draw_session import ToldBout, draw_session
from tests.made_talk import check, transcript
from tests.samples import FOLDER

_FREE = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
_FORMS = sorted({form for entry in load_lexicon("freestyle").entries for form in entry.forms})
_WORDS = st.one_of(
    st.sampled_from(_FORMS),
    st.sampled_from(
        ["Felmouth", "Strandlow", "Oake", "Birn", "one", "4-2", "0-0", "1:20", "red", "blue", "."]
    ),
    st.text(max_size=6),
)
_LINES = st.lists(st.tuples(st.integers(0, 200), st.lists(_WORDS, max_size=9).map(" ".join)), max_size=40)
_SHEET = Sheet(
    (SheetBout(Side("Ada Felmouth"), Side("Ida Strandlow")), SheetBout(Side("Oake"), Side("Birn")))
)


def talk_of(lines: list[tuple[int, str]]) -> Transcript:
    timed, t = [], 0.0
    for gap, text in lines:
        t += gap
        timed.append((t, text))
    return transcript(*timed)


def check_parts(talk: Transcript, session: Session) -> None:
    """What must hold of any parts: they are in order and cover all, and bouts are numbered from 1."""
    parts = session.parts
    assert (parts[0].first, parts[-1].last) == (0, len(talk.cues))
    assert (parts[0].start, parts[-1].end) == (0.0, pytest.approx(talk.seconds, abs=0.01))
    for part, after in pairwise(parts):
        assert (part.last, part.end) == (after.first, after.start)
        assert part.kind == "bout" or after.kind == "bout"
    for part in parts:
        assert part.first < part.last
        assert part.start <= part.end
        assert part.start <= talk.cues[part.first].start
        assert 0.0 <= part.confidence <= 1.0
        assert part.why.endswith(".")
    assert [part.number for part in session.bouts] == list(range(1, len(session.bouts) + 1))
    assert {part.number for part in parts if part.kind == "studio"} <= {0}


@_FREE
@given(_LINES, st.booleans())
def test_parts_cover_any_talk(lines: list[tuple[int, str]], with_sheet: bool) -> None:
    talk = talk_of(lines)
    session = find_parts(talk, sheet=_SHEET if with_sheet else None)
    if not lines:
        assert session.parts == ()
    else:
        check_parts(talk, session)


@settings(_FREE, max_examples=25)
@given(_LINES)
def test_each_record_is_sound(lines: list[tuple[int, str]]) -> None:
    talk = talk_of(lines)
    session, records = extract_session(talk)
    assert len(records) == len(session.bouts)
    for part, record in zip(session.bouts, records, strict=True):
        check(record, part_transcript(talk, part))
        assert all(part.start <= event.t for event in record.events)
        assert record.board[0].t == part.start


@pytest.mark.parametrize(
    "name", ["lantern-final.srt", "pellingham-dual.txt", "shed-notes.csv", "saltpan-foil.srt"]
)
def test_a_recording_of_one_bout_is_one_part(name: str) -> None:
    talk = read_transcript(FOLDER / name)
    session = find_parts(talk)
    assert [(p.kind, p.first, p.last, p.start) for p in session.parts] == [("bout", 0, len(talk.cues), 0.0)]
    assert part_transcript(talk, session.parts[0]).begins == 0.0


def test_studio_talk_alone_has_no_bout() -> None:
    talk = transcript(
        "Good evening from the studio, and what a season it has been.",
        "With me is Ada Felmouth, who coached the juniors for eleven years.",
        "Ada, when you look back, what would you do otherwise?",
        "I'd have bought better shoes. And I'd have listened to my mother.",
        "We'll take a short break, and after it we talk about the new hall.",
        "Welcome back. The new hall has a roof, which the old one hadn't.",
        every=12.0,
    )
    assert [part.kind for part in find_parts(talk).parts] == ["studio"]


def test_a_long_break_between_two_sessions_changes_little() -> None:
    """Two recordings behind one another, an hour apart, give the parts of both."""
    talks = [read_transcript(FOLDER / "lantern-final.srt"), read_transcript(FOLDER / "ropewalk-greco.json")]
    cues: list[Cue] = []
    for talk in talks:
        moved = cues[-1].end + 3600.0 if cues else 0.0
        cues += [
            replace(c, index=len(cues) + n, start=c.start + moved, end=c.end + moved, anchors=())
            for n, c in enumerate(talk.cues, 1)
        ]
    session = find_parts(replace(talks[0], cues=tuple(cues)))
    edge = len(talks[0].cues)
    first, second = session.bouts
    assert first.start <= 20.0
    assert edge - 10 <= first.last <= edge
    assert second.start == pytest.approx(cues[edge].start, abs=20.0)
    assert len(cues) - 10 <= second.last <= len(cues)


@pytest.mark.parametrize("seed", [7, 8])
def test_drawn_sessions_are_found(seed: int) -> None:
    """Three drawn bouts with talk between them: each is found, with all its events."""
    bouts = []
    for number in (seed * 10, seed * 10 + 24, seed * 10 + 48):
        _, told = told_bout(number)
        bouts.append(ToldBout(told.transcript, told.bout, told.truth))
    drawn = draw_session(bouts, seed)
    for sheet in (None, drawn.sheet):
        session = find_parts(drawn.transcript, sheet=sheet)
        check_parts(drawn.transcript, session)
        assert len(session.bouts) == len(drawn.bouts)
        for part, bout in zip(session.bouts, drawn.bouts, strict=True):
            times = [event["t"] + bout.moved for event in bout.told.truth["events"]]
            assert all(part.start - 1 <= t <= part.end + 1 for t in times)
