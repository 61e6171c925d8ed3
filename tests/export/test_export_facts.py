"""The fact sheet: golden text, and whatever a transcript may hold in both forms."""

from __future__ import annotations

import re
import unicodedata
from html.parser import HTMLParser

import pytest
from export_samples import LANTERN, sample_bouts
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from extract.export.facts import fact_sheet
from extract.export.facts_html import facts_html
from extract.export.facts_text import WIDTH, facts_text
from extract.record import NOTE, Record, Result, SideInfo, from_json
from extract.record.model import BoutInfo
from extract.transcript import Transcript
from tests.record.record_example import make_record, make_statement

GOLDEN = """\
Fact sheet: Brannoway against Skelvara

Bout:                Ottilie Brannoway (red, Gannet Row) against Junia Skelvara
                     (blue, Cooper's Slip)
Rules:               freestyle, edition 2026
Result as computed:  Skelvara 6-6 by criteria, VPO1 3:1 (confidence 0.92)
Said at the end:     6-6, level
Transcript:          lantern-final.srt

A computed score is a reading of commentary, not an official result; the
officials' score sheet stands.

Scores said on air: 13 (10 right, 3 wrong, 0 unclear)

1:04  right  "four-nothing": 4-0 to Skelvara, as on the board
1:27  wrong  "four-nothing": 4-0 to Skelvara
             the board showed 2-0 to Skelvara
             Correction: it is 2-0 to Skelvara.
1:35  right  "Two-nothing": 2-0 to Skelvara, as on the board
2:29  right  "Two-one": 2-1 to Skelvara, as on the board
3:07  wrong  "three to two": 3-2 to Skelvara
             the board showed 3-2 to Brannoway
             Correction: it is 3-2 to Brannoway.
3:51  right  "Three-two": 3-2 to Brannoway, as on the board
4:51  right  "Three apiece": 3-3, level, as on the board
6:03  right  "Five-three": 5-3 to Brannoway, as on the board
6:31  right  "six-three": 6-3 to Brannoway, as on the board
7:11  wrong  "Six-four": 6-4 to Brannoway
             the board showed 6-5 to Brannoway
             Correction: it is 6-5 to Brannoway.
7:19  right  "Six-five": 6-5 to Brannoway, as on the board
7:40  right  "Six-six": 6-6, level, as on the board
8:04  right  "Six-all": 6-6, level, as on the board
"""
HOSTILE = '<script>alert(1)</script> [red]& "q" :smile: \x1b[2J\u202eשלום😀\nend --> {{ x }}'


