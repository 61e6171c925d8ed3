"""What the tests in a browser share: how a page is looked at, what it may not do, and questions to put to it.

Nothing here knows whether a page is a file or comes from a server on this machine.
"""

from __future__ import annotations

import re
import wave
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic
from typing import Any, Literal

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, ConsoleMessage, Page, Request, WebError, WebSocket

#: What a page may ask for: files, what it made itself, and this machine.
LOCAL = re.compile(
    r"(file|blob|data|about|chrome-error):|(http|ws)s?://(127\.\d+\.\d+\.\d+|localhost|\[::1\])(:\d+)?(/|$)"
)


@dataclass(frozen=True, slots=True)
class Look:
    """How a page is looked at; give it to the fixture ``page`` as its parameter."""

    width: int = 1280
    height: int = 800
    scheme: Literal["light", "dark"] = "light"

    def __str__(self) -> str:
        return f"{self.width}-{self.scheme}"


WIDE, NARROW = Look(), Look(390, 844)
LOOKS = [WIDE, Look(390, 844, "dark")]


@dataclass
class Watch:
    """Hears what goes wrong in the pages of a test: requests that leave this machine, errors of script and console.

    What a test brings about on purpose it takes off with ``expect``; what is left at the end fails it. (No slots:
    playwright keeps its handlers on it.)
    """

    troubles: list[str] = field(default_factory=list)

    def over(self, context: BrowserContext) -> None:
        """Watch a context with all its pages. A request to anywhere else is not let out either."""
        context.route(lambda url: not LOCAL.match(url), lambda route: route.abort())
        context.on("request", self._request)
        context.on("console", self._console)
        context.on("weberror", self._error)
        context.on("page", lambda page: page.on("websocket", self._socket))

    def expect(self, part: str) -> None:
        """Take off the troubles that have ``part`` in them; there has to be one."""
        left = [trouble for trouble in self.troubles if part not in trouble]
        assert left != self.troubles, f"nothing with {part!r} among {self.troubles}"
        self.troubles[:] = left

    def _request(self, request: Request) -> None:
        if not LOCAL.match(request.url):
            self.troubles.append(f"asked for {request.url}")

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.troubles.append(f"console: {message.text}")

    def _error(self, error: WebError) -> None:
        self.troubles.append(f"script: {error.error}")

    def _socket(self, socket: WebSocket) -> None:
        if not LOCAL.match(socket.url):
            self.troubles.append(f"asked for {socket.url}")


def until(page: Page, true: str, arg: object = None, seconds: float = 10) -> None:
    """Wait until a function of script gives something true. (playwright's own way of waiting evaluates text inside the
    page, which a strict content security policy forbids.)"""
    end = monotonic() + seconds
    while not page.evaluate(true, arg):
        assert monotonic() < end, f"not so after {seconds} s: {true}"
        page.wait_for_timeout(20)


def findings(page: Page) -> list[str]:
    """What axe-core finds serious or critical, each with the elements and the reason."""
    out = []
    for found in Axe().run(page).response["violations"]:
        if found["impact"] in ("serious", "critical"):
            out += [f"{found['id']}: {n['html'][:120]}: {n['failureSummary']}" for n in found["nodes"]]
    return out


def sticking_out(page: Page) -> list[str]:
    """What makes the page wider than the window, if it is: the elements that reach over its right edge, but for
    those in a part that scrolls by itself."""
    found: list[str] = page.evaluate(
        """() => {
          const root = document.documentElement, wide = root.clientWidth;
          if (root.scrollWidth <= wide) return [];
          const scrolls = (el) => el && el !== root
            && (getComputedStyle(el).overflowX !== "visible" || scrolls(el.parentElement));
          const out = [...document.querySelectorAll("body, body *")].filter(
            (el) => el.getBoundingClientRect().right > wide + 0.5 && !scrolls(el.parentElement));
          return [`${root.scrollWidth} px wide`, ...out.map((el) => el.outerHTML.slice(0, 100))];
        }"""
    )
    return found


def in_window(page: Page, selector: str) -> bool:
    """Whether the first element of the selector is to be seen in the window, at least in part."""
    seen: bool = page.locator(selector).first.evaluate(
        """(el) => {
          const box = el.getBoundingClientRect();
          return box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth
            && el.checkVisibility({ visibilityProperty: true, opacityProperty: true });
        }"""
    )
    return seen


#: Everything that the tab key ought to reach.
REACHED = (
    "a[href], button:enabled, input:enabled, select:enabled, textarea:enabled, summary, [tabindex='0'],"
    " video[controls], audio[controls], [contenteditable='true']"
)

_STOPS = """(reached) => {
  const look = (el) => [el, ...el.querySelectorAll("*")].map((part) => {
    const s = getComputedStyle(part);
    return [s.outline, s.boxShadow, s.border, s.background, s.stroke, s.strokeWidth, s.fill, s.display,
            s.left, s.textDecoration].join("|");
  }).join("\\n");
  window.stops = [...document.querySelectorAll(reached)].filter((el) => el.checkVisibility({ visibilityProperty: true }));
  window.before = window.stops.map(look);
  window.here = () => {
    const el = document.activeElement;
    const box = el.getBoundingClientRect();
    const at = window.stops.indexOf(el);
    return {
      at, what: el.outerHTML.slice(0, 120), body: el === document.body || el === document.documentElement,
      marked: at >= 0 && look(el) !== window.before[at],
      seen: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
    };
  };
  return window.stops.map((el) => el.outerHTML.slice(0, 120));
}"""


@dataclass(frozen=True, slots=True)
class Walk:
    """A walk over the page with the tab key: what was never reached, where the focus made no difference to look at,
    where it lay outside the window, and whether the order was that of the page."""

    stops: int
    missed: list[str]
    unmarked: list[str]
    unseen: list[str]
    in_order: bool


def walk(page: Page) -> Walk:
    """Press the tab key from the top of the page until it leaves it."""
    stops: list[str] = page.evaluate(_STOPS, REACHED)
    order: list[int] = []
    unmarked, unseen = [], []
    # A player has stops of its own inside, which all tell its element: more presses than elements.
    for _ in range(2 * len(stops) + 20):
        page.keyboard.press("Tab")
        here: dict[str, Any] = page.evaluate("() => window.here()")
        if here["body"] or (order and here["at"] == order[0] and here["at"] != order[-1]):
            break
        if here["at"] < 0 or (order and here["at"] == order[-1]):
            # Below 0: what is there only while the focus is beside it.
            continue
        order.append(here["at"])
        if not here["marked"]:
            unmarked.append(here["what"])
        if not here["seen"]:
            unseen.append(here["what"])
    missed = [stop for k, stop in enumerate(stops) if k not in order]
    return Walk(len(order), missed, unmarked, unseen, order == sorted(order))


def save_sound(path: Path, seconds: int) -> Path:
    """A file of silence that a browser plays: eight thousand samples of eight bits a second."""
    with wave.open(str(path), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(1)
        sound.setframerate(8000)
        sound.writeframes(b"\x80" * 8000 * seconds)
    return path
