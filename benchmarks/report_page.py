#!/usr/bin/env python3
"""How large the report of a bout is, and how long a browser takes to draw it.

    python benchmarks/report_page.py [FILE ...] [--runs 15]

Prints a row for each transcript: its length and cues, the size of the page, and medians over the runs in Chromium, in
milliseconds from the start of the navigation: the first paint, the end of the load event, and the later of the two. Each
run has a page of its own in a window of 1280 by 800; one more before them warms the browser up and is not counted.
Without FILE these are the longest recording and the one of the most cues among the samples and the development bouts.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from playwright.sync_api import Browser, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extract import extract_bout, read_bout_file, read_transcript
from extract.report import report_page
from extract.transcript import Transcript, transcript_files
from tests.browser.conftest import ARGS, find_browser

ROOT = Path(__file__).resolve().parent.parent
COLUMNS = ("seconds", "cues", "KB", "paint ms", "load ms", "drawn ms")
#: First paint and end of the load event, on the page's own clock.
TIMES = """async () => {
  const paint = await new Promise((done) => {
    new PerformanceObserver((list) => {
      const first = list.getEntriesByName("first-paint")[0];
      if (first) done(first.startTime);
    }).observe({ type: "paint", buffered: true });
  });
  return [paint, performance.getEntriesByType("navigation")[0].loadEventEnd];
}"""


def longest() -> list[Path]:
    """The longest recording, and the one of the most cues."""
    found: dict[Path, Transcript] = {}
    for folder in ("sample_transcripts", "benchmarks/bouts"):
        found |= {path: read_transcript(path) for path in transcript_files(ROOT / folder)}
    by_time = max(found, key=lambda path: found[path].seconds)
    by_cues = max(found, key=lambda path: len(found[path].cues))
    return list(dict.fromkeys((by_time, by_cues)))


def drawn(browser: Browser, page: Path, runs: int) -> list[tuple[float, float]]:
    """First paint and load event of each run."""
    times = []
    for _ in range(runs + 1):
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        tab = context.new_page()
        tab.goto(page.as_uri(), wait_until="load")
        paint, load = tab.evaluate(TIMES)
        times.append((paint, load))
        context.close()
    return times[1:]


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE", help="transcripts")
    parser.add_argument("--runs", type=int, default=15, help="how often each page is drawn")
    options = parser.parse_args()
    program = find_browser()
    if program is None:
        parser.error("no Chromium found; name one with CHROMIUM=PATH")
    print(f"{'transcript':<24}" + "".join(f"{name:>10}" for name in COLUMNS))
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGS)
        for path in options.files or longest():
            transcript = read_transcript(path)
            sheet = path.with_suffix("").with_suffix(".bout.toml")
            record = extract_bout(transcript, read_bout_file(sheet) if sheet.exists() else None)
            page = Path(folder, "bout.report.html")
            page.write_text(report_page(record, transcript), encoding="utf-8")
            times = drawn(browser, page, options.runs)
            paint, load = (median(each) for each in zip(*times, strict=True))
            both = median(max(each) for each in times)
            cells = [
                f"{transcript.seconds:.0f}",
                str(len(transcript.cues)),
                f"{page.stat().st_size / 1000:.0f}",
            ]
            cells += [f"{ms:.0f}" for ms in (paint, load, both)]
            print(f"{path.name:<24}" + "".join(f"{cell:>10}" for cell in cells), flush=True)
        print(f"{browser.browser_type.name} {browser.version}, {options.runs} runs")
        browser.close()


if __name__ == "__main__":
    main()
