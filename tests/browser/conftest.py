"""A real browser: one for the whole run, and for each test a page of its own that may ask for nothing outside.

The browser is Chromium or one of its kin: the one that CHROMIUM names, or the first found on the path. Where there is
none the tests are skipped, but on a machine of continuous integration (CI is set) they fail.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from typing import NoReturn

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.pages import WIDE, Look, Watch

_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
#: What the browser does without. The last time that the option is given counts, so what playwright turns off by itself
#: stands here again. The last three are pages behind the address line: each window would load and draw two of them, which
#: takes longer than most tests.
_OFF = (
    "AimEnabled", "AvoidCorsURLLoaderRestartOnRedirect", "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose", "HttpsFirstBalancedModeAutoEnable", "HttpsUpgrades", "LensOverlay", "MediaRouter",
    "NetworkTimeServiceQuerying", "OptimizationHints", "PaintHolding", "PreconnectToSearch",
    "ThirdPartyStoragePartitioning", "WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup",
)  # fmt: skip
#: As root there is no sandbox; the rest keeps the browser itself from calling anywhere, and from work for nobody.
ARGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", f"--disable-features={','.join(_OFF)}",
]  # fmt: skip

OpenPage = Callable[[Look], Page]


def find_browser() -> str | None:
    """Where the browser is: what CHROMIUM says, or the first of the usual names on the path."""
    named = os.environ.get("CHROMIUM")
    names = (named,) if named else _NAMES
    return next((found for name in names if (found := shutil.which(name))), None)


def missing() -> NoReturn:
    """There is no browser: skip, or fail where CI is set."""
    named = os.environ.get("CHROMIUM")
    why = f"CHROMIUM={named} is no program" if named else "no Chromium found; name one with CHROMIUM=PATH"
    if os.environ.get("CI"):
        pytest.fail(why, pytrace=False)
    pytest.skip(why)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser of the whole run."""
    program = find_browser()
    if program is None:
        missing()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGS)
        yield browser
        browser.close()


@pytest.fixture
def watch() -> Iterator[Watch]:
    """What went wrong in the pages of the test; anything that is left of it fails the test."""
    watch = Watch()
    yield watch
    assert watch.troubles == []


@pytest.fixture
def open_page(browser: Browser, watch: Watch) -> Iterator[OpenPage]:
    """Opens pages that are watched, each in a context of its own."""
    contexts = []

    def open_one(look: Look) -> Page:
        context = browser.new_context(
            viewport={"width": look.width, "height": look.height}, color_scheme=look.scheme
        )
        contexts.append(context)
        watch.over(context)
        return context.new_page()

    yield open_one
    for context in contexts:
        for page in context.pages:
            # What the pages have brought about is told only while they live.
            page.evaluate("() => new Promise((done) => setTimeout(done))")
        context.close()


@pytest.fixture
def page(request: pytest.FixtureRequest, open_page: OpenPage) -> Page:
    """A watched page, looked at as the parameter says (``parametrize("page", LOOKS, indirect=True)``), else wide and
    light."""
    return open_page(getattr(request, "param", WIDE))
