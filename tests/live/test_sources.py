"""Real pipes, files that grow, and a real server on this machine."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from extract.errors import InputError
from extract.live.feed import Feed
from extract.live.sources import PipeSource, Source, open_source
from extract.live.sources.events import Events
from tests.live.caption_server import captions_served
from tests.live.faults import stream_of
from tests.live.test_feed import Clock, kinds, said
from tests.live.test_feed_faults import plain

ROOT = Path(__file__).parents[2]
TALK = ROOT / "sample_transcripts" / "lantern-final.srt"
#: Nothing waits so long unless the test is about to fail.
PATIENCE_S = 20.0


def drained(source: Source, feed: Feed | None = None) -> Feed:
    """The feed after all that a source gives."""
    feed = feed or Feed("talk", Clock())
    while feed.pull(source, PATIENCE_S) is not None:
        pass
    return feed


def until(source: Source, feed: Feed, reached: Callable[[], bool]) -> None:
    """Read until something is so."""
    for _ in range(2000):
        if reached():
            return
        feed.pull(source, 0.05)
    raise AssertionError("it never was")


def test_a_pipe_of_another_process() -> None:
    command = [
        sys.executable,
        "-m",
        "tests.live.faults",
        str(TALK),
        "--speed",
        "100000",
        "--fault",
        "split",
        "--fault",
        "repeat",
    ]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as process:
        assert process.stdout is not None
        feed = drained(PipeSource(process.stdout.fileno(), "standard input"))
    assert said(feed) == stream_of(TALK, "vtt", 0, ["split", "repeat"]).texts
    assert kinds(feed) == ["repeated"]


def test_standard_input_of_another_process() -> None:
    program = (
        "from extract.live.feed import Feed; from extract.live.sources import open_source\n"
        "feed, source = Feed('-'), open_source('-')\n"
        "while feed.pull(source, 60.0) is not None: pass\n"
        "print(len(feed.captions), feed.state)"
    )
    data = stream_of(TALK, "srt").data
    done = subprocess.run(
        [sys.executable, "-c", program], input=data, capture_output=True, cwd=ROOT, check=True
    )
    assert done.stdout.split() == [str(len(stream_of(TALK, "srt").texts)).encode(), b"ended"]


def test_a_pipe_without_bytes() -> None:
    reader, writer = os.pipe()
    source = PipeSource(reader, "pipe")
    assert source.read(0.0) == b""
    os.write(writer, b"Two ")
    assert source.read(PATIENCE_S) == b"Two "
    os.close(writer)
    assert source.read(PATIENCE_S) is None
    os.close(reader)


def test_a_named_pipe_waits_for_its_writer(tmp_path: Path) -> None:
    path = tmp_path / "pipe"
    os.mkfifo(path)
    source = open_source(str(path))
    assert source.read(0.0) == b""
    with path.open("wb") as file:
        file.write(b"[0:04] Two\n")
    feed = drained(source)
    source.close()
    assert said(feed) == ["Two"]


def test_a_file_is_read_to_its_end(tmp_path: Path) -> None:
    path = tmp_path / "talk.srt"
    path.write_bytes(stream_of(TALK, "srt").data)
    assert said(drained(open_source(str(path)))) == stream_of(TALK, "srt").texts


def test_a_file_is_followed_as_it_grows(tmp_path: Path) -> None:
    path, feed = tmp_path / "talk.txt", Feed("talk", Clock())
    source = open_source(str(path), follow=True)
    assert source.read(0.0) == b""
    with path.open("ab", buffering=0) as file:
        for n in range(3):
            file.write(f"[0:0{n}] line {n}\n".encode())
            until(source, feed, lambda n=n: len(feed.captions) == n + 1)
        file.write(b"[0:09] half a li")
        until(source, feed, lambda: source.read(0.0) == b"")
    assert said(feed) == ["line 0", "line 1", "line 2"]
    source.close()
    assert source.read(PATIENCE_S) is None


@pytest.mark.parametrize("how", ["truncated", "replaced", "overwritten"])
def test_a_file_that_is_written_anew_is_told(tmp_path: Path, how: str) -> None:
    path, feed = tmp_path / "talk.txt", Feed("talk", Clock())
    path.write_text("[1:04] one\n[1:09] two\n[1:20] thr")
    source = open_source(str(path), follow=True)
    until(source, feed, lambda: len(feed.captions) == 2)
    if how == "truncated":
        path.write_text("[1:31] four\n")
    elif how == "overwritten":
        path.write_text("[1:31] four\n[1:40] and some more than before\n")
    else:
        (tmp_path / "next").write_text("[1:31] four\n[1:40] and some more than there was before in it\n")
        (tmp_path / "next").replace(path)
    until(source, feed, lambda: "four" in said(feed))
    assert kinds(feed) == ["restarted"]
    assert said(feed)[:3] == ["one", "two", "four"]
    source.close()


@pytest.mark.parametrize("how", ["replaced", "written"])
def test_a_file_that_is_written_whole_at_each_caption(tmp_path: Path, how: str) -> None:
    path, feed = tmp_path / "talk.vtt", Feed("talk", Clock())
    text = "WEBVTT\n\nNOTE a heading that is longer than the few bytes by which a file is known again\n\n"
    path.write_text(text)
    source = open_source(str(path), follow=True)
    for n in range(4):
        shown = text + f"00:0{n}.000 --> 00:0{n}.900\nline {n}\n\n"
        # The last caption is rewritten once.
        for version in (shown.replace(f"line {n}", f"line {n} or"), shown):
            (tmp_path / "next" if how == "replaced" else path).write_text(version)
            if how == "replaced":
                (tmp_path / "next").replace(path)
            until(source, feed, lambda version=version: version.split("\n")[-3] == (said(feed) or [""])[-1])
        text = shown
    assert said(feed) == ["line 0", "line 1", "line 2", "line 3"]
    assert feed.notices == []
    source.close()


def test_no_file_is_an_error(tmp_path: Path) -> None:
    for where, follow in (("none.vtt", False), ("", True), ("none/none.vtt", True)):
        with pytest.raises(InputError):
            open_source(str(tmp_path / where), follow=follow)


@pytest.mark.parametrize(
    "url",
    ["http://192.0.2.1/captions", "http://captions.example/x", "https://127.0.0.1/", "http://[::2]/", "http://127.0.0.1:x/",
     "ftp://localhost/x", "http://me@localhost/"],
)  # fmt: skip
def test_only_this_machine_is_asked(url: str) -> None:
    with pytest.raises(InputError, match="give the address of a server on this machine"):
        open_source(url)


def test_no_server_is_an_error() -> None:
    with captions_served([]) as (url, _):
        pass
    with pytest.raises(InputError, match="nobody answers there"):
        open_source(url)


def test_an_answer_that_is_no_stream_is_an_error() -> None:
    with (
        captions_served([], status=404) as (url, _),
        pytest.raises(InputError, match="the server answers 404"),
    ):
        open_source(url)


def pieces_of(form: str, *faults: str) -> tuple[list[bytes], list[str]]:
    stream = stream_of(TALK, form, 3, faults)  # type: ignore[arg-type]
    return [data for _, data in stream.pieces if data], stream.texts


@pytest.mark.parametrize("form", ["vtt", "json", "stamped"])
def test_a_response_that_goes_on(form: str) -> None:
    pieces, texts = pieces_of(form, "split", "repeat", "broken")
    with captions_served(pieces) as (url, asked):
        feed = drained(open_source(url))
    assert plain(said(feed)) == texts
    assert asked.requests == [("/captions?bout=1", None)]


def test_a_lost_connection_is_made_again_and_nothing_comes_twice() -> None:
    pieces, texts = pieces_of("vtt")
    with captions_served(pieces, drop_after=(30, 7, 55)) as (url, asked):
        feed = drained(open_source(url, retry_s=0.01))
    assert said(feed) == texts
    assert len(asked.requests) == 4
    assert [kind for kind in kinds(feed) if kind != "repeated"] == ["stalled", "resumed"] * 3


@pytest.mark.parametrize("form", ["vtt", "srt", "json", "stamped"])
def test_events_go_on_after_the_last_one(form: str) -> None:
    pieces, texts = pieces_of(form)
    with captions_served(pieces, events=True, drop_after=(30, 0, 40)) as (url, asked):
        feed = drained(open_source(url, retry_s=0.01))
    assert said(feed) == texts
    assert asked.requests[:4] == [("/captions?bout=1", last) for last in (None, "30", "30", "70")]
    assert set(kinds(feed)) == {"stalled", "resumed"}


def test_a_server_that_says_nothing_does_not_hold_anybody_up() -> None:
    before = set(threading.enumerate())
    with captions_served([b"[0:04] Two\n"], wait_s=PATIENCE_S) as (url, _):
        source = open_source(url)
        assert source.read(0.0) == b""
        source.close()
        assert source.read(PATIENCE_S) is None
        # The thread that read has ended or is about to: it waits for nothing any more.
        for thread in set(threading.enumerate()) - before:
            if thread.name == "captions":
                thread.join(PATIENCE_S)
                assert not thread.is_alive()


def test_events_as_the_standard_has_them() -> None:
    # WHATWG HTML, 9.2.6 "Interpreting an event stream": the examples of the section.
    events = Events()
    assert events.take(b"data: YHOO\ndata: +2\ndata: 10\n\n") == b"YHOO\n+2\n10\n\n"
    got = Events()
    stream = b": test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n"
    assert got.take(stream) == b"first event\nsecond event\n"
    assert got.last_id == b""
    assert got.take(b"\n") == b" third event\n"
    # A byte order mark, carriage returns cut from their line feeds, a wrong time to wait.
    got = Events()
    out = [
        got.take(bytes([byte]))
        for byte in b"\xef\xbb\xbfid: 7\r\ndata: a\r\rretry: 30x\r\nretry: 30\n\r\ndata: not ended"
    ]
    assert (b"".join(out), got.last_id, got.retry_s) == (b"a\n", b"7", 0.03)
    got.anew()
    assert got.take(b"data: b\n\n") == b"b\n"
    assert got.last_id == b"7"
