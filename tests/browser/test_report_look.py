"""The report to every eye and hand: wide and narrow, light and dark, by keyboard alone, on paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.pages import LOOKS, NARROW, WIDE, Look, findings, in_window, sticking_out, walk
from tests.browser.reports import open_report, sample
from tests.samples import NAMES

LANTERN = "lantern-final.srt"


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
@pytest.mark.parametrize("name", [LANTERN, "pellingham-dual.txt", "ropewalk-greco.json"])
def test_axe_finds_nothing_serious(page: Page, tmp_path: Path, name: str) -> None:
    open_report(page, tmp_path, *sample(name))
    # With what is hidden at first: readings, reasons, and the place that a link has led to.
    page.add_style_tag(content=".reading { display: block !important; position: static !important }")
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    page.locator("svg a:visible").last.focus()
    page.keyboard.press("Enter")
    assert findings(page) == []


@pytest.mark.parametrize("page", LOOKS[:2], indirect=True, ids=str)
@pytest.mark.parametrize("name", NAMES)
def test_the_page_is_no_wider_than_the_window(page: Page, tmp_path: Path, name: str) -> None:
    open_report(page, tmp_path, *sample(name))
    assert sticking_out(page) == []
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert sticking_out(page) == []


@pytest.mark.parametrize("page", [WIDE, NARROW], indirect=True, ids=str)
def test_the_tab_key_reaches_everything(page: Page, tmp_path: Path) -> None:
    record, transcript = sample(LANTERN)
    open_report(page, tmp_path, record, transcript)
    walked = walk(page)
    # The time of each cue and a dot for each score said at the least.
    assert walked.stops > len(transcript.cues) + len(record.statements)
    assert walked.missed == []
    assert walked.unmarked == []
    assert walked.unseen == []
    assert walked.in_order


def test_the_skip_link_leads_to_the_talk(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    skip = page.get_by_role("link", name="To the transcript")
    assert not in_window(page, ".skip")
    page.keyboard.press("Tab")
    expect(skip).to_be_focused()
    assert in_window(page, ".skip")
    page.keyboard.press("Enter")
    assert in_window(page, "#talk-h")
    page.keyboard.press("Tab")
    expect(page.locator("#only-marked")).to_be_focused()
    page.keyboard.press("Space")
    expect(page.locator("#talk.only")).to_have_count(1)


def test_the_why_of_an_event_opens_by_keyboard(page: Page, tmp_path: Path) -> None:
    record, transcript = sample(LANTERN)
    open_report(page, tmp_path, record, transcript)
    event = next(each for each in record.events if each.points)
    why = page.locator(f"#{event.id} details bdi")
    expect(why).to_be_hidden()
    page.locator(f"#{event.id} summary").focus()
    page.keyboard.press("Enter")
    expect(why).to_have_text(event.why)
    expect(why).to_be_visible()


@pytest.mark.parametrize("page", [WIDE, Look(scheme="dark")], indirect=True, ids=str)
def test_paper_has_the_facts_and_nothing_to_press(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    page.emulate_media(media="print")
    for gone in (".player", ".tools", ".skip", ".reading", "td details", "#talk"):
        expect(page.locator(f"{gone}:visible")).to_have_count(0)
    for kept in ("h1", ".plate", ".caveat", ".flag", "svg.wide", "#sheet tr", "footer"):
        expect(page.locator(kept).first).to_be_visible()
    page.locator(".mark").first.focus()
    expect(page.locator(".reading:visible")).to_have_count(0)
    # Dark ink on white, whatever the screen had.
    assert page.evaluate("() => getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert findings(page) == []


@pytest.mark.parametrize("name", [LANTERN, "pellingham-dual.txt"])
def test_it_fits_on_two_sheets_of_paper(page: Page, tmp_path: Path, name: str) -> None:
    """Who won, what was said wrong and the drawing on the first, the score sheet on the second. A page of a PDF is an
    object of the type Page (ISO 32000-1, 7.7.3.3)."""
    open_report(page, tmp_path, *sample(name))
    paper = page.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", paper)) == 2
    page.emulate_media(media="print")
    # A4 with ordinary margins, at 96 px an inch.
    page.set_viewport_size({"width": 718, "height": 1000})
    assert sticking_out(page) == []
    scrolled = page.evaluate(
        """() => [...document.querySelectorAll(".scroll")].filter((el) => el.scrollWidth > el.clientWidth).length"""
    )
    assert scrolled == 0, "what has to be scrolled is cut off on paper"
