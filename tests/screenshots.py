"""Pictures of the report and of the desks for the docs, made by the browser of the tests.

``python -m tests.screenshots [FOLDER]``
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.conftest import ARGS, find_browser
from tests.browser.pages import WIDE, Look
from tests.browser.reports import open_report, sample
from tests.desk.served import ROOT, put, serving
from tests.live.scripted import BUSY, ScriptedDesk, serving_page

PICTURES = ROOT / "docs" / "pictures"
SAMPLE = "lantern-final.srt"
LOOKS = (Look(1280), Look(390, 844, "dark"))
#: The page of the live desk is made for a second screen.
SECOND_SCREEN = Look(1920, 1080)
#: Where a picture of the report is cut off (CSS px). Of the desk it shows what a window shows.
LONGEST = 1600


def take(folder: Path) -> list[Path]:
    """Write a picture of each page in each look into ``folder``; their paths."""
    program = find_browser()
    if program is None:
        sys.exit("no Chromium found; name one with CHROMIUM=PATH")
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with TemporaryDirectory() as place, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGS)
        name = put(Path(place), ROOT / "sample_transcripts" / SAMPLE)
        with serving(Path(place), name) as served:
            for look in LOOKS:
                page = _page(browser, look)
                open_report(page, Path(place), *sample(SAMPLE))
                made.append(folder / f"report-{look}.png")
                page.screenshot(
                    path=made[-1],
                    full_page=True,
                    clip={"x": 0, "y": 0, "width": look.width, "height": LONGEST},
                )
                page = _page(browser, look, touch=look.width < WIDE.width)
                page.goto(served.address)
                page.keyboard.press("j")
                made.append(folder / f"desk-{look}.png")
                page.screenshot(path=made[-1])
        made.append(folder / "live.png")
        take_live(browser, made[-1], SECOND_SCREEN)
        browser.close()
    return made


def take_live(browser: Browser, path: Path, look: Look) -> None:
    """Write a picture of the page of the live desk, at a moment with two flags that wait."""
    with serving_page(ScriptedDesk(BUSY)) as served:
        page = _page(browser, look, touch=look.width < WIDE.width)
        page.goto(served.address)
        page.locator(".open-flag.front").wait_for()
        # What comes in has come to rest.
        page.wait_for_timeout(400)
        page.screenshot(path=path)
        page.close()


def _page(browser: Browser, look: Look, *, touch: bool = False) -> Page:
    return browser.new_page(
        viewport={"width": look.width, "height": look.height},
        color_scheme=look.scheme,
        has_touch=touch,
        is_mobile=touch,
    )


if __name__ == "__main__":
    for picture in take(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES):
        print(picture)
