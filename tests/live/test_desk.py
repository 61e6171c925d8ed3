"""The live desk as a whole: a stream in, views and records out."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from extract.decisions.make import Refused
from extract.errors import InputError
from extract.live.desk import LiveDesk, open_desk
from extract.live.feed import Feed
from extract.live.options import LiveOptions
from extract.live.sources import PipeSource
from extract.record import from_json
from tests.made_talk import transcript

SAMPLES = Path(__file__).parents[2] / "sample_transcripts"
TALK = (
    (0.0, "Doran Felmouth in red against Ivo Strandlow in blue, freestyle, and we are under way."),
    (20.0, "Takedown, two points for red."),
    (24.0, "Two-nothing Felmouth."),
    (60.0, "Step-out, one point for blue."),
    (64.0, "Two-one Felmouth."),
    (90.0, "Still two-nothing Felmouth."),
    (100.0, "They circle in the middle."),
)


def srt(*lines: tuple[float, str]) -> str:
    """The lines as a SubRip file."""

    def stamp(t: float) -> str:
        ms = round(t * 1000)
        return f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02},{ms % 1000:03}"

    cues = transcript(*lines).cues
    return "".join(f"{c.index}\n{stamp(c.start)} --> {stamp(c.end)}\n{c.text}\n\n" for c in cues)


def written(folder: Path, text: str, **options: Any) -> LiveDesk:
    """A desk over a file in a folder, which keeps its files there too."""
    path = folder / "talk.srt"
    path.write_text(text, encoding="utf-8")
    return open_desk(LiveOptions(str(path), keep=folder, by="tester", **options))


@pytest.mark.parametrize("name", ["lantern-final.srt", "shed-notes.csv"])
def test_the_record_in_the_end_is_that_of_the_command_log(name: str, tmp_path: Path) -> None:
    expected = SAMPLES / "expected" / f"{Path(name).stem}.record.json"
    desk = open_desk(LiveOptions(str(SAMPLES / name), keep=tmp_path))
    desk.run()
    assert desk.written[0].read_bytes() == expected.read_bytes()
    assert desk.view().state == "ended"
    assert not (tmp_path / f"{Path(name).stem}.live.json").exists()


def test_what_comes_through_a_pipe_is_kept_and_its_record_is_that_of_what_was_kept(tmp_path: Path) -> None:
    from extract.bout import extract_bout
    from extract.record.files import to_json
    from extract.transcript import read_transcript

    read, write = os.pipe()
    options = LiveOptions("-", keep=tmp_path)
    feed = Feed("standard input", kept=tmp_path / "live.captions")
    desk = LiveDesk(options, PipeSource(read, "standard input", own=True), feed, "live")
    os.write(write, srt(*TALK).encode())
    os.close(write)
    desk.run()
    kept = read_transcript(tmp_path / "live.captions")
    assert [cue.text for cue in kept.cues] == [text for _, text in TALK]
    assert desk.written[0].read_text(encoding="utf-8") == to_json(extract_bout(kept))


@pytest.fixture
def running(tmp_path: Path) -> Iterator[LiveDesk]:
    """A desk that has read the talk and waits for more of it."""
    desk = written(tmp_path, srt(*TALK), follow=True)
    thread = threading.Thread(target=desk.run)
    thread.start()
    view = desk.view()
    while view.captions < len(TALK) - 1:
        view = desk.wait(view.revision, 10)
    yield desk
    desk.stop()
    thread.join(30)


def _flag(desk: LiveDesk) -> str:
    (flag,) = [flag for flag in desk.view().flags if flag.state == "open"]
    assert (flag.said, flag.should_be) == ("2-0 Felmouth", "2-1 Felmouth")
    return flag.id


def _score(desk: LiveDesk) -> tuple[int, int]:
    board = desk.view().board
    assert board is not None
    return board.score


def test_that_a_stated_score_was_right_holds_from_then_on(running: LiveDesk) -> None:
    assert _score(running) == (2, 1)
    assert running.answer(_flag(running), "right") == "Saved: 2-0 Felmouth: the stated score was right."
    assert _score(running) == (2, 0)
    assert [flag.answer for flag in running.view().flags if flag.state == "answered"] == ["right"]
    assert running.undo() == "Undone: the flag is open again."
    assert _score(running) == (2, 1)
    with pytest.raises(Refused, match="nothing to undo"):
        running.undo()


def test_a_slip_and_another_bouts_score_leave_the_score(running: LiveDesk) -> None:
    flag = _flag(running)
    running.answer(flag, "other_bout")
    assert _score(running) == (2, 1)
    running.undo()
    running.answer(flag, "slip")
    assert _score(running) == (2, 1)
    assert [(f.state, f.answer) for f in running.view().flags] == [("answered", "slip")]
    with pytest.raises(Refused, match="not of the running bout"):
        running.answer("7.7", "slip")


def test_a_corrected_score_holds_and_is_in_the_record_after(running: LiveDesk, tmp_path: Path) -> None:
    said = running.correct((4, 1))
    assert said.startswith("Saved: ")
    assert _score(running) == (4, 1)
    with (tmp_path / "talk.srt").open("a", encoding="utf-8") as file:
        file.write("8\n00:01:50,000 --> 00:01:54,000\nAnd on they go.\n\n")
    view = running.view()
    while view.captions < len(TALK):
        view = running.wait(view.revision, 10)
    assert _score(running) == (4, 1)
    running.stop()
    while running.view().state != "ended":
        view = running.wait(view.revision, 10)
    record = from_json(running.written[0])
    assert record.result.score == (4, 1)
    assert [decision.by for decision in record.decisions] == ["tester"]


def test_the_score_at_a_moment(running: LiveDesk) -> None:
    then = running.at(40.0)
    assert then is not None
    assert then.score == (2, 0)


def test_a_desk_that_was_killed_goes_on_where_it_was(tmp_path: Path) -> None:
    """The state on the disk has the flag, its name and the answer; the other desk opens with them."""
    first = written(tmp_path, srt(*TALK), follow=True)
    thread = threading.Thread(target=first.run)
    thread.start()
    view = first.view()
    while view.captions < len(TALK) - 1:
        view = first.wait(view.revision, 10)
    first.answer(_flag(first), "slip")
    # As if it had been killed: what it does from here on is not seen by the other.
    kept = (tmp_path / "talk.live.json").read_bytes()
    first.stop()
    thread.join(30)
    (tmp_path / "talk.live.json").write_bytes(kept)
    again = open_desk(LiveOptions(str(tmp_path / "talk.srt"), keep=tmp_path, by="tester"))
    assert again.resumed
    again.run()
    assert [(f.id, f.state, f.answer) for f in again.view().flags] == [
        (flag.id, flag.state, flag.answer) for flag in first.view().flags
    ]


def test_a_state_of_another_sort_is_told(tmp_path: Path) -> None:
    (tmp_path / "talk.live.json").write_text("{}", encoding="utf-8")
    with pytest.raises(InputError, match="is not the state of a live desk"):
        written(tmp_path, srt(*TALK))


def test_who_keeps_step_sees_every_view(tmp_path: Path) -> None:
    desk = written(tmp_path, srt(*TALK))
    desk.keep_step()
    thread = threading.Thread(target=desk.run)
    thread.start()
    view = desk.view()
    seen = [view.captions]
    while view.state != "ended":
        view = desk.wait(view.revision, 10)
        seen.append(view.captions)
    thread.join(30)
    assert list(dict.fromkeys(seen)) == list(range(len(TALK) + 1))


@pytest.mark.parametrize("content", [b"", b"\x89PNG\r\n\x1a\n123456789", b"WEBVTT\n\n"])
def test_a_file_that_the_command_log_refuses_is_refused(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "talk.vtt"
    path.write_bytes(content)
    with pytest.raises(InputError):
        open_desk(LiveOptions(str(path), keep=tmp_path / "kept"))
    assert not (tmp_path / "kept").exists()


def test_a_pipe_without_a_caption_is_told(tmp_path: Path) -> None:
    read, write = os.pipe()
    os.close(write)
    source = PipeSource(read, "standard input")
    desk = LiveDesk(LiveOptions("-", keep=tmp_path), source, Feed("standard input"), "live")
    with pytest.raises(InputError, match="no caption came"):
        desk.run()
    assert list(tmp_path.iterdir()) == []
