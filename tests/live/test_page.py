"""The page of the live desk hears of each change, goes on after a lost connection, skips to the newest view, and takes
nothing that is no answer."""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import Iterator
from dataclasses import replace
from http.client import HTTPConnection, HTTPException, HTTPResponse
from time import monotonic, sleep
from typing import Any
from urllib.parse import urlsplit

import pytest

from extract.live.page.newest import Claims
from extract.live.page.show import about, view_html
from extract.record.said_table import Spoken
from tests.live.scripted import BUSY, OLD, QUIET, SWAPPED, ScriptedDesk, ServedPage, serving_page

Event = dict[str, str]


@pytest.fixture
def desk() -> ScriptedDesk:
    return ScriptedDesk()


@pytest.fixture
def page(desk: ScriptedDesk) -> Iterator[ServedPage]:
    with serving_page(desk, beat_s=0.2) as served:
        yield served


def ask(
    page: ServedPage, path: str, body: object = None, headers: dict[str, str] | None = None,
    *, raw: bytes | None = None,
) -> tuple[HTTPResponse, bytes]:  # fmt: skip
    """One request; ``path`` is below the token unless it begins with a slash."""
    at = urlsplit(page.address)
    connection = HTTPConnection(at.hostname or "", at.port, timeout=20)
    sent = raw if raw is not None else None if body is None else json.dumps(body).encode()
    own = {} if sent is None else {"content-type": "application/json"}
    where = path if path.startswith("/") else at.path + path
    connection.request("GET" if sent is None else "POST", where, sent, {**own, **(headers or {})})
    answer = connection.getresponse()
    content = answer.read()
    connection.close()
    return answer, content


def message(page: ServedPage, path: str, body: object = None) -> tuple[int, str]:
    answer, content = ask(page, path, body)
    return answer.status, json.loads(content)["message"]


class StreamEnded(Exception):
    """The desk sends no more."""


class Reader:
    """A page that listens."""

    def __init__(self, page: ServedPage, last: int | None = None) -> None:
        at = urlsplit(page.address)
        self._connection = HTTPConnection(at.hostname or "", at.port, timeout=20)
        headers = {} if last is None else {"last-event-id": str(last)}
        self._connection.request("GET", f"{at.path}events", headers=headers)
        self.answer = self._connection.getresponse()

    def event(self) -> Event:
        """The next event with its fields. Raises StreamEnded."""
        found: Event = {}
        while line := self.answer.readline().decode():
            name, _, value = line.rstrip("\n").partition(": ")
            if name:
                found[name.rstrip(":")] = value
            elif "event" in found:
                return found
        raise StreamEnded

    def past(self, events: int) -> None:
        """Read so many events."""
        for _ in range(events):
            self.event()

    def view(self) -> dict[str, Any]:
        """The next view, past the beats."""
        while (event := self.event())["event"] != "view":
            pass
        shown: dict[str, Any] = json.loads(event["data"])
        assert event["id"] == str(shown["revision"])
        return shown

    def leave(self) -> None:
        self.answer.close()
        self._connection.close()


def until(true: Any, seconds: float = 10) -> None:
    end = monotonic() + seconds
    while not true():
        assert monotonic() < end, f"not so after {seconds} s"
        sleep(0.02)


def test_each_change_is_sent_and_beats_between(page: ServedPage, desk: ScriptedDesk) -> None:
    reader = Reader(page)
    assert reader.answer.getheader("content-type", "").startswith("text/event-stream")
    first = reader.view()
    assert first["revision"] == QUIET.revision
    assert "Nothing to answer" in first["html"]
    assert reader.event()["event"] == "beat"
    revision = desk.put(BUSY)
    shown = reader.view()
    assert shown["revision"] == revision
    assert "old score" in shown["html"]
    reader.leave()


def test_a_page_that_comes_back_gets_what_it_missed_and_nothing_twice(
    page: ServedPage, desk: ScriptedDesk
) -> None:
    reader = Reader(page)
    known = reader.view()["revision"]
    reader.leave()
    back = Reader(page, known)
    assert back.event()["event"] == "beat"
    back.leave()
    revision = desk.put(BUSY)
    late = Reader(page, known)
    assert late.event()["id"] == str(revision)
    late.leave()


@pytest.mark.parametrize("last", ["", "x", "-3", "9" * 400, "\u00b2"])
def test_a_revision_that_is_none_gets_the_newest_view(page: ServedPage, last: str) -> None:
    at = urlsplit(page.address)
    connection = HTTPConnection(at.hostname or "", at.port, timeout=20)
    connection.request("GET", f"{at.path}events", headers={"last-event-id": last.encode("latin-1")})  # type: ignore[dict-item]
    answer = connection.getresponse()
    lines = [answer.readline() for _ in range(4)]
    assert f"id: {QUIET.revision}\n".encode() in lines
    connection.close()


