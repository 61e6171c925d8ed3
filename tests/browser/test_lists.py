"""The fact sheet and the list of a folder in a browser: to every eye and hand, sorted and searched."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from extract import read_transcript
from extract.dataset.quality import Doubtful, Quality
from extract.dataset.quality_page import quality_html
from extract.dataset.quality_report import quality_report
from extract.export.facts import fact_sheet
from extract.export.facts_html import facts_html
from extract.export.folder import folder_page
from extract.record import from_json
from tests.browser.pages import WIDE, Look, findings, in_window, sticking_out, walk
from tests.samples import EXPECTED, FOLDER, NAMES

LOOKS = [WIDE, Look(390, 844, "dark")]
#: The sample with an unclear score, too.
ROPEWALK = "ropewalk-greco.json"


def open_facts(page: Page, folder: Path, name: str) -> None:
    record = from_json(EXPECTED / f"{Path(name).stem}.record.json")
    path = folder / "facts.html"
    path.write_text(facts_html(fact_sheet(record, read_transcript(FOLDER / name))), encoding="utf-8")
    page.goto(path.as_uri())


def open_list(page: Page, folder: Path) -> None:
    records = [
        (path.name.removesuffix(".record.json"), from_json(path))
        for path in sorted(EXPECTED.glob("*.record.json"))
    ]
    links = {name: "./a.report.html" for name, _ in records}
    path = folder / "bouts.html"
    path.write_text(folder_page(records, "Bouts", ["torn.record.json"], links), encoding="utf-8")
    page.goto(path.as_uri())


#: Words of which a part stands on one line and a part on another, though no hyphen or blank is between.
_BROKEN = """() => {
  const out = [], range = document.createRange();
  const walker = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  for (let node; (node = walker.nextNode()); ) {
    for (const word of node.data.matchAll(/[\\p{L}\\p{N}]+/gu)) {
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      const tops = new Set([...range.getClientRects()].map((box) => Math.round(box.top)));
      if (tops.size > 1) out.push(word[0]);
    }
  }
  return out;
}"""


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
def test_axe_finds_nothing_in_the_fact_sheet(page: Page, tmp_path: Path) -> None:
    open_facts(page, tmp_path, ROPEWALK)
    assert findings(page) == []
    assert sticking_out(page) == []
    assert page.evaluate(_BROKEN) == []


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
def test_axe_finds_nothing_in_the_list(page: Page, tmp_path: Path) -> None:
    open_list(page, tmp_path)
    page.get_by_role("button", name="wrong").click()
    assert findings(page) == []
    assert sticking_out(page) == []
    assert page.evaluate(_BROKEN) == []


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
def test_axe_finds_nothing_in_the_quality_of_a_dataset(page: Page, tmp_path: Path) -> None:
    quality = Quality(inputs=2, bouts=2, awards=3, statements=9, wrong_awards=0.4)
    quality.by_speaker["the evening programme", "Marla Quist"].add(1, 9)
    quality.doubtful = [Doubtful(1.0, 1.0, "a-recording-with-a-long-name/of-an-evening.srt#12", 1, 1)]
    path = tmp_path / "quality.html"
    path.write_text(quality_html(quality_report(quality)), encoding="utf-8")
    page.goto(path.as_uri())
    assert findings(page) == []
    # A table that is too wide moves in its own box.
    assert sticking_out(page) == []
    page.get_by_role("link", name="To correct first").click()
    assert in_window(page, "#part-5")


def test_the_list_is_sorted_by_each_column(page: Page, tmp_path: Path) -> None:
    open_list(page, tmp_path)
    heads = page.locator("thead th")

    def column(n: int) -> list[str]:
        return [text.strip() for text in page.locator(f"tbody td:nth-child({n})").all_inner_texts()]

    for n in range(1, 8):
        head = heads.nth(n - 1)
        head.get_by_role("button").click()
        first, first_way = column(n), head.get_attribute("aria-sort")
        assert page.locator("[aria-sort]").count() == 1
        head.get_by_role("button").click()
        assert {first_way, head.get_attribute("aria-sort")} == {"ascending", "descending"}
        if 4 <= n <= 6:
            assert first == sorted(first, key=int, reverse=True)
            assert column(n) == sorted(first, key=int)
        else:
            assert len(column(n)) == len(NAMES)
            assert column(n)[0] != first[0] or column(n)[-1] != first[-1]
    assert column(7)[0] == "tallow-quarter"


def test_the_list_is_searched(page: Page, tmp_path: Path) -> None:
    open_list(page, tmp_path)
    rows = page.locator("tbody tr:visible")
    expect(rows).to_have_count(6)
    page.get_by_label("Search").fill("SKELVARA freest")
    expect(rows).to_have_count(1)
    expect(page.locator("#found")).to_have_text("1 of 6")
    page.get_by_label("Search").fill("")
    expect(rows).to_have_count(6)


def test_everything_is_reached_by_keyboard(page: Page, tmp_path: Path) -> None:
    open_list(page, tmp_path)
    walked = walk(page)
    assert walked.stops == 1 + 7 + 6
    assert (walked.missed, walked.unmarked, walked.unseen) == ([], [], [])


def test_the_sentence_is_copied(page: Page, tmp_path: Path) -> None:
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    open_facts(page, tmp_path, ROPEWALK)
    page.get_by_role("button", name="Copy").first.click()
    expect(page.get_by_role("status")).to_contain_text("Copied")
    copied = page.evaluate("() => navigator.clipboard.readText()")
    assert copied == "Correction: it was 3-1 to Grunnerud."


def test_without_a_clipboard_the_sentence_is_selected(page: Page, tmp_path: Path) -> None:
    page.add_init_script("Object.defineProperty(navigator, 'clipboard', { value: undefined })")
    open_facts(page, tmp_path, ROPEWALK)
    page.get_by_role("button", name="Copy").first.click()
    expect(page.get_by_role("status")).to_contain_text("Correction: it was 3-1 to Grunnerud.")
    assert page.evaluate("() => getSelection().toString()") == "Correction: it was 3-1 to Grunnerud."


@pytest.mark.parametrize("name", ["pellingham-dual.txt", "saltpan-foil.srt"])
def test_the_fact_sheet_prints_on_one_sheet(page: Page, tmp_path: Path, name: str) -> None:
    open_facts(page, tmp_path, name)
    assert page.pdf(format="A4").count(b"/Type /Page\n") == 1
