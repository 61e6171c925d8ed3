"""A clean stream of each format, given out as soon as captions are whole, and read as the finished file is."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random

import pytest

from extract.errors import InputError
from extract.live.feed import Feed
from extract.transcript import read_transcript
from extract.transcript.read import goes_with_transcript

ROOT = Path(__file__).parents[2]
SAMPLES = sorted(
    path
    for folder in (
        ROOT / "sample_transcripts",
        ROOT / "sample_transcripts/session",
        ROOT / "benchmarks/bouts",
    )
    for ending in ("srt", "vtt", "txt", "csv")
    for path in folder.glob(f"*.{ending}")
    if not goes_with_transcript(path) and (folder.name != "bouts" or path.stem.endswith(("1", "5")))
)


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def fed(*pieces: str | bytes, name: str = "talk") -> Feed:
    """A feed after these pieces of a stream that is over."""
    feed = Feed(name, Clock())
    for piece in pieces:
        feed.take(piece.encode() if isinstance(piece, str) else piece)
    feed.close()
    return feed


def said(feed: Feed) -> list[str]:
    return [caption.text for caption in feed.captions]


def kinds(feed: Feed) -> list[str]:
    return [notice.kind for notice in feed.notices]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_stream_is_read_as_the_finished_file(path: Path) -> None:
    data, random, pieces, at = path.read_bytes(), Random(path.name), [], 0
    while at < len(data):
        size = random.choice((1, 7, 60, 900))
        pieces.append(data[at : at + size])
        at += size
    feed = fed(*pieces, name=str(path))
    assert feed.transcript() == read_transcript(path)
    assert set(kinds(feed)) <= {"clock"}
    later = feed.transcript(5)
    assert later.cues[-1].text == feed.transcript().cues[-1].text
    assert later.cues[-1].index == feed.index_of(feed.transcript().cues[-1].index - 1, 5)


@pytest.mark.parametrize(
    "path", sorted((ROOT / "benchmarks/bouts").glob("*[0-9].json")), ids=lambda path: path.name
)
def test_segments_a_line_are_read_as_their_document(path: Path) -> None:
    segments = json.loads(path.read_text())["segments"]
    feed = fed(*(json.dumps(segment) + "\n" for segment in segments))
    assert feed.transcript().cues == read_transcript(path).cues
    assert feed.notices == []


def test_webvtt_caption_comes_at_its_blank_line_or_the_next_timing() -> None:
    feed = Feed("talk", Clock())
    assert feed.state == "waiting"
    assert not feed.take(
        b"WEBVTT\n\nNOTE made up\nby hand\n\nfirst\n00:01.000 --> 00:03.000 align:start\n<v Anna>Two &amp; "
    )
    assert feed.state == "running"
    assert not feed.take(b"two</v>\n")
    assert feed.take(b"\n")
    assert feed.first_changed == 0
    (caption,) = feed.captions
    assert (caption.number, caption.start, caption.end, caption.text, caption.speaker, caption.closed) == (
        1, 1.0, 3.0, "Two & two", "Anna", False,
    )  # fmt: skip
    assert not feed.take(b"00:03.000 --> 00:05.000\nStep out\n")
    assert feed.take(b"00:05.000 --> 00:06.000\nOne\n")
    assert (said(feed), feed.first_changed) == (["Two & two", "Step out"], 1)
    assert [caption.closed for caption in feed.captions] == [True, False]
    assert feed.close()
    assert (said(feed), feed.state) == (["Two & two", "Step out", "One"], "ended")
    assert feed.text(2) == "WEBVTT\n\nNOTE made up\nby hand\n\n00:05.000 --> 00:06.000\nOne\n"


def test_subrip_number_below_a_caption_is_no_score() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"1\n00:00:01,000 --> 00:00:03,000\nThe score\n\n4\n\n")
    assert said(feed) == ["The score"]
    feed.take(b"2\n00:00:03,000 --> 00:00:05,000\nGood\n\n")
    # The caption went on after a blank line: a number that no timing line follows is one of its lines.
    assert said(feed) == ["The score 4", "Good"]
    assert (feed.first_changed, feed.captions[1].raw) == (0, "2\n00:00:03,000 --> 00:00:05,000\nGood\n\n")


def test_paragraphs_go_on_without_a_time() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"Hall one\n\n[0:04] Here we go.\n")
    assert (said(feed), feed.format) == (["Here we go."], "block")
    assert feed.take(b"And more.\n")
    assert said(feed) == ["Here we go. And more."]
    feed.take(b"[0:09] Two.\n")
    assert (feed.captions[1].start, feed.first_changed) == (9.0, 1)
    assert feed.text(1) == "[0:09] Two.\n"


def test_rows_of_notes() -> None:
    feed = fed('time,note\n0:12,"Red: ', 'Vell,\nblue: Orr"\n', "0:20,Whistle\nsoon,what\n")
    assert [(caption.start, caption.text) for caption in feed.captions] == [
        (12.0, "Red: Vell, blue: Orr"), (20.0, "Whistle"),
    ]  # fmt: skip
    assert [notice.text for notice in feed.notices] == ["A row is left out: broken time 'soon'."]
    assert feed.text(1) == "time,note\n0:20,Whistle\n"


def test_lines_without_times_are_stamped_as_they_come() -> None:
    clock = Clock()
    feed = Feed("-", clock)
    for wait_s, line in ((4.0, b"Here we go\n"), (2.5, b"Two for red\n"), (60.0, b"0-2, it is\n")):
        clock.now += wait_s
        assert feed.take(line)
    feed.close()
    assert [(caption.start, caption.text) for caption in feed.captions] == [
        (4.0, "Here we go"), (6.5, "Two for red"), (66.5, "0-2, it is"),
    ]  # fmt: skip
    assert feed.text(1) == "[0:06.50] Two for red\n[1:06.50] 0-2, it is\n"
    assert [(cue.start, cue.text) for cue in feed.transcript().cues][1] == (6.5, "Two for red")


def test_talk_that_shows_its_format_late_is_put_right() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"Shed notes\n")
    assert said(feed) == ["Shed notes"]
    assert feed.take(b"time,note\n0:12,Whistle\n")
    assert (said(feed), feed.format, feed.first_changed) == (["Whistle"], "csv", 0)


def test_recogniser_rewrites_its_last_line() -> None:
    feed = Feed("talk", Clock())

    def line(**fields: object) -> bytes:
        return json.dumps({"start": 1.0, "end": 2.0, **fields}).encode() + b"\n"

    feed.take(line(id=1, text="two", final=False))
    feed.take(line(id=1, text="two for", final=False))
    assert (said(feed), feed.captions[0].closed) == (["two for"], False)
    assert feed.take(line(id=1, text="to four", final=True, speaker="S1"))
    assert (said(feed), feed.captions[0].closed, feed.captions[0].speaker) == (["to four"], True, "S1")
    feed.take(line(id=2, start=2.0, end=4.0, text="good"))
    assert kinds(feed) == []
    assert feed.take(line(id=1, text="two for red"))
    assert (said(feed), feed.first_changed, kinds(feed)) == (["two for red", "good"], 0, ["corrected"])
    assert feed.notices[0].text == "The caption at 0:01 was corrected: “to four” is now “two for red”."


def test_a_caption_of_the_same_start_is_the_last_one_rewritten() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"WEBVTT\n\n00:01.000 --> 00:02.000\nto four\n\n")
    assert feed.take(b"00:01.000 --> 00:02.500\nTwo for red.\n\n")
    assert (said(feed), feed.first_changed, feed.notices) == (["Two for red."], 0, [])
    # Two that stand together on the screen are two.
    feed.take(
        b"00:03.000 --> 00:04.000 position:10%\nYes!\n\n00:03.000 --> 00:04.000 position:90%\nNo way.\n\n"
    )
    assert said(feed) == ["Two for red.", "Yes!", "No way."]
    feed.take(b"00:05.000 --> 00:06.000\n<v Anna>Yes\n\n00:05.000 --> 00:07.000\n<v Bert>No\n\n")
    assert said(feed)[3:] == ["Yes", "No"]


def test_a_stream_that_is_joined_in_the_middle() -> None:
    vtt = "half a caption\n\n7\n00:05.000 --> 00:06.500\nTwo\n\n8\n00:07.000 --> 00:08.000\nThree\n\n"
    feed = fed(*vtt)
    assert (said(feed), feed.format) == (["Two", "Three"], "srt")
    assert [cue.text for cue in feed.transcript().cues] == ["Two", "Three"]
    feed = fed('xt": "half"}\n', '{"start": 3, "end": 4, "text": "Two"}\n')
    assert (said(feed), kinds(feed)) == (["Two"], ["broken"])


@pytest.mark.parametrize(
    "text",
    [
        '<?xml version="1.0"?>\n<tt><body/></tt>\n',
        '{\n "segments": [\n',
        '{"text": "Two", "segments": [{"start": 1, "end": 2, "text": "Two"}]}\n',
        '[{"start": 1, "end": 2, "text": "Two"}]\n',
        '{"words": [',
    ],
)
def test_documents_are_refused(text: str) -> None:
    with pytest.raises(InputError, match="cannot be read before it is whole; use saidscore log when it is"):
        fed(text)


def test_other_files_are_refused() -> None:
    with pytest.raises(InputError, match="no text"):
        fed(b"%PDF-1.7 something")


def test_broken_captions_are_left_out() -> None:
    feed = fed(
        "WEBVTT\n\n00:01.000 --> 00:03.000\nTwo\n\n00:99.000 --> 00:05.000\nNo\n\n00:06.000 --> 00:05.000\nBack\n\n"
        "00:07.000 --> 00:08.000\nGood\n\n"
    )
    assert (said(feed), kinds(feed)) == (["Two", "Good"], ["broken", "broken"])
    feed = fed(
        '{"start": 1, "end": 2, "text": "Two"}\n{"start": 1, "en\nnothing\n{"start": 3, "text": "No end"}\n'
    )
    assert (said(feed), kinds(feed)) == (["Two"], ["broken"] * 3)


def test_a_caption_without_end_is_cut() -> None:
    feed = Feed("talk", Clock())
    feed.take(b"WEBVTT\n\n00:01.000 --> 00:03.000\n")
    for _ in range(200):
        feed.take(b"word " * 200 + b"\n")
    feed.take(b"\n00:04.000 --> 00:05.000\nTwo\n\n")
    assert said(feed)[1] == "Two"
    assert len(feed.captions[0].raw) < 70_000
    assert kinds(feed) == ["broken"]


def test_nothing_was_said_yet() -> None:
    feed = Feed("talk", Clock())
    assert feed.transcript().cues == ()
    feed.take(b"WEBVTT\n\n00:01.000 --> 00:03.000\n\n00:03.000 --> 00:04.000\n \n\n")
    assert feed.transcript().cues == ()


def test_a_part_of_the_captions() -> None:
    feed = fed(
        "WEBVTT\n\n", *(f"00:0{n}.000 --> 00:0{n}.900\nline {n}\n\n" for n in range(4)), "NOTE the end\n"
    )
    assert [cue.text for cue in feed.transcript(1, 3).cues] == ["line 1", "line 2"]
    assert feed.text(3).endswith("NOTE the end\n")
    assert "NOTE" not in feed.text(1, 3)
    assert feed.transcript(2, 2).cues == ()
    assert said(feed) == [f"line {n}" for n in range(4)]
    feed = fed("[0:04] One\n[0:06] Two\n")
    assert (feed.transcript(1, 1).cues, len(feed.captions)) == ((), 2)


def test_rows_without_heads() -> None:
    feed = Feed("talk", Clock())
    for n, note in enumerate(("Whistle, red in", "Takedown, two for red", "Step out blue, one")):
        feed.take(f"0:{12 + 9 * n};{note}\n".encode())
        feed.transcript(n)
    assert (len(feed.captions), feed.notices) == (3, [])
    feed.close()
    assert len(feed.transcript().cues) == 3


def test_a_row_that_spoils_the_others_is_left_out() -> None:
    # The mark that opens in the first row closes in the second: two rows would be one note.
    feed = fed('time,note\n0:10,"Red\n0:11,x "y"\n0:12,Whistle\n0:14,Two\n')
    assert [cue.text for cue in feed.transcript().cues] == ["Whistle", "Two"]
    assert (said(feed), feed.first_changed, kinds(feed)) == (["Whistle", "Two"], 0, ["broken"])


def test_lines_that_come_together_are_different_ones() -> None:
    """Typed lines may have waited in a pipe; they are no line that somebody wrote anew."""
    feed = Feed("typed", lambda: 0.0)
    feed.take(b"two for red\ntwo nothing Mora\nstep out one for blue\nstill two nothing Mora\n")
    feed.close()
    assert len(feed.captions) == 4
    assert [notice.kind for notice in feed.notices] == []
