"""A person who checks scores on air, with the page of the live desk alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect

from extract.live.model import View
from tests.browser.pages import LOOKS, NARROW, Look, Watch, findings, in_window, sticking_out, until, walk
from tests.live.scripted import ANSWERED, BUSY, OLD, QUIET, SWAPPED, ScriptedDesk, ServedPage, serving_page

SCREENS = [*LOOKS, Look(1920, 1080), Look(1920, 1080, "dark")]
EMPTY = View(1, "-", "waiting", 0.0, None)


@pytest.fixture
def desk() -> ScriptedDesk:
    return ScriptedDesk()


@pytest.fixture
def live(desk: ScriptedDesk, page: Page) -> Iterator[ServedPage]:
    with serving_page(desk, beat_s=0.3) as served:
        yield served
        # The page leaves before the desk does.
        page.goto("about:blank")


def settled(page: Page, flag: str) -> None:
    """Wait until a flag is in front and has been for long enough to be answered."""
    expect(page.locator(".open-flag.front")).to_have_attribute("data-flag", flag)
    page.wait_for_timeout(600)


@pytest.mark.parametrize("page", SCREENS, indirect=True, ids=str)
@pytest.mark.parametrize(
    "view", [BUSY, QUIET, EMPTY, replace(BUSY, state="stalled")], ids=["busy", "quiet", "empty", "stalled"]
)
def test_the_page_is_for_everybody(page: Page, live: ServedPage, desk: ScriptedDesk, view: View) -> None:
    desk.put(view)
    page.goto(live.address)
    page.wait_for_timeout(400)
    assert findings(page) == []
    assert sticking_out(page) == []


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
def test_dialogs_and_a_lost_connection_are_for_everybody(
    page: Page, live: ServedPage, desk: ScriptedDesk, watch: Watch
) -> None:
    desk.put(BUSY)
    page.goto(live.address)
    for key in ("m", "h", "?"):
        page.keyboard.press(key)
        expect(page.locator("dialog[open]")).to_have_count(1)
        assert findings(page) == []
        page.keyboard.press("Escape")
        expect(page.locator("dialog[open]")).to_have_count(0)
    live.stop()
    expect(page.locator("#connection")).to_contain_text("Connection lost")
    assert findings(page) == []
    watch.expect("ERR_")


def test_the_tab_key_goes_everywhere(page: Page, live: ServedPage, desk: ScriptedDesk) -> None:
    desk.put(BUSY)
    page.goto(live.address)
    page.locator(".open-flag.front").wait_for()
    went = walk(page)
    assert went.stops > 8
    assert (went.missed, went.unmarked, went.unseen, went.in_order) == ([], [], [], True)


def test_a_flag_comes_by_itself_is_said_once_and_answered_with_one_key(
    page: Page, live: ServedPage, desk: ScriptedDesk
) -> None:
    page.goto(live.address)
    expect(page.locator("#flags-h")).to_have_text("Nothing to answer")
    page.evaluate("() => { window.here = true; window.told = [];"
                  " new MutationObserver(() => window.told.push(document.getElementById('announce').textContent))"
                  " .observe(document.getElementById('announce'), { childList: true }); }")  # fmt: skip
    desk.put(replace(BUSY, flags=(OLD, ANSWERED)))
    settled(page, OLD.id)
    assert in_window(page, ".front .answers")
    desk.put(replace(BUSY, flags=(OLD, ANSWERED), t=392.0))
    expect(page.locator("#stream")).to_contain_text("6:32")
    assert page.evaluate("() => window.told") == ["old score: said 5-3 Brannoway; should be 6-3 Brannoway"]
    assert page.evaluate("() => window.here")
    page.keyboard.press("2")
    expect(page.locator("#message")).to_have_text("Kept: flag 1.3 is answered.")
    expect(page.locator("#flags-h")).to_have_text("Nothing to answer")
    expect(page.locator("#earlier-1\\.3")).to_contain_text("a slip of the speaker")
    assert desk.done == [("answer", OLD.id, "slip")]
    # With nothing to answer the key answers nothing.
    page.keyboard.press("2")
    assert len(desk.done) == 1


@pytest.mark.parametrize(("key", "answer"), [("1", "right"), ("2", "slip"), ("3", "other_bout")])
def test_each_answer_has_its_key_and_its_button(
    page: Page, live: ServedPage, desk: ScriptedDesk, key: str, answer: str
) -> None:
    desk.put(BUSY)
    page.goto(live.address)
    settled(page, OLD.id)
    page.keyboard.press(key)
    settled(page, SWAPPED.id)
    page.locator(f".front button[data-answer={answer}]").click()
    expect(page.locator("#flags-h")).to_have_text("Nothing to answer")
    assert desk.done == [("answer", OLD.id, answer), ("answer", SWAPPED.id, answer)]


def test_a_newer_flag_does_not_push_away_the_one_that_is_looked_at(
    page: Page, live: ServedPage, desk: ScriptedDesk
) -> None:
    desk.put(replace(BUSY, flags=(SWAPPED,)))
    page.goto(live.address)
    settled(page, SWAPPED.id)
    page.locator(".front [data-answer=right]").focus()
    desk.put(BUSY)
    expect(page.locator(".open-flag")).to_have_count(2)
    expect(page.locator(".open-flag.front")).to_have_attribute("data-flag", SWAPPED.id)
    assert page.evaluate("() => document.activeElement.id") == f"right-{SWAPPED.id}"
    # The other is shown on wish; a key that was meant for the one before answers nothing.
    page.keyboard.press("j")
    expect(page.locator(".open-flag.front")).to_have_attribute("data-flag", OLD.id)
    page.keyboard.press("1")
    expect(page.locator("#message")).to_contain_text("has only just come")
    assert page.evaluate("() => document.activeElement.id") == f"head-{OLD.id}"
    assert desk.done == []
    page.keyboard.press("k")
    expect(page.locator(".open-flag.front")).to_have_attribute("data-flag", SWAPPED.id)
    page.locator(".open-flag .to-front:visible").click()
    expect(page.locator(".open-flag.front")).to_have_attribute("data-flag", OLD.id)


def test_a_flag_that_is_withdrawn_leaves_the_focus_at_the_next(
    page: Page, live: ServedPage, desk: ScriptedDesk
) -> None:
    desk.put(BUSY)
    page.goto(live.address)
    settled(page, OLD.id)
    page.locator(".front [data-answer=slip]").focus()
    desk.put(replace(BUSY, flags=(replace(OLD, state="withdrawn", why="It was said again."), SWAPPED)))
    expect(page.locator(".open-flag.front")).to_have_attribute("data-flag", SWAPPED.id)
    assert page.evaluate("() => document.activeElement.id") == f"head-{SWAPPED.id}"
    expect(page.locator("#earlier-1\\.3")).to_contain_text("withdrawn")
    page.keyboard.press("2")
    assert desk.done == []


def test_the_score_is_corrected_with_keys_alone(
    page: Page, live: ServedPage, desk: ScriptedDesk, watch: Watch
) -> None:
    page.goto(live.address)
    page.keyboard.press("m")
    expect(page.locator("#correct-red")).to_have_text("Brannoway")
    page.keyboard.press("Escape")
    expect(page.locator("#correct")).to_be_hidden()
    page.keyboard.press("m")
    # The score as it is: refused, and the dialog stays.
    page.keyboard.press("Enter")
    expect(page.locator("#correct .told")).to_have_text("Not kept: that is the score already.")
    page.keyboard.press("Tab")
    page.keyboard.type("5")
    page.keyboard.press("Enter")
    expect(page.locator("#correct")).to_be_hidden()
    expect(page.locator("#row-blue .points-now")).to_have_text("5")
    page.keyboard.press("u")
    expect(page.locator("#message")).to_have_text("Undone.")
    assert desk.done == [("correct", (6, 3)), ("correct", (6, 5)), ("undo",)]
    watch.expect("422")


def test_the_score_at_a_moment_is_a_key_away(page: Page, live: ServedPage, watch: Watch) -> None:
    page.goto(live.address)
    page.keyboard.press("h")
    page.keyboard.type("5:12")
    page.keyboard.press("Enter")
    expect(page.locator("#moment .told")).to_have_text("At 5:12: 3-3; period 2, about 1:34 ±8 left.")
    # A number in the field is no answer, and no letter there is a key.
    page.locator("#moment input").fill("muh")
    page.keyboard.press("Enter")
    expect(page.locator("#moment .told")).to_have_text("Write the time as 5:40.")
    watch.expect("422")


def test_a_page_that_was_cut_off_says_so_and_comes_back(
    page: Page, live: ServedPage, desk: ScriptedDesk, watch: Watch
) -> None:
    page.goto(live.address)
    expect(page.locator("#connection")).to_be_empty()
    live.stop()
    expect(page.locator("#connection")).to_have_text(
        "Connection lost, trying again. This is how it was at 6:26 of the recording."
    )
    clock = page.locator("#clock").inner_text()
    page.keyboard.press("u")
    expect(page.locator("#message")).to_contain_text("the desk does not answer")
    page.wait_for_timeout(1200)
    assert page.locator("#clock").inner_text() == clock
    desk.put(BUSY)
    live.start()
    settled(page, OLD.id)
    expect(page.locator("#connection")).to_be_empty()
    watch.expect("ERR_")


def test_a_desk_that_hangs_does_not_look_live(
    page: Page, live: ServedPage, desk: ScriptedDesk, watch: Watch
) -> None:
    """Its connections stay, but nothing comes."""
    page.goto(live.address)
    expect(page.locator("#connection")).to_be_empty()
    page.wait_for_timeout(500)
    with desk._changed:
        expect(page.locator("#connection")).to_contain_text("Connection lost")
    expect(page.locator("#connection")).to_be_empty()
    watch.troubles[:] = [trouble for trouble in watch.troubles if "ERR_" not in trouble]


def test_the_clock_runs_on_and_stops_with_the_stream(
    page: Page, live: ServedPage, desk: ScriptedDesk
) -> None:
    page.goto(live.address)
    until(page, "() => document.getElementById('clock').textContent === '1:33'")
    desk.put(replace(QUIET, state="stalled"))
    expect(page.locator("#stream b")).to_have_text("no captions are coming")
    expect(page.locator("#clock")).to_have_text("1:34")
    page.wait_for_timeout(1300)
    expect(page.locator("#clock")).to_have_text("1:34")


def test_each_key_has_one_meaning_and_none_is_a_code_of_the_sport(
    page: Page, live: ServedPage, desk: ScriptedDesk
) -> None:
    """T, E, R and N are how scorers write takedown, escape, reversal and near fall (common practice)."""
    desk.put(BUSY)
    page.goto(live.address)
    page.locator(".open-flag.front").wait_for()
    listed = page.evaluate("() => [...document.querySelectorAll('.keys li')].map((li) => li.dataset.names)")
    names = [name for each in listed for name in each.split(" ")]
    assert len(names) == len(set(names))
    used = set(page.evaluate("() => [...document.querySelectorAll('[data-key]')].map((b) => b.dataset.key)"))
    assert used == set(names)
    assert not {"t", "e", "r", "n", "w", "l", "f", "s", "p", "d", "c"} & set(names)


def test_keys_can_be_turned_off(page: Page, live: ServedPage, desk: ScriptedDesk) -> None:
    desk.put(BUSY)
    page.goto(live.address)
    settled(page, OLD.id)
    page.keyboard.press("?")
    page.locator("#single-keys").uncheck()
    page.keyboard.press("Escape")
    page.keyboard.press("2")
    page.keyboard.press("m")
    expect(page.locator("dialog[open]")).to_have_count(0)
    assert desk.done == []


def test_the_sentence_is_copied(browser: Browser, live: ServedPage, desk: ScriptedDesk) -> None:
    desk.put(BUSY)
    context = browser.new_context(permissions=["clipboard-read", "clipboard-write"])
    page = context.new_page()
    page.goto(live.address)
    settled(page, OLD.id)
    page.keyboard.press("y")
    expect(page.locator("#message")).to_have_text("Copied.")
    assert page.evaluate("() => navigator.clipboard.readText()") == OLD.sentence
    context.close()


def test_a_page_for_fingers_names_no_keys(browser: Browser, live: ServedPage, desk: ScriptedDesk) -> None:
    desk.put(BUSY)
    context = browser.new_context(
        viewport={"width": NARROW.width, "height": NARROW.height}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.goto(live.address)
    settled(page, OLD.id)
    assert page.locator("kbd:visible").count() == 0
    for button in page.locator("button:visible").all():
        box = button.bounding_box()
        assert box is not None
        assert box["height"] >= 44
    page.locator(".front [data-answer=slip]").tap()
    settled(page, SWAPPED.id)
    assert desk.done == [("answer", OLD.id, "slip")]
    context.close()
