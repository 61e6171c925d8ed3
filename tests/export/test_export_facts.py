"""The fact sheet: golden text, and whatever a transcript may hold in every form."""

from __future__ import annotations

import csv
import io
import json
import re
import unicodedata
from html.parser import HTMLParser
from pathlib import Path

import pytest
from export_samples import LANTERN, LANTERN_TALK, run, sample_bouts
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from extract import read_transcript
from extract.export.facts import fact_sheet
from extract.export.facts_html import facts_html
from extract.export.facts_text import WIDTH, facts_text
from extract.record import NOTE, Record, Result, SideInfo, from_json
from extract.record.model import BoutInfo, Source
from extract.record.plain import printable
from extract.record.said_table import COLUMNS
from extract.transcript import Transcript
from tests.record.record_example import make_record, make_statement

GOLDEN = """\
Fact sheet: Brannoway against Skelvara

13 scores stated: 10 right, 3 wrong

Bout:                Ottilie Brannoway (red, Gannet Row) against Junia Skelvara
                     (blue, Cooper's Slip)
Result as computed:  Skelvara wins 6-6 on criteria (VPO1 3:1); confidence 92 %
Rules:               Freestyle, rules of 2026
Why:                 Level at 6-6: two 2-point scores each; no cautions; last
                     technical point Skelvara, 7:35
Said at the end:     6-6
Transcript:          lantern-final.srt

A computed score is a reading of commentary, not an official result; the
officials' score sheet stands.

Wrong

3:07, period 1, about 0:40 left: WRONG WRESTLER (confidence 94 %)
  "So Skelvara, three to two, under pressure for the first time tonight."
  said 3-2 Skelvara; should be 3-2 Brannoway
  Right numbers, wrong wrestler: it is 3-2 Brannoway.
  Correction: it was 3-2 to Brannoway.

1:27, period 1, about 2:14 left: OLD SCORE (confidence 90 %)
  "Back to wrestling in the middle, then, Skelvara with the four-nothing lead
  and all the confidence."
  said 4-0 Skelvara; should be 2-0 Skelvara
  Out of date: Skelvara's exposure (2) was overturned on challenge at 1:20.
  Correction: it was 2-0 to Skelvara.

7:11, period 2, about 0:44 left: WRONG SCORE (confidence 87 %)
  "No, stood up. Six-four, Brannoway, and hanging on."
  said 6-4 Brannoway; should be 6-5 Brannoway
  6-4 Brannoway never was the score: after Skelvara's takedown (2) at 6:53 it is
  6-5 Brannoway.
  Correction: it was 6-5 to Brannoway.

Right

1:04  4-0 Skelvara   "four-nothing"
1:35  2-0 Skelvara   "Two-nothing"
2:29  2-1 Skelvara   "Two-one"
3:51  3-2 Brannoway  "Three-two"
4:51  3-3            "Three apiece"
6:03  5-3 Brannoway  "Five-three"
6:31  6-3 Brannoway  "six-three"
7:19  6-5 Brannoway  "Six-five"
7:40  6-6            "Six-six"
8:04  6-6            "Six-all"
"""
HOSTILE = '<script>alert(1)</script> [red]& "q" :smile: \x1b[2J\u202eשלום😀\nend --> {{ x }}'
#: The same as it is shown.
SHOWN = '<script>alert(1)</script> [red]& "q" :smile: [2Jשלום😀 end --> {{ x }}'


