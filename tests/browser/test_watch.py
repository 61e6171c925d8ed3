"""The watch over the pages: what the other tests trust it to hear, it hears; and axe-core finds what is there."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser import conftest
from tests.browser.pages import NARROW, Watch, findings, sticking_out, walk


def show(page: Page, folder: Path, body: str) -> None:
    path = folder / "page.html"
    path.write_text(f"<!doctype html><html lang=en><meta charset=utf-8><title>A page</title>{body}", "utf-8")
    page.goto(path.as_uri())


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("<img src='http://outside.example/a.png'>", "asked for http://outside.example/a.png"),
        ("<script src='https://outside.example/a.js'></script>", "asked for https://outside.example/a.js"),
        ("<script>new WebSocket('ws://outside.example/')</script>", "asked for ws://outside.example/"),
        ("<script>console.error('so it is')</script>", "console: so it is"),
        ("<script>throw new Error('thrown')</script>", "script: thrown"),
        ("<script>Promise.reject(new Error('broken'))</script>", "script: broken"),
    ],
)
def test_what_goes_wrong_is_heard(page: Page, watch: Watch, tmp_path: Path, body: str, told: str) -> None:
    show(page, tmp_path, body)
    for _ in range(200):
        if any(trouble.startswith(told) for trouble in watch.troubles):
            break
        page.wait_for_timeout(20)
    assert [trouble for trouble in watch.troubles if trouble.startswith(told)]
    watch.troubles.clear()


def test_only_what_happened_can_be_taken_off(page: Page, watch: Watch, tmp_path: Path) -> None:
    show(page, tmp_path, "<script>console.error('one'); console.error('two')</script>")
    with pytest.raises(AssertionError, match="three"):
        watch.expect("three")
    watch.expect("one")
    assert watch.troubles == ["console: two"]
    watch.expect("two")


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A server on this machine that serves the test's folder."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(tmp_path))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_a_server_on_this_machine_may_be_asked(
    page: Page, watch: Watch, tmp_path: Path, address: str
) -> None:
    (tmp_path / "page.html").write_text(
        "<title>p</title><link rel=icon href=data:,><script src=a.js></script>"
    )
    (tmp_path / "a.js").write_text("document.title = 'served'")
    page.goto(f"{address}/page.html")
    assert page.title() == "served"
    assert watch.troubles == []


def test_axe_and_the_walk_find_faults(page: Page, tmp_path: Path) -> None:
    body = (
        "<style>button{outline:none} .away{position:fixed;left:-99rem}</style>"
        "<p><img src='data:,'><span style='color:#ccc;background:#fff'>pale</span></p>"
        "<p><button>one</button><a href='#x' tabindex=-1>never</a><a class=away href='#y'>away</a></p>"
    )
    show(page, tmp_path, body)
    assert {"image-alt", "color-contrast"} <= {found.split(":")[0] for found in findings(page)}
    walked = walk(page)
    assert [what[:7] for what in walked.unmarked] == ["<button"]
    assert ["never" in what for what in walked.missed] == [True]
    assert ["away" in what for what in walked.unseen] == [True]


@pytest.mark.parametrize("page", [NARROW], indirect=True, ids=str)
def test_what_sticks_out_is_named(page: Page, tmp_path: Path) -> None:
    look = "<meta name=viewport content='width=device-width'>"
    show(page, tmp_path, f"{look}<div style='overflow-x:auto'><b style='padding-left:99rem'>in</b></div>")
    assert sticking_out(page) == []
    show(page, tmp_path, f"{look}<p id=wide style='width:50rem'>out</p>")
    assert "wide" in "".join(sticking_out(page)[1:])


@pytest.mark.parametrize(("machine", "outcome"), [("", "Skipped"), ("1", "Failed")])
def test_no_browser_is_a_skip_but_a_failure_on_ci(
    monkeypatch: pytest.MonkeyPatch, machine: str, outcome: str
) -> None:
    monkeypatch.setenv("CHROMIUM", "/nowhere/chromium")
    monkeypatch.setenv("CI", machine)
    assert conftest.find_browser() is None
    with pytest.raises(BaseException, match="CHROMIUM=/nowhere/chromium is no program") as raised:
        conftest.missing()
    assert type(raised.value).__name__ == outcome
