"""Pictures of the pages for ``docs/pictures/``, each under 300 kB.

``python -m tests.screenshots`` takes them anew; look at each before you commit it.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from extract.report import report_page
from tests.browser.conftest import ARGS, find_browser
from tests.desk.served import ROOT, put, serving
from tests.samples import sample

PICTURES = ROOT / "docs" / "pictures"
#: No picture is larger, in bytes.
MOST = 300_000
SAMPLE = "lantern-final"
#: Width, height and colour scheme of each look, by the end of the picture's name.
LOOKS = {"1280-light": (1280, 900, "light"), "390-dark": (390, 844, "dark")}


def take() -> None:
    """Takes the pictures of the report and of the desk with its first question chosen."""
    program = find_browser()
    if program is None:
        raise SystemExit("no Chromium found; name one with CHROMIUM=PATH")
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        put(folder, ROOT / "sample_transcripts" / f"{SAMPLE}.srt")
        transcript, _, record = sample(f"{SAMPLE}.srt")
        report = folder / f"{SAMPLE}.report.html"
        report.write_text(report_page(record, transcript), encoding="utf-8")
        browser = playwright.chromium.launch(executable_path=program, args=ARGS)
        with serving(folder, SAMPLE) as served:
            for look in LOOKS:
                _save(_opened(browser, look, report.as_uri()), f"report-{look}")
                desk = _opened(browser, look, served.address)
                desk.keyboard.press("j")
                _save(desk, f"desk-{look}")
        browser.close()


def _opened(browser: Browser, look: str, address: str) -> Page:
    width, height, scheme = LOOKS[look]
    dark = scheme == "dark"
    page = browser.new_page(
        viewport={"width": width, "height": height},
        color_scheme="dark" if dark else "light",
        has_touch=width < 600,
        is_mobile=width < 600,
    )
    page.goto(address)
    page.evaluate("() => document.fonts.ready")
    return page


def _save(page: Page, name: str) -> None:
    path = PICTURES / f"{name}.png"
    page.screenshot(path=path)
    page.close()
    if path.stat().st_size >= MOST:
        raise SystemExit(f"{path} has {path.stat().st_size} bytes, and {MOST} are the most")


if __name__ == "__main__":
    take()
