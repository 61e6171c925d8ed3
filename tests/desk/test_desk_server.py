"""The desk answers this machine's own page and nothing else, and refuses what is no decision."""

from __future__ import annotations

import asyncio
import html
import json
import re
import shutil
from collections.abc import Iterator, MutableMapping
from concurrent.futures import ThreadPoolExecutor
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from extract.decisions import read_decisions
from extract.desk import DeskOptions, desk_app
from tests.desk.served import ROOT, Served, put, serving

NAME = "lantern-final"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Served]:
    put(tmp_path, ROOT / "sample_transcripts" / "lantern-final.srt")
    with serving(tmp_path, NAME) as served:
        yield served


def ask(
    desk: Served,
    path: str,
    body: object = None,
    headers: dict[str, str] | None = None,
    *,
    raw: bytes | None = None,
) -> tuple[HTTPResponse, bytes]:
    """One request; ``path`` is below the token unless it begins with a slash."""
    at = urlsplit(desk.address)
    connection = HTTPConnection(at.hostname or "", at.port, timeout=20)
    sent = raw if raw is not None else None if body is None else json.dumps(body).encode()
    method = "GET" if sent is None else "POST"
    own = {} if sent is None else {"content-type": "application/json"}
    connection.request(
        method, path if path.startswith("/") else at.path + path, sent, {**own, **(headers or {})}
    )
    answer = connection.getresponse()
    content = answer.read()
    connection.close()
    return answer, content


def revision(desk: Served) -> int:
    return int(json.loads(ask(desk, f"bout/{NAME}/view?revision=-1")[1])["revision"])


def test_without_the_token_there_is_nothing(desk: Served) -> None:
    for path in ("/", "/bout/lantern-final", "/static/desk.js", "/x/", f"/{'a' * 16}/bout/{NAME}"):
        assert ask(desk, path)[0].status == 404


def test_another_host_name_is_refused(desk: Served) -> None:
    assert ask(desk, f"bout/{NAME}")[0].status == 200
    assert ask(desk, f"bout/{NAME}", headers={"host": "desk.example"})[0].status == 400


@pytest.mark.parametrize(
    "headers",
    [{"origin": "http://desk.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}],
)
def test_another_page_is_refused(desk: Served, headers: dict[str, str]) -> None:
    body = {"revision": 0, "do": "undo"}
    assert ask(desk, f"bout/{NAME}/decide", body, headers)[0].status == 403
    assert not (desk.folder / f"{NAME}.decisions.jsonl").exists()


def test_every_answer_has_the_strict_policy(desk: Served) -> None:
    for path in (f"bout/{NAME}", "static/desk.js", "static/report.css", "nothing", "/"):
        answer, _ = ask(desk, path)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"


def test_files_outside_are_not_served(desk: Served) -> None:
    for path in (
        "static/../app.py",
        "static/%2e%2e/app.py",
        "static/..%2fapp.py",
        "bout/..%2f..%2fetc%2fpasswd",
        "bout/x",
    ):
        assert ask(desk, path)[0].status == 404


@pytest.mark.parametrize(
    "body",
    [
        [],
        {},
        {"do": "accept"},
        {"revision": "0", "do": "accept"},
        {"revision": 0, "do": "dance", "what": "event", "ref": "e2"},
        {"revision": 0, "do": "accept", "what": "weather", "ref": "e2"},
        {"revision": 0, "do": "accept", "what": "event", "ref": "e999"},
        {"revision": 0, "do": "accept", "what": "event"},
        {"revision": 0, "do": "accept", "ref": "e2"},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": []},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"kind": "cartwheel"}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"points": "two"}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"who": "green"}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"t": True}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {}},
        {"revision": 0, "do": "add", "what": "score", "to": {"said": [1]}},
        {"revision": 0, "do": "add", "what": "event", "to": {"kind": "takedown"}},
        {"revision": 0, "do": "undo"},
        {"revision": 0, "do": "redo", "ref": "d1"},
        {"revision": 0, "do": "change", "what": "sides", "to": {"red": 1, "blue": "x"}},
        {"revision": 0, "do": "change", "what": "sides", "to": {"red": "Ada", "blue": " ada "}},
        {"revision": 0, "do": "change", "what": "sides", "to": {"red": "Ada", "blue": " "}},
        {"revision": 0, "do": "change", "what": "sides", "to": {"red": "\ud800", "blue": "Bo"}},
        {"revision": 0, "do": "add", "what": "sides", "to": {"red": "Ada", "blue": "Bo"}},
        {"revision": 0, "do": "add", "what": "result", "to": {"winner": "red", "by": "fall"}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"points": 10**400}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"points": -3}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"t": 10**400}},
        {"revision": 0, "do": "change", "what": "event", "ref": "e2", "to": {"t": -1}},
        {"revision": 0, "do": "add", "what": "score", "to": {"t": 9, "said": [10**400, 0]}},
        {"revision": 0, "do": "change", "what": "sides", "to": {"red": "x" * 5000, "blue": "Bo"}},
    ],
)
def test_what_is_no_decision_is_refused(desk: Served, body: object) -> None:
    answer, content = ask(desk, f"bout/{NAME}/decide", body)
    assert answer.status == 422
    assert "Not kept" in json.loads(content)["message"]
    assert not (desk.folder / f"{NAME}.decisions.jsonl").exists()