def test_a_slow_reader_skips_to_the_newest_view(desk: ScriptedDesk, monkeypatch: pytest.MonkeyPatch) -> None:
    """It reads nothing while a hundred large views come: what it gets then are few, and the last of them at the end."""
    monkeypatch.setattr("extract.live.page.app.GAP_S", 0.0)
    long = replace(BUSY, flags=(replace(OLD, head="word " * 80_000),))
    with serving_page(desk, beat_s=0.2) as page, socket.socket() as reader:
        reader.settimeout(20)
        reader.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 1 << 16)
        reader.connect(("127.0.0.1", page.port))
        reader.sendall(f"GET /{page.token}/events HTTP/1.1\r\nhost: 127.0.0.1\r\n\r\n".encode())
        for _ in range(100):
            desk.put(long)
            sleep(0.02)
        revision = desk.put(replace(BUSY, source="the end"))
        seen = b""
        while f"id: {revision}\n".encode() not in seen[-(1 << 18) :]:
            part = reader.recv(1 << 16)
            assert part, "the stream has ended"
            seen += part
    assert 1 <= seen.count(b"event: view") < 30


def test_who_leaves_is_let_go(page: ServedPage, desk: ScriptedDesk) -> None:
    threads = threading.active_count()
    readers = [Reader(page) for _ in range(30)]
    for reader in readers:
        reader.view()
    # However many read, one thread waits.
    until(lambda: desk.waiting == 1)
    for reader in readers:
        reader.leave()
    until(lambda: desk.waiting == 0)
    assert threading.active_count() <= threads + 40
    assert ask(page, "")[0].status == 200


def test_a_desk_that_breaks_ends_the_stream(page: ServedPage, desk: ScriptedDesk) -> None:
    """A page whose desk is broken must not look live."""
    reader = Reader(page)
    reader.view()
    desk.broken = True
    with pytest.raises((StreamEnded, OSError, HTTPException)):
        reader.past(1000)


def test_the_page_has_the_view_and_the_caveat(page: ServedPage, desk: ScriptedDesk) -> None:
    desk.put(BUSY)
    answer, content = ask(page, "")
    shown = content.decode()
    assert answer.status == 200
    assert "6-3 Brannoway" in shown
    assert "A computed score is a reading of commentary, not an official result" in shown
    assert "<script>" not in shown
    for name in ("live.js", "live.css", "dom.js", "report.css", "vendor/idiomorph.esm.js"):
        assert ask(page, f"static/{name}")[0].status == 200


def test_without_the_token_there_is_nothing(page: ServedPage) -> None:
    for path in ("/", "/events", "/at?t=1", "/static/live.js", f"/{'a' * 16}/", f"/{'a' * 16}/events"):
        assert ask(page, path)[0].status == 404


