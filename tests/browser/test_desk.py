"""A person at the correction desk: what they say holds at once, is kept, and is theirs to take back."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from extract import extract_bout
from extract.decisions import Decision, read_decisions
from extract.log import Parameters
from extract.record import Record
from extract.transcript import BoutFile, Transcript
from tests.browser.conftest import OpenPage
from tests.browser.desks import Hand
from tests.browser.pages import LOOKS, WIDE, Watch, findings, save_sound, sticking_out, until, walk
from tests.desk.served import ROOT, Served, put, serving

SAMPLES = ROOT / "sample_transcripts"
LANTERN = "lantern-final"


@cache
def as_opened(transcript: Transcript, known: BoutFile | None, lexicons: tuple[Path, ...]) -> Record:
    """A bout as a desk reads it before anybody has decided anything: once for all tests."""
    return extract_bout(transcript, known, lexicons=lexicons)


def read_for_desk(
    transcript: Transcript,
    known: BoutFile | None,
    *,
    parameters: Parameters | None,
    lexicons: tuple[Path, ...],
    decisions: Sequence[Decision],
) -> Record:
    """What the desk reads. With a decision, or with other parameters, it is read anew each time."""
    if not decisions and parameters is None:
        return as_opened(transcript, known, lexicons)
    return extract_bout(transcript, known, parameters=parameters, lexicons=lexicons, decisions=decisions)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    """A desk for one sample."""
    monkeypatch.setattr("extract.desk.bout.extract_bout", read_for_desk)
    put(tmp_path, SAMPLES / "lantern-final.srt")
    with serving(tmp_path, LANTERN) as served:
        yield served


def message(page: Page) -> str:
    return page.locator("#message").inner_text()


def test_an_event_is_put_right_with_keys_alone(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    before = desk.record(LANTERN)
    takedown = next(e for e in before.events if e.kind == "takedown" and e.corner == "red")
    hand = Hand(page)
    page.locator(f"#{takedown.id} a.at").focus()
    hand.decide("o")
    assert "Saved: Brannoway's takedown (2) at 2:51 is Skelvara's takedown (2)" in message(page)
    after = desk.record(LANTERN)
    assert [e.corner for e in after.events if e.decided] == ["blue"]
    expect(page.locator("tbody.entry.chosen")).to_have_count(1)
    hand.decide("u")
    assert desk.record(LANTERN) == before
    hand.decide("U")
    assert desk.record(LANTERN) == after
    # All that hangs on it is another at once: the board, and what the scores said are held against.
    assert after.board != before.board
    assert [s.computed for s in after.statements] != [s.computed for s in before.statements]


def test_what_is_in_doubt_is_answered_one_after_another(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    hand = Hand(page)
    asked = desk.record(LANTERN).doubts
    assert len(asked) > 2
    expect(page.locator("#doubts > ol > .entry")).to_have_count(len(asked))
    expect(page.locator("#doubts-h")).to_have_text(f"{len(asked)} questions")
    hand.press("j")
    # An answer may raise another question; they come to an end all the same.
    for _ in range(20):
        if not desk.record(LANTERN).doubts:
            break
        hand.decide("Enter")
        assert asked[0] not in desk.record(LANTERN).doubts
    expect(page.locator("#doubts-h")).to_have_text("No questions")


def test_something_is_added_at_a_line(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    hand = Hand(page)
    line = page.locator("#cue-80")
    hand.click(line.locator("a.time"))
    hand.press("a")
    expect(page.locator("#add-event")).to_be_visible()
    hand.press("s", "Tab", "Space")
    page.locator("#add-event input[value=blue]").check()
    hand.decide("Enter")
    added = [e for e in desk.record(LANTERN).events if e.decided]
    assert [(e.kind, e.corner, e.points) for e in added] == [("step_out", "blue", 1)]
    assert added[0].t == pytest.approx(float(line.get_attribute("data-at") or 0))
    expect(page.locator("#add-event")).to_be_hidden()


def test_a_form_says_what_is_no_time(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    event = next(e for e in desk.record(LANTERN).events if e.kind == "takedown")
    page.locator(f"#{event.id} a.at").focus()
    Hand(page).press("m")
    field = page.locator(f"#change-{event.id} input[name=t]")
    field.fill("soon")
    field.press("Enter")
    assert "Write the time as" in message(page)
    field.fill("0:50.5")
    with page.expect_response("**/decide"):
        field.press("Enter")
    page.locator("#view:not([aria-busy])").wait_for()
    assert [e.t for e in desk.record(LANTERN).events if e.decided] == [50.5]


def test_a_score_a_challenge_the_sides_and_the_result(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    hand = Hand(page)
    record = desk.record(LANTERN)
    wrong = next(s for s in record.statements if s.verdict == "disagrees")
    page.locator(f"#row-{wrong.id} a.at").focus()
    hand.decide("Delete")
    assert not [s for s in desk.record(LANTERN).statements if (s.cue, s.start) == (wrong.cue, wrong.start)]
    page.locator("#h2 a.at").focus()
    hand.decide("2")
    assert desk.record(LANTERN).challenges[1].outcome == "withdrawn"
    with page.expect_response("**/decide"):
        page.get_by_role("button", name="Swap red and blue").click()
    page.locator("#view:not([aria-busy])").wait_for()
    assert desk.record(LANTERN).bout.red.name == record.bout.blue.name
    expect(page.locator(".surname").first).to_have_text("Skelvara")
    page.locator("select[name=by]").select_option("injury")
    with page.expect_response("**/decide"):
        page.locator("select[name=by]").locator("xpath=ancestor::form").get_by_role(
            "button", name="Save"
        ).click()
    page.locator("#view:not([aria-busy])").wait_for()
    assert desk.record(LANTERN).result.by == "injury"
    # Any of them can be taken back, not only the last.
    page.locator("#decided li", has_text="challenge at").get_by_role("button").click()
    expect(page.locator("#decided li")).to_have_count(3)
    assert desk.record(LANTERN).challenges[1].outcome == "lost"


def test_a_reload_in_mid_work_loses_nothing(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    hand = Hand(page)
    hand.decide("j", "Enter")
    hand.decide("Enter")
    shown = page.locator("#decided").inner_text()
    page.reload()
    assert page.locator("#decided").inner_text() == shown
    hand.decide("u")
    expect(page.locator("#decided li")).to_have_count(1)


def test_two_windows_do_each_other_no_harm(open_page: OpenPage, desk: Served, watch: Watch) -> None:
    one, two = open_page(WIDE), open_page(WIDE)
    one.goto(desk.address)
    two.goto(desk.address)
    Hand(one).decide("j", "Enter")
    # The second has not seen that: its decision is not kept, and it is shown how it now is.
    Hand(two).decide("j", "Enter")
    watch.expect("409")
    assert "changed in another window" in message(two)
    assert len(read_decisions(desk.folder / f"{LANTERN}.decisions.jsonl").decisions) == 1
    assert two.locator("#decided").inner_text() == one.locator("#decided").inner_text()
    Hand(two).decide("Enter")
    assert len(read_decisions(desk.folder / f"{LANTERN}.decisions.jsonl").decisions) == 2
    # The first sees it when somebody looks at it again.
    one.evaluate("() => window.dispatchEvent(new Event('focus'))")
    expect(one.locator("#decided li")).to_have_count(2)


def test_a_desk_that_is_gone_says_so(page: Page, tmp_path: Path, watch: Watch) -> None:
    put(tmp_path, SAMPLES / "lantern-final.srt")
    with serving(tmp_path, LANTERN) as served:
        page.goto(served.address)
    Hand(page).press("j", "Enter")
    expect(page.locator("#message")).to_contain_text("the desk does not answer")
    watch.expect("ERR_CONNECTION_REFUSED")


def test_keys_can_be_turned_off(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    page.get_by_role("button", name="Keys").click()
    page.locator("#single-keys").uncheck()
    Hand(page).press("j", "Enter")
    assert page.locator(".chosen").count() == 0
    assert not (desk.folder / f"{LANTERN}.decisions.jsonl").exists()


def test_a_recording_plays_from_a_time_and_stays(page: Page, desk: Served, tmp_path: Path) -> None:
    page.goto(desk.address)
    page.locator("#media-file").set_input_files(save_sound(tmp_path / "talk.wav", 200))
    until(page, "() => document.getElementById('media').readyState >= 1")
    event = next(e for e in desk.record(LANTERN).events if e.kind == "takedown")
    page.locator(f"#{event.id} a.at").click()
    until(page, "(t) => Math.abs(document.getElementById('media').currentTime - t) < 3", event.t)
    Hand(page).decide("Enter")
    assert page.locator("#media").evaluate("(m) => m.currentTime") > event.t - 1


def test_the_list_leads_to_the_bouts(page: Page, tmp_path: Path) -> None:
    for name in ("lantern-final.srt", "tallow-quarter.vtt", "shed-notes.csv"):
        put(tmp_path, SAMPLES / name)
    (tmp_path / "broken.record.json").write_text("{}")
    with serving(tmp_path) as served:
        page.goto(served.address)
        rows = page.locator("tbody tr")
        expect(rows).to_have_count(4)
        # The bouts where answers gain most come first; what cannot be opened has no gain.
        told = [rows.nth(k).locator("td").all_inner_texts() for k in range(4)]
        gains = [float(cells[6]) for cells in told if len(cells) > 6 and cells[6].strip()]
        assert len(gains) == 3
        assert gains == sorted(gains, reverse=True)
        expect(page.locator("tr", has_text="broken")).to_contain_text("cannot be opened")
        assert findings(page) == []
        page.get_by_role("link", name="shed-notes").click()
        expect(page.locator("#doubts-h")).to_be_visible()
        page.get_by_role("link", name="All bouts").click()
        expect(rows).to_have_count(4)


HOSTILE = [
    "<script>window.hit = 1</script><img src=x onerror='window.hit = 1'>",
    "' onmouseover='window.hit=1' data-decision='{\"do\": \"undo\"}",
    "{{ 7 * 7 }} </script> \u202edesrever \u2067\u05e9\u05dc\u05d5\u05dd\u2069 \U0001f93c",
]


def test_hostile_text_shows_as_text(page: Page, tmp_path: Path) -> None:
    said = ["Two points red, takedown", "Two nil", "Step-out blue, one point", "Two-one"]
    lines = [f"{HOSTILE[k % 3]} {words}" for k, words in enumerate(said * 2)]
    cues = [
        f"{k}\n00:00:{5 * k:02d},000 --> 00:00:{5 * k + 4:02d},000\n{line}\n"
        for k, line in enumerate(lines, 1)
    ]
    (tmp_path / "x").mkdir()
    source = tmp_path / "x" / "bout <b>'x'.srt"
    source.write_text("\n".join(cues), encoding="utf-8")
    names = f"[red]\nname = {json.dumps(HOSTILE[0])}\n[blue]\nname = {json.dumps(HOSTILE[1])}\n"
    source.with_name("bout <b>'x'.bout.toml").write_text(f'rules = "freestyle"\n{names}', encoding="utf-8")
    folder = tmp_path / "y"
    folder.mkdir()
    name = put(folder, source)
    with serving(folder, name, by=HOSTILE[0]) as served:
        page.goto(served.address)
        for _ in range(2):
            assert page.evaluate("() => window.hit") is None
            assert page.locator("img, #view script, #view b script").count() == 0
            assert HOSTILE[0] in page.locator(".plate").inner_text()
            assert "{{ 7 * 7 }}" in page.locator("#talk").inner_text()
            page.locator("tbody.entry a.at").first.focus()
            Hand(page).decide("o")
        assert HOSTILE[0] in page.locator("#decided").inner_text()
        assert sticking_out(page) == []


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
def test_axe_finds_nothing_serious_and_nothing_sticks_out(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    Hand(page).decide("j", "Enter")
    page.locator("tbody.entry a.at").nth(2).focus()
    page.keyboard.press("m")
    assert findings(page) == []
    assert sticking_out(page) == []
    page.locator("#cue-12 a.time").focus()
    page.keyboard.press("a")
    assert findings(page) == []


def test_the_keyboard_reaches_everything(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    walked = walk(page)
    assert walked.stops > 50
    assert walked.unmarked == []


def test_enter_saves_what_a_form_says(page: Page, desk: Served) -> None:
    """Another choice by keyboard, then Enter: what the form says is saved."""
    page.goto(desk.address)
    event = next(e for e in desk.record(LANTERN).events if e.kind == "takedown")
    page.locator(f"#{event.id} a.at").focus()
    hand = Hand(page)
    hand.press("m")
    expect(page.locator(f"#change-{event.id} select")).to_be_focused()
    hand.press("s")
    hand.decide("Enter")
    assert [e.kind for e in desk.record(LANTERN).events if e.decided] == ["step_out"]


def test_escape_leaves_a_form_as_it_was(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    event = next(e for e in desk.record(LANTERN).events if e.kind == "takedown")
    link = page.locator(f"#{event.id} a.at")
    link.focus()
    Hand(page).press("m", "s", "Escape")
    expect(page.locator(f"#change-{event.id} select")).to_be_hidden()
    expect(link).to_be_focused()
    assert not desk.record(LANTERN).decisions
    Hand(page).press("m")
    expect(page.locator(f"#change-{event.id} select")).to_have_value(f"{event.kind}|{event.points}")


def test_undo_and_redo_are_grey_where_there_is_nothing(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    undo, redo = page.get_by_role("button", name="Undo", exact=False).first, page.locator("#redo")
    expect(page.locator("#undo")).to_be_disabled()
    expect(redo).to_be_disabled()
    Hand(page).decide("j", "Enter")
    expect(page.locator("#progress")).to_contain_text("1 of ")
    expect(undo).to_be_enabled()
    told = page.locator("#progress").inner_text()
    Hand(page).decide("u")
    expect(redo).to_be_enabled()
    # An answer is not counted once more when it is undone or redone.
    Hand(page).decide("U")
    expect(page.locator("#progress")).to_have_text(told)


def test_a_dialog_shows_the_line_as_it_was_said(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    page.locator(".cue.marked a.time").first.click()
    page.keyboard.press("a")
    shown = page.locator("#add-event .line").inner_text()
    assert shown
    assert "confidence" not in shown


def test_each_key_has_one_meaning_and_none_is_a_code_of_the_sport(page: Page, desk: Served) -> None:
    """T, E, R and N are how scorers write takedown, escape, reversal and near fall (common practice)."""
    page.goto(desk.address)
    listed = page.evaluate("() => [...document.querySelectorAll('.keys li')].map((li) => li.dataset.names)")
    names = [name for each in listed for name in each.split(" ")]
    assert len(names) == len(set(names))
    used = set(page.evaluate("() => [...document.querySelectorAll('[data-key]')].map((b) => b.dataset.key)"))
    assert used <= set(names)
    assert not {"t", "e", "r", "n", "w", "l", "f", "s", "p", "d", "c"} & set(names)


def test_no_question_has_two_answers_that_are_the_same(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    for entry in page.locator("#doubts .entry").all():
        buttons = entry.locator("button[data-decision]")
        decisions = buttons.evaluate_all("(all) => all.map((b) => b.dataset.decision)")
        words = buttons.evaluate_all("(all) => all.map((b) => b.textContent)")
        assert len(set(decisions)) == len(decisions)
        assert len(set(words)) == len(words)


def test_a_question_stays_in_the_window_with_its_lines(page: Page, desk: Served) -> None:
    page.goto(desk.address)
    for _ in range(4):
        page.keyboard.press("j")
        chosen = page.locator("#doubts .entry.chosen")
        expect(chosen.locator(".around p")).to_have_count(7)
        box = chosen.bounding_box()
        assert box is not None
        assert 0 <= box["y"] < 900


def test_a_page_for_fingers_names_no_keys(browser: Browser, desk: Served) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto(desk.address)
    expect(page.locator("#doubts .key").first).to_be_visible()
    assert "Press" not in page.locator("#doubts").inner_text()
    assert page.locator("kbd:visible").count() == 0
    shown = page.locator("#doubts button:visible").all()
    assert shown
    assert all((box := button.bounding_box()) is not None and box["height"] >= 44 for button in shown)
    page.close()
