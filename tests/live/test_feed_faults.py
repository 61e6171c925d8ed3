"""Each fault that a stream may have, in every form, drawn by numbers."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from extract.live.feed import Feed
from tests.live.faults import FAULTS, Fault, Form, Stream, captions_of, stream_of
from tests.live.test_feed import Clock, kinds, said

TALK = Path(__file__).parents[2] / "sample_transcripts" / "lantern-final.srt"
NOTES = Path(__file__).parents[2] / "sample_transcripts" / "shed-notes.csv"

#: What is told of each fault, first.
TOLD: dict[Fault, set[str]] = {
    "stall": {"stalled"},
    "repeat": {"repeated"},
    "back": {"repeated"},
    "late": {"went_back"},
    "drop": {"dropped"},
    "correct": {"corrected"},
    "clock": {"clock"},
    "set_back": {"clock"},
    "restart": {"restarted"},
    "producers": {"mixed"},
    "broken": {"broken"},
    "unfinished": {"broken"},
}


def run(stream: Stream, feed: Feed | None = None) -> Feed:
    """A feed of a stream, by a clock that goes as the stream does."""
    clock = Clock()
    feed = feed or Feed("talk", clock)
    began = clock.now
    for at, data in stream.pieces:
        while clock.now + 10.0 < began + at:
            clock.now += 10.0
            feed.take(b"")
        clock.now = began + at
        feed.take(data)
    feed.close()
    return feed


def plain(texts: list[str]) -> list[str]:
    return [text.replace("\ufffd", "") for text in texts]


@pytest.mark.parametrize("form", ["vtt", "srt", "json", "stamped", "csv"])
@pytest.mark.parametrize("fault", [fault for fault in FAULTS if fault not in ("rewrite", "unfinished")])
def test_captions_come_through(fault: Fault, form: Form) -> None:
    for draw, path in enumerate((NOTES, TALK, NOTES)):
        stream = stream_of(path, form, draw, [fault])
        feed = run(stream)
        assert plain(said(feed)) == stream.texts
        starts = [caption.start for caption in feed.captions]
        assert starts == sorted(starts)
        numbered = form not in ("stamped", "csv")
        if fault in TOLD and (numbered or fault not in ("drop", "correct")):
            assert TOLD[fault] & set(kinds(feed)), feed.notices
        if fault == "split":
            assert feed.notices == []
        # Once for a run of captions, not for each.
        assert len(feed.notices) <= 3
        assert len(feed.transcript().cues) >= len(feed.captions)


@pytest.mark.parametrize("form", ["vtt", "srt", "json"])
def test_rewritten_lines_come_through_in_silence(form: Form) -> None:
    for draw in range(3):
        stream = stream_of(TALK, form, draw, ["rewrite", "split"])
        feed = run(stream)
        assert (said(feed), feed.notices) == (stream.texts, [])


@pytest.mark.parametrize("form", ["vtt", "srt", "json", "stamped", "csv"])
def test_all_at_once(form: Form) -> None:
    for draw in range(4):
        stream = stream_of(TALK, form, draw, ["clock", "repeat", "stall", "drop", "broken", "split"])
        assert plain(said(run(stream))) == stream.texts


@pytest.mark.parametrize("form", ["vtt", "srt", "json", "stamped", "csv"])
def test_end_within_a_letter(form: Form) -> None:
    stream = stream_of(TALK, form, 0, ["unfinished"])
    feed = run(stream)
    assert said(feed)[: len(stream.texts) - 1] == stream.texts[:-1]
    assert "The stream ended within a letter, which is left out." in [notice.text for notice in feed.notices]


def test_times_after_a_restart_go_on() -> None:
    clean, feed = captions_of(TALK), run(stream_of(TALK, "vtt", 1, ["restart"]))
    (notice,) = feed.notices
    steps = [b.start - a.start for a, b in pairwise(feed.captions)]
    known = [b.start - a.start for a, b in pairwise(clean)]
    changed = [k for k, (a, b) in enumerate(zip(steps, known, strict=True)) if abs(a - b) > 0.02]
    assert len(changed) <= 1
    assert feed.transcript().cues[-1].start == feed.captions[-1].start
    assert notice.kind == "restarted"
    assert "was begun again" in notice.text


def test_word_times_move_with_their_caption() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"WEBVTT\n\n00:59.000 --> 01:00.000\nOne\n\n00:01.000 --> 00:03.000\nTwo <00:02.000>more\n\n")
    assert feed.captions[1].raw == "00:01:01.000 --> 00:01:03.000\nTwo <00:01:02.000>more\n\n"
    feed = Feed("talk", Clock())
    feed.take(b'{"start": 59, "end": 60, "text": "One"}\n')
    feed.take(b'{"start": 1, "end": 3, "text": "Two", "words": [{"word": "Two", "start": 1.5}]}\n')
    assert (
        feed.captions[1].raw
        == '{"start": 61.0, "end": 63.0, "text": "Two", "words": [{"word": "Two", "start": 61.5}]}\n'
    )


def test_a_caption_a_little_late_is_put_in_its_place() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"[0:04] One.\n[0:09] Three.\n")
    assert feed.take(b"[0:06] Two.\n")
    assert (said(feed), feed.first_changed, kinds(feed)) == (["One.", "Two.", "Three."], 1, [])


def test_stall_and_resume_are_told_once() -> None:
    clock = Clock()
    feed = Feed("talk", clock, stall_s=15.0)
    feed.take(b"")
    assert feed.state == "waiting"
    feed.take(b"[0:04] One.\n")
    for _ in range(8):
        clock.now += 5.0
        assert not feed.take(b"")
    assert (feed.state, [notice.text for notice in feed.notices]) == (
        "stalled",
        ["Nothing has come for 15 seconds."],
    )
    feed.take(b"[0:44] Two.\n")
    assert (feed.state, feed.notices[-1].text) == (
        "running",
        "The stream goes on after 0:40 without a caption.",
    )


def test_silence_is_no_jump_of_the_clock() -> None:
    clock = Clock()
    feed = Feed("talk", clock)
    feed.take(b"[0:04] One.\n")
    clock.now += 600.0
    feed.take(b"[10:04] Two.\n")
    assert "clock" not in kinds(feed)


def test_the_first_producer_may_stop() -> None:
    feed = Feed("talk", Clock())
    for k in range(6):
        feed.take(f"[{10 + k}:00] one {k}\n[{40 + k}:00] other {k}\n".encode())
    for k in range(6, 16):
        feed.take(f"[{40 + k}:00] other {k}\n".encode())
    assert said(feed)[:6] == [f"one {k}" for k in range(6)]
    assert said(feed)[-8:] == [f"other {k}" for k in range(8, 16)]
    assert kinds(feed)[-1] == "clock"


def test_times_of_the_bout_clock_run_down() -> None:
    feed = Feed("talk", Clock())
    feed.take(
        b"2:50 Takedown red\n2:31 Step out\n1:10 Exposure\nPeriod 2\n2:58 Passive blue\n0:40 Takedown blue\n"
    )
    feed.close()
    assert len(feed.captions) == 5
    assert feed.notices == []


@pytest.mark.parametrize("form", ["vtt", "srt", "json", "stamped", "csv", "plain"])
def test_kept_captions_go_on_after_a_kill(form: Form, tmp_path: Path) -> None:
    stream = stream_of(TALK, form, 2, ["correct"] if form != "plain" else [])
    kept, clock = tmp_path / "state" / "kept", Clock()
    feed = Feed("talk", clock, kept)
    data, half = stream.data, len(stream.data) // 2
    feed.take(data[:half])
    before = said(feed)
    # Killed: the file has what was whole. What was being written when the power went is dropped.
    with kept.open("ab") as file:
        file.write({"stamped": b"[0:0", "json": b'{"start": 99'}.get(form, b""))
    again = Feed.resume(kept, "talk", clock)
    assert said(again) == before
    assert kinds(again) == ["kept"]
    # The source is read from its beginning.
    for k in range(0, len(data), 97):
        again.take(data[k : k + 97])
    again.close()
    assert said(again) == stream.texts
    assert set(kinds(again)) <= {"kept", "repeated", "corrected", "broken"}
    assert [caption.text for caption in Feed.resume(kept, "talk", clock).captions] == stream.texts


@pytest.mark.parametrize("form", ["vtt", "srt", "json", "stamped", "csv", "plain"])
def test_kept_captions_go_on_with_the_rest_of_a_pipe(form: Form, tmp_path: Path) -> None:
    stream = stream_of(TALK, form)
    kept, clock = tmp_path / "kept", Clock()
    feed, half = Feed("talk", clock, kept), len(stream.pieces) // 2
    for _, data in stream.pieces[:half]:
        clock.now += 3.0
        feed.take(data)
    again = Feed.resume(kept, "talk", clock)
    for _, data in stream.pieces[half:]:
        clock.now += 3.0
        again.take(data)
    again.close()
    assert said(again) == stream.texts
    starts = [caption.start for caption in again.captions]
    assert starts == sorted(starts)


def test_only_the_tail_of_the_kept_file_is_written_anew(tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    feed = Feed("talk", Clock(), kept)
    feed.take(
        b'{"start": 1, "end": 2, "text": "one", "id": 1}\n{"start": 2, "end": 3, "text": "t", "id": 2}\n'
    )
    feed.take(b'{"start": 2, "end": 3, "text": "two", "id": 2}\n')
    assert kept.read_text() == feed.text()
    assert said(feed) == ["one", "two"]


def test_no_kept_file_is_a_beginning_and_one_that_fails_is_told(tmp_path: Path) -> None:
    assert Feed.resume(tmp_path / "none").captions == []
    feed = Feed("talk", Clock(), tmp_path)
    feed.take(b"[0:04] One.\n")
    feed.take(b"[0:06] Two.\n")
    assert (said(feed), kinds(feed)) == (["One.", "Two."], ["kept"])


def test_the_stream_begins_again_within_a_line() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"WEBVTT\n\n00:01.000 --> 00:02.000\nOne\n\n00:02.000 --> 00:04.000\nTwo f")
    feed.anew()
    feed.take(b"WEBVTT\n\n00:01.000 --> 00:02.000\nOne\n\n00:02.000 --> 00:04.000\nTwo for red\n\n")
    assert said(feed) == ["One", "Two for red"]
    assert kinds(feed) == ["restarted"]