def test_another_host_and_another_page_are_refused(page: ServedPage, desk: ScriptedDesk) -> None:
    desk.put(BUSY)
    body = {"flag": OLD.id, "answer": "slip", "revision": 41}
    assert ask(page, "", headers={"host": "live.example"})[0].status == 400
    assert ask(page, "events", headers={"host": "live.example"})[0].status == 400
    for headers in ({"origin": "http://live.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}):
        assert ask(page, "events", headers=headers)[0].status == 403
        assert ask(page, "answer", body, headers)[0].status == 403
    assert desk.done == []


def test_every_answer_has_the_strict_policy(page: ServedPage) -> None:
    for path in ("", "static/live.js", "nothing", "at?t=x", "/"):
        headers = ask(page, path)[0].headers
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["cache-control"] == "no-store"
    reader = Reader(page)
    assert "default-src 'none'" in reader.answer.getheader("content-security-policy", "")
    reader.leave()


def test_a_flag_is_answered_once(page: ServedPage, desk: ScriptedDesk) -> None:
    body = {"flag": OLD.id, "answer": "slip", "revision": desk.put(BUSY)}
    assert message(page, "answer", body) == (200, "Kept: flag 1.3 is answered.")
    assert desk.done == [("answer", "1.3", "slip")]
    assert message(page, "answer", body) == (422, "Not kept: that flag was answered meanwhile.")
    gone = replace(SWAPPED, state="withdrawn")
    desk.put(replace(BUSY, flags=(OLD, gone)))
    status, said = message(page, "answer", {**body, "flag": gone.id})
    assert (status, said) == (422, "Not kept: that flag was withdrawn meanwhile.")
    assert len(desk.done) == 1


def test_an_answer_to_other_words_is_refused(page: ServedPage, desk: ScriptedDesk) -> None:
    """The flag says something else since the page that was looked at."""
    seen = desk.put(BUSY)
    assert ask(page, "")[0].status == 200
    now = desk.put(replace(BUSY, flags=(replace(OLD, should_be="5-4 Brannoway"),)))
    body = {"flag": OLD.id, "answer": "slip", "revision": seen}
    status, said = message(page, "answer", body)
    assert status == 422
    assert "says something else now" in said
    assert message(page, "answer", {**body, "revision": now})[0] == 200
    assert desk.done == [("answer", "1.3", "slip")]


def test_what_a_flag_says_is_known_from_when_on() -> None:
    claims = Claims()
    claims.take(BUSY)
    claims.take(replace(BUSY, revision=50))
    assert not claims.is_other_since(OLD, 41)
    assert claims.is_other_since(OLD, 40)
    claims.take(replace(QUIET, revision=51))
    claims.take(replace(BUSY, revision=52))
    assert claims.is_other_since(OLD, 41)


@pytest.mark.parametrize(
    ("path", "body"),
    [
        ("answer", []),
        ("answer", {}),
        ("answer", {"flag": "1.3", "answer": "slip"}),
        ("answer", {"flag": "1.3", "answer": "maybe", "revision": 41}),
        ("answer", {"flag": 13, "answer": "slip", "revision": 41}),
        ("answer", {"flag": "9.9", "answer": "slip", "revision": 41}),
        ("answer", {"flag": "1.3", "answer": "slip", "revision": "41"}),
        ("answer", {"flag": "\ud800", "answer": "slip", "revision": 41}),
        ("correct", {"red": 1}),
        ("correct", {"red": -1, "blue": 0}),
        ("correct", {"red": 100, "blue": 0}),
        ("correct", {"red": 10**400, "blue": 0}),
        ("correct", {"red": 1.5, "blue": 0}),
        ("correct", {"red": True, "blue": 0}),
        ("correct", {"red": "1", "blue": 0}),
        ("correct", {"red": 6, "blue": 3}),
        ("undo", {}),
    ],
)
def test_what_cannot_be_kept_is_refused(
    page: ServedPage, desk: ScriptedDesk, path: str, body: object
) -> None:
    before = desk.put(BUSY)
    status, said = message(page, path, body)
    assert status == 422
    assert said.startswith("Not kept: ")
    assert desk.now.revision == before


def test_what_is_no_json_is_refused(page: ServedPage, desk: ScriptedDesk) -> None:
    for path in ("answer", "correct", "undo"):
        assert ask(page, path, raw=b"{nonsense")[0].status == 422
        assert ask(page, path, raw=b"[" * 30_000)[0].status == 422
        assert ask(page, path, raw=b" " * 100_000)[0].status == 413
        assert ask(page, path, {}, {"content-type": "text/plain"})[0].status == 415
        assert ask(page, path)[0].status == 405
    assert desk.done == []


def test_the_score_is_corrected_and_undone(page: ServedPage, desk: ScriptedDesk) -> None:
    assert message(page, "correct", {"red": 6, "blue": 4}) == (200, "Kept: the score is corrected by hand.")
    assert message(page, "undo", {}) == (200, "Undone.")
    assert desk.done == [("correct", (6, 4)), ("undo",)]


def test_the_score_at_a_moment(page: ServedPage) -> None:
    assert message(page, "at?t=5:12") == (200, "At 5:12: 3-3; period 2, about 1:34 ±8 left.")
    assert message(page, "at?t=312,5")[0] == 200
    assert message(page, "at?t=soon") == (422, "Write the time as 5:40.")
    assert message(page, "at") == (422, "Write the time as 5:40.")
    assert message(page, "at?t=59:00") == (422, "The running bout has nothing at 59:00.")


def test_names_and_words_are_shown_as_text() -> None:
    evil = "<img src=x onerror=alert(1)>\u202e\x1b[2J"
    board = BUSY.board
    assert board is not None
    side = replace(board.red, name=evil, full_name=evil)
    flag = replace(OLD, said=evil, should_be=evil, sentence=evil, why=evil)
    spoken = replace(OLD, id="1.7", spoken=Spoken("<b>", "<i>", "<u>", "<s>"))
    html = view_html(
        replace(
            BUSY,
            source=evil,
            board=replace(board, red=side, over=evil),
            flags=(flag, spoken),
            heard=((1.0, evil),),
        )
    )
    assert "<img" not in html
    assert [part for part in ("<bdi><b>", "<i>", "<u>", "<s>") if part in html] == []
    assert "\u202e" not in html
    assert "\x1b" not in html


@pytest.mark.parametrize(
    ("clock_s", "uncertainty_s", "words"),
    [
        (134.0, 2.0, "2:14"),
        (134.0, None, "2:14"),
        (134.0, 11.6, "about 2:14 ±12"),
        (0.0, 5.0, "about 0:00 ±5"),
    ],
)
def test_a_clock_tells_how_loose_it_is_only_where_that_is_much(
    clock_s: float, uncertainty_s: float | None, words: str
) -> None:
    assert about(clock_s, uncertainty_s) == words
