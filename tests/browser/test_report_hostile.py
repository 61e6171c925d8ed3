"""A transcript that would like to be more than text: in the browser it is text, whole and in its place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from extract import extract_bout
from extract.checks.words import score_text
from extract.record.bout_words import ending_text, short_sides
from extract.record.model import Record, SideInfo
from extract.record.plain import printable
from extract.transcript import Cue, Transcript
from tests.browser.pages import LOOKS, findings, sticking_out
from tests.browser.reports import open_report

RUN = "window.ran = true"
HOSTILE = [
    f"<script>{RUN}</script> takedown red, two points",
    f"</script><script>{RUN}</script> two-nothing red",
    f"</style><img src=x onerror='{RUN}'> takedown, blue, two points",
    f"\"'><svg/onload={RUN}> challenge from blue & <!-- --> &lt;b&gt; &amp;",
    f'" onmouseover="{RUN}" autofocus onfocus="{RUN}" x=\' two-two',
    f"<a href='javascript:{RUN}'>two for red</a> <iframe srcdoc='<script>parent.ran=true</script>'></iframe>",
    "{{7*7}} {% raw %} {# no #} ${7*7} <%= 7*7 %> #{7*7} four-two red",
    "\u202ered eht rof owt\u202c \u200f\u2067six\u2069 \u202bstep out blue\u202c one point",
    "ضربة مزدوجة، two points red, שתי נקודות",
    "\U0001f93c\u200d\u2642\ufe0f \U0001f1fa\U0001f1f3 e\u0301 Z\u0351\u036b\u0343\u036a two points blue",
    "\ufffd\u2400\x01\x1b[31m\x7f\u200b\ufeff six-two red",
    f"{'W' * 900} takedown red two points {'x' * 900}",
    "<textarea><title><plaintext><xmp><noscript><!--[if IE]> ]]> <?php echo 1 ?> three-two",
]
LONG = "Nobodywhoeverwrestledhadanameaslongasthisonehereis" * 4
NAMES = {
    "markup": (f"<script>{RUN}</script>", f"Bl&ue \"B\" 'q' <img src=x onerror={RUN}>"),
    "other": ("\u202eder\u202c אדום {{7*7}}", LONG),
}
FILE = f"<img src=x onerror={RUN}> {{{{7*7}}}} \u202eknil {'n' * 300}.srt"
SPEAKERS = [None, f"<b onclick={RUN}>me</b>", "\u202eme", LONG]


def hostile(names: tuple[str, str]) -> tuple[Record, Transcript]:
    cues = tuple(
        Cue(k + 1, 10.0 * k, 10.0 * k + 5, text, SPEAKERS[k % len(SPEAKERS)])
        for k, text in enumerate(HOSTILE)
    )
    transcript = Transcript(FILE, "srt", "0" * 64, cues)
    record = extract_bout(transcript, rules="freestyle", red=names[0], blue=names[1])
    # A record that comes from elsewhere has its names as they stand.
    bout = replace(record.bout, red=SideInfo(names[0]), blue=SideInfo(names[1]))
    flags = tuple(replace(flag, why=f"{flag.why} {HOSTILE[2]}") for flag in record.flags)
    return replace(record, bout=bout, flags=flags), transcript


@pytest.mark.parametrize("names", NAMES.values(), ids=NAMES)
def test_hostile_words_are_text(page: Page, tmp_path: Path, names: tuple[str, str]) -> None:
    page.add_init_script("window.ran = false")
    record, transcript = hostile(names)
    assert record.flags
    assert record.statements
    open_report(page, tmp_path, record, transcript)
    for mark in page.locator(".mark").all():
        mark.hover()
    for mark in page.locator(".mark").all():
        mark.focus()
    assert page.evaluate("() => window.ran") is False
    assert page.locator("script").count() == 1
    # Nothing but what the template makes: no element and no attribute came of the words.
    for made in ("img", "iframe", "textarea", "plaintext", "xmp", "noscript", "a[href^='javascript']"):
        expect(page.locator(made)).to_have_count(0)
    assert page.locator("svg").count() == 2
    attributes = page.evaluate(
        "() => [...document.querySelectorAll('*')].flatMap((el) => [...el.attributes]).map((a) => a.name)"
    )
    assert [name for name in set(attributes) if name.startswith("on") or name == "autofocus"] == []


@pytest.mark.parametrize("names", NAMES.values(), ids=NAMES)
def test_hostile_words_are_there_to_read(page: Page, tmp_path: Path, names: tuple[str, str]) -> None:
    record, transcript = hostile(names)
    open_report(page, tmp_path, record, transcript)
    for cue in transcript.cues:
        shown = page.locator(f"#cue-{cue.index} > span")
        expect(shown).to_be_visible()
        text = shown.evaluate(
            """(el) => {
              const copy = el.cloneNode(true);
              copy.querySelectorAll(".reading").forEach((reading) => reading.remove());
              return copy.textContent;
            }"""
        )
        assert text == (f"{cue.speaker}: " if cue.speaker else "") + cue.text
    # Of a name the marks that turn writing round are dropped, here as in the terminal.
    sides = short_sides(record)
    assert page.locator("h1").text_content() == ending_text(record, sides)
    assert page.title() == f"{sides.red} {score_text(record.result.score)} {sides.blue}"
    whole = page.locator(".plate").text_content() or ""
    assert all(printable(name) in whole for name in names)
    expect(page.locator(".facts bdi")).to_have_text(FILE)
    for flag in record.flags:
        assert flag.why in (page.locator(f"#{flag.id}").text_content() or "")
    for event in record.events:
        if event.points:
            assert event.why == page.locator(f"#{event.id} details bdi").text_content()


@pytest.mark.parametrize("page", LOOKS, indirect=True, ids=str)
@pytest.mark.parametrize("names", NAMES.values(), ids=NAMES)
def test_hostile_words_break_no_layout(page: Page, tmp_path: Path, names: tuple[str, str]) -> None:
    open_report(page, tmp_path, *hostile(names))
    assert sticking_out(page) == []
    page.locator(".mark").first.focus()
    assert sticking_out(page) == []
    assert findings(page) == []


def test_words_turned_round_turn_nothing_else_round(page: Page, tmp_path: Path) -> None:
    """A speaker's name that turns the writing round, and does not turn it back, ends with the name."""
    cues = (
        Cue(1, 0.0, 5.0, "takedown red, two points", "\u202eme"),
        Cue(2, 5.0, 9.0, "\u202eeno", "you"),
    )
    transcript = Transcript("a.srt", "srt", "0" * 64, cues)
    record = extract_bout(transcript, rules="freestyle", red="Ada", blue="Beryl")
    open_report(page, tmp_path, record, transcript)
    # Where the letters stand: those of what follows the name go from left to right.
    across = """(el) => {
      const texts = document.createTreeWalker(el, NodeFilter.SHOW_TEXT), out = [];
      for (let node; (node = texts.nextNode());)
        for (let k = 0; k < node.length; k++) {
          const range = document.createRange();
          range.setStart(node, k);
          range.setEnd(node, k + 1);
          const box = range.getBoundingClientRect();
          if (box.width && node.data[k].trim()) out.push([node.data[k], Math.round(box.left)]);
        }
      return out;
    }"""

    def places(selector: str, words: str) -> list[int]:
        letters = page.locator(selector).first.evaluate(across)
        text = "".join(letter for letter, _ in letters)
        at = text.index(words)
        return [left for _, left in letters[at : at + len(words)]]

    for selector, words in (
        ("#cue-1 > span", "takedown"), ("#cue-2", "you:"), ("#cue-2", "0:05"),
    ):  # fmt: skip
        found = places(selector, words)
        assert found == sorted(found), (selector, words)
    turned = places("#cue-2 > span", "eno")
    assert turned == sorted(turned, reverse=True)
