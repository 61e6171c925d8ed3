"""A running bout: what is kept of it from caption to caption is what reading it anew gives."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from extract.bout import SoFar, read_bout, read_running
from extract.labelled.live_replay import prefixes
from extract.live.bouts import taken_back
from extract.live.running import ReadWith, RunningBout
from extract.mentions import hear
from extract.transcript import read_bout_file, read_transcript
from tests.made_talk import bout_file, transcript

SAMPLES = Path(__file__).parents[2] / "sample_transcripts"


def running(*lines: tuple[float, str]) -> RunningBout:
    """The made bout after some lines, heard one after the other."""
    bout = RunningBout(1, 0.0, bout_file(), ReadWith())
    for so_far in prefixes(transcript(*lines)):
        bout.hear(so_far, ())
    return bout


@pytest.mark.parametrize("name", ["lantern-final.srt", "tallow-quarter.vtt", "pellingham-dual.txt"])
def test_what_is_heard_on_is_what_is_heard_anew(name: str) -> None:
    talk = read_transcript(SAMPLES / name).evened()
    known = read_bout_file(SAMPLES / f"{Path(name).stem}.bout.toml")
    before = None
    for n, so_far in enumerate(prefixes(talk)):
        before = hear(so_far, "freestyle", known, before=before)
        if n % 9:
            continue
        anew = hear(so_far, "freestyle", known)
        assert before.mentions == anew.mentions
        assert before.passages == anew.passages
        assert before.refs == anew.refs


def test_a_caption_that_is_rewritten_is_heard_anew() -> None:
    first = transcript((0.0, "We are under way."), (5.0, "Two for red."), (10.0, "and on we go."))
    cues = (first.cues[0], replace(first.cues[1], text="Two for blue."), first.cues[2])
    before = hear(first, "freestyle", bout_file())
    mended = replace(first, cues=cues)
    assert hear(mended, "freestyle", bout_file(), before=before).mentions == (
        hear(mended, "freestyle", bout_file()).mentions
    )


def test_a_search_that_goes_on_comes_to_what_a_new_one_comes_to() -> None:
    talk = read_transcript(SAMPLES / "lantern-final.srt")
    known = read_bout_file(SAMPLES / "lantern-final.bout.toml")
    so_far = SoFar(900.0)
    for n, prefix in enumerate(prefixes(talk)):
        _, record = read_running(prefix, known, so_far=so_far)
        if n % 20 == 0:
            _, anew = read_running(prefix, known, so_far=SoFar(900.0))
            assert record.board[-1] == anew.board[-1]
            assert [f.text for f in record.flags] == [f.text for f in anew.flags]


def test_of_a_bout_that_goes_on_no_end_is_supposed() -> None:
    """A recording that breaks off after a minute was of a bout that something ended; one that goes on was not."""
    talk = transcript(
        (0.0, "And we are under way."), (20.0, "Takedown, two for red."), (60.0, "They circle.")
    )
    over, on = read_bout(talk, bout_file())[0], read_running(talk, bout_file(), so_far=SoFar(900.0))[0]
    assert over.log.frame.end <= talk.seconds + 10
    assert on.log.frame.end > talk.seconds + 60
    assert on.log.best.state.over is None


def test_calls_keep_their_names_and_those_that_go_are_told() -> None:
    bout = running((0.0, "And we are under way."), (20.0, "Takedown, two for red. Two-nothing Felmouth."))
    (call,) = bout.calls.held
    assert (call.text, call.score_after, call.tentative) == ("Felmouth's takedown (2)", (2, 0), True)
    more = transcript(
        (0.0, "And we are under way."),
        (20.0, "Takedown, two for red. Two-nothing Felmouth."),
        (40.0, "We go on in the centre."),
        (90.0, "Step-out, one for blue. Two-one Felmouth."),
    )
    bout.hear(more, ())
    assert [c.id for c in bout.calls.held] == [call.id, "1.2"]
    assert not bout.calls.held[0].tentative
    assert bout.gone == ()


def test_a_stated_score_that_does_not_fit_becomes_a_flag() -> None:
    bout = running(
        (0.0, "Felmouth in red and Strandlow in blue, and we are under way."),
        (20.0, "Takedown, two points for red."),
        (24.0, "Two-nothing Felmouth."),
        (60.0, "Step-out, one point for blue."),
        (64.0, "Two-one Felmouth."),
        (90.0, "Still two-nothing Felmouth."),
        (100.0, "They circle in the middle."),
    )
    (flag,) = bout.flags.raised
    assert (flag.head, flag.said, flag.should_be) == ("old score", "2-0 Felmouth", "2-1 Felmouth")
    assert (flag.said_score, flag.should_be_score, flag.cue_t) == ((2, 0), (2, 1), 90.0)
    assert flag.sentence == "Correction: it was 2-1 to Felmouth."
    assert flag.raised >= flag.t
    assert flag.state == "open"


def test_a_flag_is_taken_back_when_the_caption_is_put_right() -> None:
    lines = [
        (0.0, "Felmouth in red and Strandlow in blue, and we are under way."),
        (20.0, "Takedown, two points for red. Two-nothing Felmouth."),
        (90.0, "Still two-nothing Strandlow."),
    ]
    bout = RunningBout(1, 0.0, bout_file(), ReadWith(flag_at=0.0))
    for so_far in prefixes(transcript(*lines)):
        bout.hear(so_far, ())
    assert [flag.state for flag in bout.flags.raised] == ["open"]
    bout.hear(transcript(*lines[:2], (90.0, "Still two-nothing Felmouth.")), ())
    (flag,) = bout.flags.raised
    assert (flag.state, flag.why) == ("withdrawn", "What was said since explains 2-0 Strandlow.")


def test_the_board_at_an_earlier_moment() -> None:
    bout = running(
        (0.0, "And we are under way."),
        (20.0, "Takedown, two for red. Two-nothing Felmouth."),
        (60.0, "Step-out, one for blue. Two-one Felmouth."),
        (70.0, "And on we go."),
    )
    before, between, now = bout.at(-1.0), bout.at(40.0), bout.at(500.0)
    assert before is None
    assert between is not None
    assert (between.score, between.leader, between.leads_by) == ((2, 0), "red", "points")
    assert now == bout.board


def test_of_a_bout_that_is_over_nothing_is_tentative() -> None:
    bout = running(
        (0.0, "Felmouth in red and Strandlow in blue, and we are under way."),
        (20.0, "Takedown, two points for red. Two-nothing Felmouth."),
        (30.0, "And he has him on his back, that's the fall! It's a pin, Felmouth wins by fall!"),
    )
    assert bout.board is not None
    assert bout.board.over.startswith("Felmouth wins by fall")
    assert not any(call.tentative for call in bout.calls.held)


def test_what_is_taken_back_is_told_with_the_score_without_it() -> None:
    bout = running((0.0, "And we are under way."), (20.0, "Takedown, two for red. Two-nothing Felmouth."))
    (call,) = bout.calls.held
    assert taken_back(replace(call, t=12.0, text="Strandlow's step-out (1)"), bout) == (
        "at 0:12 taken back: Strandlow's step-out (1); the score is 2-0 Felmouth"
    )
