"""The report: a page that stands alone, shows every entry of the record, and lets nothing of the talk be more than text."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract import extract_bout
from extract.cli.app import app
from extract.record.model import PassedOver, Record, Search, SideInfo, Stretch
from extract.report import report_page
from extract.report.marks import Aside, Piece, marked_cues
from extract.report.plot import save_plot
from extract.report.timeline import timeline
from extract.transcript import Cue, Transcript
from tests import samples
from tests.samples import NAMES

SAMPLES = Path(__file__).parents[2] / "sample_transcripts"
#: Elements without an end tag (HTML Living Standard, 13.1.2, void elements).
VOID = {"meta", "input", "link", "br", "img", "hr"}


def sample(name: str) -> tuple[Record, Transcript]:
    transcript, _, record = samples.sample(name)
    return record, transcript


def marked(record: Record, transcript: Transcript) -> list[tuple[str, Piece]]:
    """Each id with the piece of the talk that is marked for it."""
    pieces = [piece for cue in marked_cues(record, transcript) for piece in cue.pieces]
    return [(ref, piece) for piece in pieces if piece.mark is not None for ref in piece.mark.refs]


class Page(HTMLParser):
    """What a page holds: ids, what links lead to, addresses that are asked for, elements that were left open."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.targets: list[str] = []
        self.asked: list[str] = []
        self.open: list[str] = []
        self.tags: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {key: value or "" for key, value in attrs}
        self.tags.append(tag)
        if "id" in found:
            self.ids.append(found["id"])
        for key in ("src", "href"):
            if found.get(key, "").startswith("#"):
                self.targets.append(found[key][1:])
            elif found.get(key):
                self.asked.append(found[key])
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1] == tag, (tag, self.open)
        self.open.pop()

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()


@pytest.mark.parametrize("name", NAMES)
def test_page_is_whole_and_asks_for_nothing(name: str) -> None:
    page = Page(report_page(*sample(name)))
    assert page.open == []
    assert page.asked == []
    assert len(page.ids) == len(set(page.ids))
    assert set(page.targets) <= set(page.ids)
    assert page.tags.count("script") == 1


@pytest.mark.parametrize("name", NAMES)
def test_everything_of_the_record_has_its_place(name: str) -> None:
    record, transcript = sample(name)
    page = Page(report_page(record, transcript))
    assert {flag.id for flag in record.flags} <= set(page.ids)
    assert {event.id for event in record.events if event.points} <= set(page.ids)
    assert {challenge.id for challenge in record.challenges} <= set(page.ids)
    found = {ref for ref, _ in marked(record, transcript)}
    assert {statement.id for statement in record.statements} <= found
    assert {event.id for event in record.events if event.evidence} <= found
    assert {reading.id for reading in record.clock} <= found


@pytest.mark.parametrize("name", NAMES)
def test_the_talk_is_shown_word_for_word(name: str) -> None:
    record, transcript = sample(name)
    for shown, cue in zip(marked_cues(record, transcript), transcript.cues, strict=True):
        assert "".join(piece.text for piece in shown.pieces) == cue.text
        assert (shown.start, shown.end) == (cue.start, cue.end)


def test_a_mark_is_on_the_words_of_the_evidence() -> None:
    record, transcript = sample("lantern-final.srt")
    words = {
        ref: piece.text
        for cue in marked_cues(record, transcript)
        for piece in cue.pieces
        if piece.mark
        for ref in piece.mark.refs
    }
    for statement in record.statements:
        assert words[statement.id] == statement.text


def test_the_drawing_shows_the_board_and_what_was_said() -> None:
    record, _ = sample("lantern-final.srt")
    drawn = timeline(record)
    assert [steps.label for steps in drawn.steps] == ["red 6", "blue 6"]
    assert len([dot for dot in drawn.dots if "event" in dot.sort]) == sum(
        1 for e in record.events if e.points
    )
    wrong = [dot.text for dot in drawn.dots if "disagrees" in dot.sort]
    assert wrong == ["0-4", "2-3", "6-4"]
    assert [band.label for band in drawn.periods] == ["Period 1", "Period 2"]
    assert [band.label for band in drawn.challenges] == ["red: won", "blue: lost"]
    assert all(0 <= dot.x <= 1000 and 0 <= dot.y <= 330 for dot in drawn.dots)