class Page(HTMLParser):
    """The tags of a page with what they ask for, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.shown: list[str] = []
        self.feed(page)
        # Right-to-left words stand between isolates, which nobody sees.
        self.text = " ".join("".join(self.shown).translate({0x2068: "", 0x2069: ""}).split())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [
            value or "" for name, value in attrs if name in ("src", "href", "action", "data", "srcset")
        ]

    def handle_data(self, data: str) -> None:
        if self.tags[-1:] not in (["style"], ["script"]):
            self.shown.append(data)


def hostile_record(text: str) -> Record:
    bout = BoutInfo(text, text, SideInfo(text, "heard", text, "heard"), SideInfo(text, "given", text), {})
    statements = (
        make_statement(1, 60.0, text=text),
        make_statement(2, 61.0, text=text, verdict="unclear", said=None, margin=2, leader="blue"),
        make_statement(3, 62.0, text=text, verdict="agrees"),
    )
    source = Source(text, "srt", "0" * 64, 2, 90.0)
    return make_record(bout=bout, statements=statements, note=text, source=source)


def test_golden() -> None:
    assert facts_text(fact_sheet(from_json(LANTERN), read_transcript(LANTERN_TALK))) == GOLDEN


def test_without_its_transcript_the_sheet_has_the_words() -> None:
    text = facts_text(fact_sheet(from_json(LANTERN)))
    assert '  "three to two"\n' in text
    assert "under pressure" not in text


def test_page_says_the_same() -> None:
    text = Page(facts_html(fact_sheet(from_json(LANTERN), read_transcript(LANTERN_TALK)))).text
    for part in (
        NOTE,
        "13 scores stated: 10 right, 3 wrong",
        "Skelvara wins 6-6 on criteria (VPO1 3:1); confidence 92 %",
        "wrong wrestler 3:07, period 1, about 0:40 left",
        "confidence 94 %",
        "So Skelvara, three to two, under pressure for the first time tonight.",
        "Correction: it was 3-2 to Brannoway.",
        "Two-nothing",
    ):
        assert part in text, part
    assert text.index("wrong wrestler") < text.index("old score") < text.index("Two-nothing")


@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_only_what_was_wrong_is_corrected_and_briefly(bout: tuple[Record, Transcript]) -> None:
    sheet = fact_sheet(*bout)
    assert all(len(fact.correction.split()) <= 8 for fact in sheet.wrong)
    assert all(fact.correction for fact in sheet.wrong)
    assert not any(fact.correction for fact in (*sheet.unclear, *sheet.right))
    assert all(cell_len(line) <= WIDTH for line in facts_text(sheet).splitlines())


@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_the_whole_line_is_found_for_all_words(bout: tuple[Record, Transcript]) -> None:
    """The rows of notes and the lines of captions alike."""
    sheet = fact_sheet(*bout)
    plain = fact_sheet(bout[0])
    facts = [*sheet.wrong, *sheet.unclear, *sheet.right]
    assert [f.spoken.words for f in facts] == [
        f.spoken.words for f in (*plain.wrong, *plain.unclear, *plain.right)
    ]
    assert sum(bool(f.spoken.before or f.spoken.after) for f in facts) > len(facts) / 2


def test_page_asks_for_nothing_from_outside() -> None:
    page = facts_html(fact_sheet(hostile_record(HOSTILE)))
    parsed = Page(page)
    assert parsed.links == []
    assert parsed.tags.count("script") == 1
    assert not {"link", "img", "iframe", "object"} & set(parsed.tags)
    assert "url(" not in page
    assert "@import" not in page
    assert "default-src 'none'" in page
    assert re.search(r"script-src 'sha256-[\w+/=]+'", page)
    assert "prefers-color-scheme" in page
    assert "@media print" in page


def test_hostile_text_shows_as_text() -> None:
    sheet = fact_sheet(hostile_record(HOSTILE))
    assert SHOWN in Page(facts_html(sheet)).text
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
    if printable(text):
        assert Page(page).tags == Page(facts_html(fact_sheet(hostile_record("a")))).tags


def test_result_and_names_that_are_not_known() -> None:
    bout = BoutInfo("freestyle", "2022", SideInfo(), SideInfo("Tamsel Brackett", "heard"), {})
    result = Result(None, "unknown", (2, 2), None, 0.4)
    record = make_record(bout=bout, result=result, statements=(), flags=())
    text = facts_text(fact_sheet(record))
    assert "\nNo scores stated\n" in text
    assert "no name (red) against Tamsel Brackett (blue, name as heard)" in " ".join(text.split())
    assert "Result as computed:  2-2, winner not known; confidence 40 %\n" in text
    assert "Said at the end" not in text
    page = facts_html(fact_sheet(record))
    assert not {"table", "article"} & set(Page(page).tags)


@pytest.mark.parametrize(
    ("changed", "line"),
    [
        (
            {"said": None, "margin": 2, "leader": "blue", "verdict": "unclear"},
            "said Brackett ahead by 2; computed",
        ),
        ({"said": None, "margin": 0, "verdict": "agrees"}, "level"),
        ({"said": None, "leader": "red", "verdict": "agrees"}, "Varnholt ahead"),
        ({"said": (1, 0), "computed": (0, 0)}, "Correction: there was no score yet."),
        ({"said": (1, 0), "computed": (2, 2)}, "Correction: it was level at 2-2."),
        ({"said": (1, 0), "computed": (1, 4)}, "Correction: it was 4-1 to Brackett."),
    ],
)
def test_what_was_said_in_other_ways(changed: dict[str, object], line: str) -> None:
    record = make_record(statements=(make_statement(1, 60.0, text="so", **changed),), flags=())
    assert line in facts_text(fact_sheet(record))


def test_the_tables_have_the_right_ones_too(tmp_path: Path) -> None:
    done = run("facts", LANTERN, "--csv", "--transcript", LANTERN_TALK)
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert list(rows[0]) == list(COLUMNS)
    assert [row["verdict"] for row in rows] == ["wrong"] * 3 + ["right"] * 10
    assert {row["bout"] for row in rows} == {"lantern-final"}
    objects = [json.loads(line) for line in run("facts", LANTERN, "--json").stdout.splitlines()]
    assert [str(o["said"]) for o in objects] == [row["said"] for row in rows]
    assert objects[0]["correction"] == "Correction: it was 3-2 to Brannoway."
    assert objects[-1]["correction"] is None


def test_forms_that_exclude_each_other_are_refused() -> None:
    done = run("facts", LANTERN, "--html", "--csv")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == "saidscore: --csv: does not go with --html; give one of them\n"


def test_another_transcript_is_refused_only_where_it_is_given(tmp_path: Path) -> None:
    other = tmp_path / "other.srt"
    other.write_text(LANTERN_TALK.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    done = run("facts", LANTERN, "--transcript", other)
    assert (done.exit_code, done.stdout) == (2, "")
    assert "is not the transcript" in done.stderr
    record = tmp_path / "lantern-final.record.json"
    record.write_bytes(LANTERN.read_bytes())
    (tmp_path / "lantern-final.srt").write_bytes(other.read_bytes())
    done = run("facts", record)
    assert done.exit_code == 0
    assert "under pressure" not in done.stdout
    (tmp_path / "lantern-final.srt").write_bytes(LANTERN_TALK.read_bytes())
    assert "under pressure" in run("facts", record).stdout
