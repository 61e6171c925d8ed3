"""The report as somebody uses it: it opens from a file, everything leads to the rest, the recording plays from a time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from extract.record.model import Flag
from tests.browser.pages import NARROW, WIDE, in_window, save_sound, until
from tests.browser.reports import open_report, sample
from tests.samples import NAMES

LANTERN = "lantern-final.srt"

#: A point at which a click meets the element itself, or null where others lie over all of it.
POINT = """(el) => {
  el.scrollIntoView({ block: "center", inline: "center" });
  const box = el.getBoundingClientRect();
  for (let i = 1; i < 24; i++)
    for (let k = 1; k < 24; k++) {
      const x = box.left + box.width * i / 24, y = box.top + box.height * k / 24;
      if (el.contains(document.elementFromPoint(x, y))) return { x, y };
    }
  return null;
}"""


def arrived(page: Page, anchor: str) -> None:
    """The page is at the anchor: in the address, told to the style sheet, and in the window."""
    until(page, "(hash) => location.hash === hash", f"#{anchor}")
    assert page.locator(":target").get_attribute("id") == anchor
    until(
        page,
        """(id) => { const box = document.getElementById(id).getBoundingClientRect();
          return box.bottom >= 0 && box.top < innerHeight; }""",
        anchor,
    )
    assert in_window(page, f"[id='{anchor}']")


def test_it_opens_from_a_file(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    expect(page).to_have_title("Brannoway 6-6 Skelvara")
    expect(page.locator(".flag")).to_have_count(4)
    expect(page.locator("#look .sort").first).to_have_text("old score")
    assert in_window(page, "h1")
    assert in_window(page, ".total")


@pytest.mark.parametrize("how", ["click", "Enter"])
@pytest.mark.parametrize(
    "link",
    [
        "svg.wide a:has(.event.called)", "svg.wide a:has(.event.inferred)", "svg.wide a:has(.right)",
        "svg.wide a:has(.wrong)", "svg.wide a:has(.challenge)", ".flag.error .place > a:first-child", ".strip a",
        "#sheet td a",
        "#sheet li a[data-t]", "#sheet li a[href^='#e']", ".cue .time",
    ],
)  # fmt: skip
def test_everything_leads_to_the_rest(page: Page, tmp_path: Path, link: str, how: str) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    found = page.locator(link).last
    anchor = found.evaluate("(el) => el.getAttribute('href').slice(1)")
    if how == "click":
        page.mouse.click(**found.evaluate(POINT))
    else:
        found.focus()
        page.keyboard.press("Enter")
    arrived(page, anchor)


@pytest.mark.parametrize(
    ("page", "drawing"), [(WIDE, "wide"), (NARROW, "narrow")], indirect=["page"], ids=["wide", "narrow"]
)
@pytest.mark.parametrize("name", NAMES)
def test_no_mark_of_the_drawing_lies_wholly_under_others(
    page: Page, tmp_path: Path, name: str, drawing: str
) -> None:
    open_report(page, tmp_path, *sample(name))
    links = page.locator(f"svg.{drawing} a").all()
    assert links
    under = [link.get_attribute("aria-label") for link in links if link.evaluate(POINT) is None]
    assert under == []


@pytest.mark.parametrize("page", [WIDE, NARROW], indirect=True, ids=str)
@pytest.mark.parametrize("name", NAMES)
def test_the_words_of_the_drawing_are_inside_it(page: Page, tmp_path: Path, name: str) -> None:
    open_report(page, tmp_path, *sample(name))
    outside = page.evaluate(
        """() => [...document.querySelectorAll("svg.drawing text")].filter((text) => {
          const box = text.getBBox(), whole = text.ownerSVGElement.viewBox.baseVal;
          return box.x < 0 || box.y < 0 || box.x + box.width > whole.width || box.y + box.height > whole.height;
        }).map((text) => text.textContent)"""
    )
    assert outside == []


def test_a_score_said_leads_to_its_words_with_their_reading(page: Page, tmp_path: Path) -> None:
    record, transcript = sample(LANTERN)
    open_report(page, tmp_path, record, transcript)
    wrong = next(each for each in record.statements if each.verdict == "disagrees")
    ring = page.locator(f"svg.wide a[href='#{wrong.id}']")
    page.mouse.click(**ring.evaluate(POINT))
    arrived(page, wrong.id)
    words = page.locator(f".mark[id='{wrong.id}']")
    expect(words).to_contain_text(wrong.text)
    assert words.evaluate("(el) => getComputedStyle(el).boxShadow") != "none"
    expect(words.locator(".reading")).to_be_visible()


def inside(page: Page, mark: int) -> bool:
    """Whether the reading of a mark is wholly in the window."""
    whole: bool = page.locator(".mark").nth(mark).evaluate(
        """(el) => {
          const box = el.querySelector(".reading").getBoundingClientRect();
          return box.width > 0 && box.left >= 0 && box.right <= document.documentElement.clientWidth
            && box.top >= 0 && box.bottom <= innerHeight;
        }"""
    )  # fmt: skip
    return whole


@pytest.mark.parametrize("page", [WIDE, NARROW], indirect=True, ids=str)
def test_each_reading_shows_on_focus_and_on_hover(page: Page, tmp_path: Path) -> None:
    record, transcript = sample(LANTERN)
    open_report(page, tmp_path, record, transcript)
    readings = page.locator(".reading")
    number = readings.count()
    assert number > 20
    expect(page.locator(".reading:visible")).to_have_count(0)
    for k in range(number):
        page.locator(".mark").nth(k).focus()
        assert inside(page, k), readings.nth(k).text_content()
        expect(page.locator(".reading:visible")).to_have_count(1)
    page.locator("#only-marked").focus()
    expect(page.locator(".reading:visible")).to_have_count(0)
    for k in range(0, number, 5):
        page.mouse.move(**page.locator(".mark").nth(k).evaluate(POINT))
        expect(readings.nth(k)).to_be_visible()
        assert inside(page, k)
        # The pointer can go over to it without its going away.
        readings.nth(k).hover()
        expect(readings.nth(k)).to_be_visible()
    wrong = next(each for each in record.statements if each.verdict == "disagrees")
    expect(page.locator(f"[id='{wrong.id}'] .reading")).to_contain_text(f"wrong. {wrong.why}")


def test_escape_takes_a_reading_away(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    page.locator(".mark").nth(2).focus()
    expect(page.locator(".reading:visible")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(page.locator(".reading:visible")).to_have_count(0)
    page.locator(".mark").nth(3).focus()
    expect(page.locator(".reading:visible")).to_have_count(1)


def test_the_filter_leaves_what_something_rests_on(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    all_cues, resting = page.locator(".cue:visible"), page.locator(".cue:visible:has(.mark)")
    before, rests = all_cues.count(), resting.count()
    assert 0 < rests < before
    page.get_by_label("only lines used as evidence").check()
    expect(all_cues).to_have_count(rests)
    expect(resting).to_have_count(rests)
    page.get_by_label("only lines used as evidence").uncheck()
    expect(all_cues).to_have_count(before)


def test_a_link_leads_to_words_that_the_filter_hides(page: Page, tmp_path: Path) -> None:
    record, transcript = sample(LANTERN)
    bare = Flag("f9", "clock", "note", 11.0, 3, "", None, None, "A cue that nothing rests on.", ())
    open_report(page, tmp_path, replace(record, flags=(*record.flags, bare)), transcript)
    page.get_by_label("only lines used as evidence").check()
    expect(page.locator("#cue-3")).to_be_hidden()
    page.locator(".notes summary").click()
    page.locator("#f9 a").click()
    arrived(page, "cue-3")


def test_the_filter_goes_by_its_tick_after_a_way_back(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    page.get_by_label("only lines used as evidence").check()
    page.goto("about:blank")
    page.go_back()
    ticked = page.get_by_label("only lines used as evidence").is_checked()
    expect(page.locator("#talk.only")).to_have_count(int(ticked))


def test_a_click_on_a_time_plays_the_recording_from_there(page: Page, tmp_path: Path) -> None:
    record, transcript = sample(LANTERN)
    open_report(page, tmp_path, record, transcript)
    expect(page.locator("#media")).to_be_hidden()
    page.locator(".flag a").first.click()
    page.locator("#media-file").set_input_files(save_sound(tmp_path / "bout.wav", 500))
    expect(page.locator("#media")).to_be_visible()
    until(page, "() => document.getElementById('media').readyState > 0")
    assert page.evaluate("document.getElementById('media').duration") == 500
    box = page.locator("#media").bounding_box()
    assert box is not None
    assert box["height"] < 100, "a sound needs no picture"
    page.evaluate(
        "window.sought = []; document.getElementById('media').addEventListener('seeking', (e) =>"
        " window.sought.push(e.target.currentTime))"
    )
    for k, link in enumerate([".place > a:first-child", "#sheet td a.at", "#sheet li a.at", ".cue .time"]):
        found = page.locator(link).nth(1)
        found.click()
        until(page, "(n) => window.sought.length > n", k)
        assert page.evaluate("window.sought.at(-1)") == pytest.approx(
            float(found.get_attribute("data-t") or "")
        )
        until(page, "() => !document.getElementById('media').paused")


def test_what_is_being_said_is_marked(page: Page, tmp_path: Path) -> None:
    _, transcript = sample(LANTERN)
    open_report(page, tmp_path, *sample(LANTERN))
    page.locator("#media-file").set_input_files(save_sound(tmp_path / "bout.wav", 500))
    until(page, "() => document.getElementById('media').readyState > 0")
    for cue in (transcript.cues[40], transcript.cues[7]):
        page.evaluate("(t) => { document.getElementById('media').currentTime = t; }", cue.start + 0.5)
        expect(page.locator(".cue.now")).to_have_attribute("id", f"cue-{cue.index}")
    plain = page.locator(".cue").first.evaluate("(el) => getComputedStyle(el).backgroundColor")
    now = page.locator(".cue.now").evaluate("(el) => getComputedStyle(el).backgroundColor")
    assert now != plain


def test_a_file_that_does_not_play_is_told(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    broken = tmp_path / "bout.mp4"
    broken.write_bytes(b"no film" * 100)
    page.locator("#media-file").set_input_files(broken)
    expect(page.get_by_role("alert")).to_have_text("This browser cannot play that file.")
    expect(page.locator("#media")).to_be_hidden()
    page.locator("#media-file").set_input_files(save_sound(tmp_path / "bout.wav", 5))
    expect(page.get_by_role("alert")).to_be_hidden()
    expect(page.locator("#media")).to_be_visible()
    page.locator("#media-file").set_input_files([])
    expect(page.locator("#media")).to_be_hidden()
    expect(page.get_by_role("alert")).to_be_hidden()


def test_a_correction_is_copied(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    page.evaluate(
        "() => document.addEventListener('copy', () => { window.taken = document.activeElement.value; })"
    )
    page.evaluate("() => { navigator.clipboard.writeText = async (text) => { window.taken = text; }; }")
    button = page.locator("#look .copy button").first
    button.focus()
    page.keyboard.press("Enter")
    expect(button).to_have_text("Copied")
    expect(button).to_be_focused()
    assert page.evaluate("() => window.taken") == "Correction: it was 2-0 to Skelvara."


@pytest.mark.parametrize(("form", "magic"), [("svg", b"<svg "), ("png", b"\x89PNG\r\n\x1a\n")])
def test_the_picture_is_saved(page: Page, tmp_path: Path, form: str, magic: bytes) -> None:
    """16:9, with its title. The signature of a PNG file is that of the PNG specification, section 5.2; its width and
    height are the first two numbers of the header chunk (11.2.2)."""
    open_report(page, tmp_path, *sample(LANTERN))
    with page.expect_download() as download:
        page.locator(f"button[data-save={form}]").click()
    assert download.value.suggested_filename == f"Brannoway-6-6-Skelvara.{form}"
    data = download.value.path().read_bytes()
    assert data.startswith(magic)
    if form == "png":
        assert (int.from_bytes(data[16:20]), int.from_bytes(data[20:24])) == (1600, 900)
    else:
        assert "Brannoway 6-6 Skelvara: 3 of 13 stated scores wrong" in data.decode()


@pytest.mark.parametrize("page", [WIDE, NARROW], indirect=True, ids=str)
def test_the_player_stays_in_the_window_and_the_page_stays_where_it_is(page: Page, tmp_path: Path) -> None:
    open_report(page, tmp_path, *sample(LANTERN))
    page.locator("#media-file").set_input_files(save_sound(tmp_path / "bout.wav", 500))
    until(page, "() => document.getElementById('media').readyState > 0")
    link = page.locator("#sheet td a.at").last
    link.scroll_into_view_if_needed()
    before = page.evaluate("scrollY")
    link.click()
    until(page, "() => !document.getElementById('media').paused")
    assert in_window(page, "#media")
    assert page.evaluate("scrollY") == before
    page.locator("#sheet td .line-link").last.click()
    until(page, "() => location.hash.startsWith('#cue-')")