HOSTILE = [
    "<script>alert(1)</script> two for red",
    "</style><img src=x onerror=alert(1)> takedown, blue, two points",
    "\u202ered eht rof owt\u202c {{ 7*7 }} {% raw %} \U0001f93c two-nothing red",
    "\"'><svg/onload=alert(1)> challenge & <!-- -->",
]


def test_hostile_talk_stays_text() -> None:
    cues = tuple(Cue(n + 1, 10.0 * n, 10.0 * n + 5, text, "<b>me</b>") for n, text in enumerate(HOSTILE))
    transcript = Transcript("<i>.srt", "srt", "0" * 64, cues)
    record = extract_bout(transcript, rules="freestyle", red="<script>red</script>", blue='Bl&ue "B"')
    text = report_page(record, transcript)
    page = Page(text)
    assert page.tags.count("script") == 1
    assert not {"img", "i"} & set(page.tags)
    assert "{{ 7*7 }}" in text
    assert not re.search(r"<[^>]*\son\w+=", text)


def test_the_axes_have_few_marks_whatever_the_numbers() -> None:
    record, _ = sample("lantern-final.srt")
    for most, seconds in ((10**8, 1e9), (2**53 - 1, 1e300), (700, 40_000.0)):
        board = (*record.board, replace(record.board[-1], red=most))
        drawn = timeline(replace(record, board=board, source=replace(record.source, seconds=seconds)))
        assert 2 <= len(drawn.levels) <= 8
        assert 2 <= len(drawn.ticks) <= 14


def test_a_guessed_record_says_so_at_the_head() -> None:
    record, transcript = sample("lantern-final.srt")
    told = "Mostly guessed: few of the awards were called; check before use."
    assert told not in report_page(replace(record, search=Search(0.0)), transcript)
    guessed = report_page(replace(record, search=Search(0.0, ("much guessed",))), transcript)
    assert guessed.index("<h1>") < guessed.index(told) < guessed.index("</header>")


def test_an_entry_without_an_id_is_shown_all_the_same() -> None:
    record, transcript = sample("lantern-final.srt")
    nameless = replace(record, challenges=tuple(replace(c, id="") for c in record.challenges))
    assert record.challenges
    assert "<svg" in report_page(nameless, transcript)


def test_log_writes_the_report(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        app, ["log", str(SAMPLES / "shed-notes.csv"), "--report", "--out", str(tmp_path)]
    )
    assert result.exit_code == 0
    page = tmp_path / "shed-notes.report.html"
    assert f"and 4 tables, {page}" in result.stdout
    assert page.read_text("utf-8").startswith("<!doctype html>")


def test_report_makes_the_same_page_from_the_record(tmp_path: Path) -> None:
    talk = SAMPLES / "shed-notes.csv"
    made = CliRunner().invoke(app, ["log", str(talk), "--report", "--out", str(tmp_path), "--quiet"])
    assert made.exit_code == 0
    record, page = tmp_path / "shed-notes.record.json", tmp_path / "shed-notes.report.html"
    first = page.read_text("utf-8")
    page.unlink()
    result = CliRunner().invoke(app, ["report", str(record), "--transcript", str(talk)])
    assert (result.exit_code, result.stdout) == (0, f"Written: {page}\n")
    assert page.read_text("utf-8") == first


def test_report_without_its_transcript_is_one_line(tmp_path: Path) -> None:
    made = CliRunner().invoke(
        app, ["log", str(SAMPLES / "shed-notes.csv"), "--out", str(tmp_path), "--quiet"]
    )
    assert made.exit_code == 0
    result = CliRunner().invoke(app, ["report", str(tmp_path / "shed-notes.record.json")])
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert not list(tmp_path.glob("*.html"))


def test_a_ten_minute_bout_is_a_small_page() -> None:
    """600 KB was asked for a ten-minute bout; the sample of the longest talk is twelve."""
    assert max(len(report_page(*page).encode()) for page in map(sample, NAMES)) < 200_000


@pytest.mark.parametrize(("name", "magic"), [("bout.png", b"\x89PNG\r\n\x1a\n"), ("bout.svg", b"<?xml")])
def test_the_score_as_a_picture(tmp_path: Path, name: str, magic: bytes) -> None:
    """The signature of a PNG file is that of the PNG specification, section 5.2."""
    talk = str(SAMPLES / "lantern-final.srt")
    pictures = []
    for _ in range(2):
        result = CliRunner().invoke(
            app, ["log", talk, "--out", str(tmp_path), "--quiet", "--plot", str(tmp_path / name)]
        )
        assert result.exit_code == 0, result.output
        pictures.append((tmp_path / name).read_bytes())
    assert pictures[0].startswith(magic)
    assert pictures[0] == pictures[1]
    assert not list(tmp_path.glob(".*"))