def test_what_is_no_json_is_refused(desk: Served) -> None:
    path = f"bout/{NAME}/decide"
    assert ask(desk, path, raw=b"{nonsense")[0].status == 422
    assert ask(desk, path, raw=b"[" * 30_000)[0].status == 422
    assert ask(desk, path, raw=b"\xff\xfe")[0].status == 422
    assert ask(desk, path, raw=b" " * 100_000)[0].status == 413
    assert ask(desk, path, {"do": "undo"}, {"content-type": "text/plain"})[0].status == 415
    assert ask(desk, "bout/nobody/decide", {"revision": 0, "do": "undo"})[0].status == 404


@pytest.mark.parametrize(
    ("length", "answered"), [("100", [400]), ("10000000000", [413]), ("ten", [400]), ("9" * 5000, [413])]
)
def test_a_decision_that_breaks_off_is_no_fault(tmp_path: Path, length: str, answered: list[int]) -> None:
    """The page has gone before all of it was sent; one that says that it is too long is not waited for."""
    heard: list[MutableMapping[str, Any]] = [{"type": "http.request", "body": b"{}", "more_body": True}]
    told: list[int] = []

    async def receive() -> MutableMapping[str, Any]:
        return heard.pop(0) if heard else {"type": "http.disconnect"}

    async def send(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            told.append(message["status"])

    headers = {"host": "127.0.0.1", "content-type": "application/json", "content-length": length}
    scope = {
        "type": "http", "method": "POST", "path": f"/token/bout/{NAME}/decide", "raw_path": b"", "root_path": "",
        "scheme": "http", "query_string": b"", "headers": [(k.encode(), v.encode()) for k, v in headers.items()],
    }  # fmt: skip
    app = desk_app({NAME: tmp_path / f"{NAME}.record.json"}, DeskOptions("wren"), "token", folder=False)
    # In a thread of its own: a browser's tests in the same process leave an event loop running in this one.
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, app(scope, receive, send)).result()
    assert told == answered
    # Nothing was read of what is refused for its length.
    assert bool(heard) == (answered == [413])


def test_a_decision_made_without_sight_of_the_last_is_not_kept(desk: Served) -> None:
    path, first = f"bout/{NAME}/decide", {"do": "accept", "what": "event", "ref": "e2"}
    assert ask(desk, path, {"revision": revision(desk), **first})[0].status == 200
    answer, content = ask(desk, path, {"revision": 0, "do": "remove", "what": "event", "ref": "e2"})
    assert answer.status == 409
    shown = json.loads(content)
    assert shown["revision"] == revision(desk)
    assert "1 correction" in shown["html"]


def test_a_broken_file_of_decisions_is_named(desk: Served) -> None:
    (desk.folder / f"{NAME}.decisions.jsonl").write_text("nonsense\n")
    answer, content = ask(desk, f"bout/{NAME}/view?revision=-1")
    assert answer.status == 409
    assert ".decisions.jsonl:1: is no decision" in json.loads(content)["message"]


def test_the_files_beside_the_record_are_kept_up(desk: Served) -> None:
    page = desk.folder / f"{NAME}.report.html"
    page.write_text("old")
    body = {"revision": revision(desk), "do": "change", "what": "event", "ref": "e2", "to": {"who": "red"}}
    assert ask(desk, f"bout/{NAME}/decide", body)[0].status == 200
    assert "decided" in page.read_text(encoding="utf-8")
    (decided,) = [e.decided for e in desk.record(NAME).events if e.decided]
    assert decided in (desk.folder / f"{NAME}.events.csv").read_text(encoding="utf-8-sig")


def test_a_record_that_cannot_be_written_loses_no_decision(desk: Served) -> None:
    record = desk.folder / f"{NAME}.record.json"
    body = {"revision": revision(desk), "do": "accept", "what": "event", "ref": "e2"}
    record.unlink()
    record.mkdir()
    answer, content = ask(desk, f"bout/{NAME}/decide", body)
    assert answer.status == 200
    told = json.loads(content)["message"]
    assert told.startswith("Saved:")
    assert "the record was not written" in told
    assert len(read_decisions(desk.folder / f"{NAME}.decisions.jsonl").decisions) == 1


def test_a_decision_that_cannot_be_kept_is_told(desk: Served) -> None:
    body = {"revision": revision(desk), "do": "accept", "what": "event", "ref": "e2"}
    (desk.folder / f"{NAME}.decisions.jsonl").mkdir()
    answer, content = ask(desk, f"bout/{NAME}/decide", body)
    assert answer.status == 507
    assert "Not kept" in json.loads(content)["message"]


@pytest.mark.parametrize("name", ["a b%20c#d?e'f\"g", "\u00fcn\u00ef <b>"])
def test_any_name_of_a_record_will_do(tmp_path: Path, name: str) -> None:
    source = tmp_path / "in" / f"{name}.srt"
    source.parent.mkdir()
    shutil.copy(ROOT / "sample_transcripts" / "lantern-final.srt", source)
    out = tmp_path / "out"
    out.mkdir()
    put(out, source)
    with serving(out) as served:
        _, page = ask(served, "")
        address = html.unescape(re.findall(r'<td><a href="([^"]+)"', page.decode())[0])
        answer, page = ask(served, address)
        assert answer.status == 200
        address = html.unescape(re.findall(r'data-decide="([^"]+)"', page.decode())[0])
        body = {"revision": 0, "do": "accept", "what": "event", "ref": "e2"}
        assert ask(served, address, body)[0].status == 200
    assert (out / f"{name}.decisions.jsonl").exists()
