"""The whole live desk under the faults that streams have: through a real pipe, a real server, and killed in the middle."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from extract.live.desk import LiveDesk, open_desk
from extract.live.feed import Feed
from extract.live.model import View
from extract.live.options import LiveOptions
from extract.live.sources import PipeSource
from extract.record import from_json
from tests.live.caption_server import captions_served
from tests.live.faults import Fault, replay, stream_of
from tests.live.test_desk import srt

TALK = (
    (0.0, "Doran Felmouth in red against Ivo Strandlow in blue, freestyle, and we are under way."),
    (8.0, "They tie up in the centre of the mat."),
    (20.0, "Takedown, two points for red."),
    (26.0, "Two-nothing Felmouth."),
    (34.0, "He's looking for the lace and doesn't get it."),
    (42.0, "Back on the feet, hands on the collar."),
    (52.0, "A minute and a half left in the first period."),
    (60.0, "Step-out, one point for blue."),
    (66.0, "Two-one Felmouth."),
    (76.0, "Strandlow comes forward again."),
    (90.0, "Still two-nothing Felmouth, and it's a quiet stretch."),
    (104.0, "They circle in the middle."),
    (112.0, "A shot that isn't finished by either man."),
    (120.0, "And they are on the edge once more."),
    *(
        (128.0 + 6 * n, f"{line} in the middle of the mat.")
        for n, line in enumerate(
            (
                "They lean on each other",
                "Heads together",
                "Hands low",
                "Another tie-up",
                "Collar and elbow",
                "They wait",
                "Nothing doing",
                "They push",
                "They pull",
                "It is quiet now",
            )
        )
    ),
)
SLIP = "2-0 Felmouth"
#: At this speed the talk takes a fraction of a second.
FAST = 2000.0


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    path = tmp_path / "talk.srt"
    path.write_text(srt(*TALK), encoding="utf-8")
    return path


def run_to_end(desk: LiveDesk) -> View:
    """The last view, when the stream is over."""
    desk.run()
    view = desk.view()
    assert view.state == "ended"
    return view


def through_pipe(pieces: Iterator[bytes], keep: Path) -> tuple[LiveDesk, View]:
    """A desk over a pipe into which another thread writes."""
    read, write = os.pipe()

    def feed() -> None:
        with os.fdopen(write, "wb", buffering=0) as pipe:
            for piece in pieces:
                pipe.write(piece)

    writer = threading.Thread(target=feed)
    writer.start()
    feed_of = Feed("standard input", kept=keep / "live.captions")
    desk = LiveDesk(
        LiveOptions("-", keep=keep, by="tester"),
        PipeSource(read, "standard input", own=True),
        feed_of,
        "live",
    )
    view = run_to_end(desk)
    writer.join(30)
    return desk, view


def score_of(view: View) -> tuple[int, int]:
    assert view.board is not None
    return view.board.score


@pytest.mark.parametrize("fault", [
    "stall", "repeat", "back", "late", "rewrite", "correct", "split", "clock", "restart", "producers", "unfinished",
])  # fmt: skip
def test_a_stream_with_a_fault_comes_to_the_same_score(fault: Fault, talk: Path, tmp_path: Path) -> None:
    desk, view = through_pipe(replay(talk, 3, [fault], FAST), tmp_path)
    assert score_of(view) == (2, 1)
    assert [flag.said for flag in view.flags if flag.state == "open"] == [SLIP]
    assert from_json(desk.written[0]).result.score == (2, 1)


def test_captions_that_are_lost_are_told_and_the_rest_is_read(talk: Path, tmp_path: Path) -> None:
    desk, view = through_pipe(replay(talk, 1, ["drop"], FAST), tmp_path)
    lost = len(TALK) - len(stream_of(talk, "vtt", 1, ["drop"]).texts)
    assert lost
    assert view.captions == len(TALK) - lost
    assert desk.written


@pytest.mark.parametrize("events", [False, True])
def test_a_lost_connection_is_made_again(events: bool, talk: Path, tmp_path: Path) -> None:
    stream = stream_of(talk, "vtt", 0, [])
    pieces = [piece for _, piece in stream.pieces]
    with captions_served(pieces, events=events, drop_after=[5]) as (address, asked):
        desk = open_desk(LiveOptions(address, keep=tmp_path, by="tester"))
        if events:
            view = run_to_end(desk)
        else:
            thread = threading.Thread(target=desk.run)
            thread.start()
            view = desk.view()
            while view.captions < len(TALK):
                view = desk.wait(view.revision, 10)
            desk.stop()
            thread.join(30)
            view = desk.view()
    assert len(asked.requests) > 1
    assert score_of(view) == (2, 1)
    assert [flag.said for flag in view.flags if flag.state == "open"] == [SLIP]


def test_a_desk_that_is_behind_reads_all_that_waits_and_says_so(
    talk: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "extract.live.desk.live_parameters",
        lambda: type("P", (), {"get": staticmethod(lambda table, key: 0.0)})(),
    )
    _, view = through_pipe(iter([talk.read_bytes()]), tmp_path)
    assert "The desk was behind" in " ".join(notice.text for notice in view.notices)
    assert score_of(view) == (2, 1)


def _events(output: bytes) -> list[dict[str, object]]:
    return [json.loads(line) for line in output.decode().splitlines() if line.endswith("}")]


def _told(events: Sequence[dict[str, object]]) -> list[str]:
    kinds = ("flag", "call", "name", "bout", "taken_back")
    return [str(event["id"]) for event in events if event["event"] in kinds]


def test_a_desk_that_is_killed_and_started_again_tells_nothing_twice(talk: Path, tmp_path: Path) -> None:
    """What both runs tell is what one run tells that nobody kills."""
    whole = subprocess.run(
        [sys.executable, "-m", "extract", "live", str(talk), "--jsonl", "--keep", str(tmp_path / "whole")],
        capture_output=True, check=True,
    )  # fmt: skip
    text = talk.read_bytes()
    grown = tmp_path / "grown.srt"
    cut = text.index(b"11\n00:01:30")
    grown.write_bytes(text[:cut])
    command = [
        sys.executable, "-m", "extract", "live", str(grown), "--jsonl", "--follow", "--keep", str(tmp_path / "k"),
    ]  # fmt: skip
    first: list[bytes] = []
    with subprocess.Popen(command, stdout=subprocess.PIPE) as killed:
        assert killed.stdout is not None
        for line in killed.stdout:
            first.append(line)
            if b'"event":"call"' in line.replace(b" ", b"") and len(_told(_events(b"".join(first)))) >= 5:
                break
        killed.send_signal(signal.SIGKILL)
    grown.write_bytes(text)
    again = subprocess.run([arg for arg in command if arg != "--follow"], capture_output=True, check=True)
    one, two = _told(_events(b"".join(first))), _told(_events(again.stdout))
    assert not set(one) & set(two)
    assert {id.partition("|")[0] for id in [*one, *two]} == {
        id.partition("|")[0] for id in _told(_events(whole.stdout))
    }