class Page(HTMLParser):
    """The tags of a page with what they ask for, its text, and the rows of its table."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.shown: list[str] = []
        self.feed(page)
        self.text = " ".join("".join(self.shown).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [
            value or "" for name, value in attrs if name in ("src", "href", "action", "data", "srcset")
        ]

    def handle_data(self, data: str) -> None:
        if self.tags[-1:] != ["style"]:
            self.shown.append(data)


def hostile_record(text: str) -> Record:
    bout = BoutInfo(text, text, SideInfo(text, "heard", text, "heard"), SideInfo(text, "given", text), {})
    statements = (
        make_statement(1, 60.0, text=text),
        make_statement(2, 61.0, text=text, verdict="unclear", said=None, margin=2, leader="blue"),
    )
    record = make_record(bout=bout, statements=statements, note=text)
    source = type(record.source)(text, "srt", "0" * 64, 2, 90.0)
    return make_record(bout=bout, statements=statements, note=text, source=source)


def test_golden() -> None:
    assert facts_text(fact_sheet(from_json(LANTERN))) == GOLDEN


def test_page_says_the_same() -> None:
    page = facts_html(fact_sheet(from_json(LANTERN)))
    text = Page(page).text
    assert NOTE in text
    assert "Scores said on air: 13 (10 right, 3 wrong, 0 unclear)" in text
    row = next(line for line in page.splitlines() if "three to two" in line)
    cells = [re.sub(r"<.*?>", "", cell) for cell in row.split("</td>")]
    assert cells[:5] == (
        [
            "3:07",
            "wrong",
            "three to two: 3-2 to Skelvara",
            "3-2 to Brannoway",
            "Correction: it is 3-2 to Brannoway.",
        ]
    )


@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_only_what_was_wrong_is_corrected_and_briefly(bout: tuple[Record, Transcript]) -> None:
    record = bout[0]
    sheet = fact_sheet(record)
    assert len(sheet.facts) == len(record.statements)
    for fact in sheet.facts:
        assert bool(fact.correction) == (fact.verdict == "wrong")
        assert len(fact.correction.split()) <= 8
    assert all(cell_len(line) <= WIDTH for line in facts_text(sheet).splitlines())


def test_page_asks_for_nothing_from_outside() -> None:
    page = facts_html(fact_sheet(hostile_record(HOSTILE)))
    parsed = Page(page)
    assert parsed.links == []
    assert not {"script", "link", "img", "iframe", "object"} & set(parsed.tags)
    assert "url(" not in page
    assert "@import" not in page
    assert "default-src 'none'" in page
    assert "prefers-color-scheme" in page or "color-scheme: light dark" in page
    assert "@media print" in page


def test_hostile_text_shows_as_text() -> None:
    sheet = fact_sheet(hostile_record(HOSTILE))
    # Right-to-left words stand between isolates, which nobody sees.
    shown = '<script>alert(1)</script> [red]& "q" :smile: [2Jשלום😀 end --> {{ x }}'
    assert shown in Page(facts_html(sheet)).text
    text = facts_text(sheet)
    assert "[red]&" in text
    assert ":smile:" in text
    assert not {"\x1b", "\u202e"} & set(text)


@given(st.text(max_size=120))
def test_any_text_keeps_the_form(text: str) -> None:
    sheet = fact_sheet(hostile_record(text))
    plain, page = facts_text(sheet), facts_html(sheet)
    assert all(cell_len(line) <= WIDTH for line in plain.splitlines())
    assert not any(unicodedata.category(c) in ("Cc", "Cs") for c in (plain + page).replace("\n", ""))
    assert Page(page).tags == Page(facts_html(fact_sheet(hostile_record("a")))).tags


def test_result_and_names_that_are_not_known() -> None:
    bout = BoutInfo("freestyle", "2022", SideInfo(), SideInfo("Tamsel Brackett", "heard"), {})
    record = make_record(bout=bout, result=Result(None, "unknown", (2, 2), None, 0.4), statements=())
    text = facts_text(fact_sheet(record))
    assert "no name (red) against Tamsel Brackett (blue, name as heard)" in text
    assert "Result as computed:  2-2, level; the winner is not known\n" in text
    assert "Said at the end" not in text
    assert text.endswith("Scores said on air: 0 (0 right, 0 wrong, 0 unclear)\n")
    assert "<table>" not in facts_html(fact_sheet(record))


@pytest.mark.parametrize(
    ("changed", "line"),
    [
        ({"said": None, "margin": 2, "leader": "blue"}, '"so": Brackett ahead by 2'),
        ({"said": None, "margin": 0}, '"so": level'),
        ({"said": None, "leader": "red"}, '"so": Varnholt ahead'),
        ({"said": None, "margin": 3}, '"so": one side ahead by 3'),
        ({"said": (1, 0), "computed": (0, 0)}, "Correction: there is no score yet."),
        ({"said": (1, 0), "computed": (2, 2)}, "Correction: it is level at 2-2."),
        ({"said": (1, 0), "computed": (1, 4)}, "Correction: it is 4-1 to Brackett."),
    ],
)
def test_what_was_said_in_other_ways(changed: dict[str, object], line: str) -> None:
    record = make_record(statements=(make_statement(1, 60.0, text="so", **changed),))
    assert line in facts_text(fact_sheet(record))