def test_a_picture_of_the_svg_says_what_was_said_wrongly(tmp_path: Path) -> None:
    record, _ = sample("lantern-final.srt")
    names = {"red": SideInfo("$x^2$ & <b>"), "blue": SideInfo("B")}
    hostile = replace(record, bout=replace(record.bout, **names))
    save_plot(hostile, tmp_path / "a.svg")
    text = (tmp_path / "a.svg").read_text("utf-8")
    assert "said 0-4" in text
    assert "<b>" not in text


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["lantern-final.srt", "--plot", "a.gif"], "end it with .png or .svg"),
        (["lantern-final.srt", "shed-notes.csv", "--plot", "a.png"], "one picture cannot show 2 bouts"),
        (["lantern-final.srt", "--plot", "nowhere/a.png"], "its folder does not exist"),
    ],
)
def test_a_picture_that_cannot_be(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, args: list[str], told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    given = [str(SAMPLES / arg) if (SAMPLES / arg).is_file() else arg for arg in args]
    result = CliRunner().invoke(app, ["log", *given])
    assert result.exit_code == 2
    assert told in result.stderr
    assert list(tmp_path.iterdir()) == []


def aside_talk() -> tuple[Record, Transcript]:
    """Three lines: live talk, then another bout from within the first line to within the third."""
    record, _ = sample("lantern-final.srt")
    lines = ("Takedown, two! Last year", "she lost six four.", "At the break, too. Two-nothing.")
    cues = tuple(Cue(n + 1, 5.0 * n, 5.0 * n + 4, line) for n, line in enumerate(lines))
    stretches = (
        Stretch(0.0, 3.0, 1, 0, 1, 14, "live", 0.9),
        Stretch(3.0, 13.0, 1, 15, 3, 18, "another bout", 0.8),
        Stretch(13.0, 14.0, 3, 19, 3, 31, "live", 0.7),
    )
    bare = replace(
        record,
        events=(),
        statements=(),
        challenges=(),
        clock=(),
        flags=(),
        doubts=(),
        stretches=stretches,
        passed_over=(),
    )
    return bare, Transcript("talk.srt", "srt", "", cues)


def test_words_that_are_not_live_say_so_in_each_line() -> None:
    first, second, third = marked_cues(*aside_talk())
    bout = Aside("another bout", 0.8)
    assert first.pieces == (Piece("Takedown, two! "), Piece("Last year", None, bout, opens=True))
    assert second.pieces == (Piece("she lost six four.", None, bout, opens=True),)
    assert third.pieces == (Piece("At the break, too.", None, bout, opens=True), Piece(" Two-nothing."))


def test_asides_change_no_word_of_the_talk() -> None:
    for name in NAMES:
        record, transcript = sample(name)
        for cue, told in zip(transcript.cues, marked_cues(record, transcript), strict=True):
            assert "".join(piece.text for piece in told.pieces) == cue.text


def test_the_page_has_the_kind_its_chance_and_one_key() -> None:
    page = report_page(*aside_talk())
    assert page.count('data-kind="another bout" title="another bout: chance 0.80"') == 3
    assert page.count("In brackets: what words were taken for") == 1
    record, transcript = aside_talk()
    assert "passed over" not in page
    live = replace(record, stretches=())
    assert "In brackets" not in report_page(live, transcript)
    assert "data-kind=" not in report_page(live, transcript)


def test_scores_that_were_passed_over_are_listed_with_their_kind() -> None:
    record, transcript = aside_talk()
    passed = (
        PassedOver(5.0, 2, 9, 17, "six four", "another bout", 0.8),
        PassedOver(13.0, 3, 19, 30, "Two-nothing", "live", 0.7),
    )
    page = report_page(replace(record, passed_over=passed), transcript)
    assert "2 numbers like a score passed over" in page
    assert re.search(
        r'href="#cue-2" data-t="5.0">0:05</a> “<bdi>six four</bdi>”: another bout \(0.80\)', page
    )
    assert "<bdi>Two-nothing</bdi>”: live (0.70)" in page
