"""Pictures of the report for the docs, made by the browser of the tests: ``python -m tests.screenshots [FOLDER]``."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import sync_playwright

from tests.browser.conftest import ARGS, find_browser
from tests.browser.pages import Look
from tests.browser.reports import open_report, sample

PICTURES = Path(__file__).parents[1] / "docs" / "pictures"
SAMPLE = "lantern-final.srt"
LOOKS = (Look(1280), Look(390, 844, "dark"))
#: Where a picture is cut off (CSS px).
LONGEST = 1600


def take(folder: Path) -> list[Path]:
    """Write a picture of each look into ``folder``; their paths."""
    program = find_browser()
    if program is None:
        sys.exit("no Chromium found; name one with CHROMIUM=PATH")
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with TemporaryDirectory() as place, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGS)
        for look in LOOKS:
            page = browser.new_page(
                viewport={"width": look.width, "height": look.height}, color_scheme=look.scheme
            )
            open_report(page, Path(place), *sample(SAMPLE))
            made.append(folder / f"report-{look}.png")
            page.screenshot(
                path=made[-1],
                full_page=True,
                clip={"x": 0, "y": 0, "width": look.width, "height": LONGEST},
            )
        browser.close()
    return made


if __name__ == "__main__":
    for picture in take(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES):
        print(picture)
