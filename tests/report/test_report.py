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
from extract.report.axis import levels, time_marks
from extract.report.chart import NARROW, PICTURE, WIDE, Room, chart
from extract.report.marks import Aside, Piece, marked_cues
from extract.report.picture import PAINTS, picture, save_picture
from extract.report.shapes import Drawing, Line, Words
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


def words(drawing: Drawing, sort: str) -> list[str]:
    """The texts of a sort in a drawing."""
    return [s.text for g in drawing.groups for s in g.shapes if isinstance(s, Words) and s.sort == sort]


@pytest.mark.parametrize("room", [WIDE, NARROW, PICTURE], ids=["wide", "narrow", "picture"])
def test_the_drawing_shows_the_score_and_what_was_said(room: Room) -> None:
    record, _ = sample("lantern-final.srt")
    drawn = chart(record, room)
    assert words(drawn, "end red") + words(drawn, "end blue") == ["Brannoway 6", "Skelvara 6"]
    assert words(drawn, "wrong-words")[:1] == ["said 4-0"]
    soft = words(drawn, "soft")
    assert {"Period 1", "Period 2", "Scores stated", "Challenges"} <= set(soft)
    assert "Brannoway: won" in soft
    hrefs = [group.href for group in drawn.groups if group.href]
    assert hrefs == [
        *(c.id for c in record.challenges), *(e.id for e in record.events if e.points),
        *(s.id for s in record.statements),
    ]  # fmt: skip
    wrong = [s.t for s in record.statements if s.verdict == "disagrees"]
    shapes = [s for g in drawn.groups for s in g.shapes]
    assert len([s for s in shapes if s.sort == "wrong"]) == 2 * len(wrong)
    assert [s.sort for s in shapes if "inferred" in s.sort] == ["steps red inferred", "event red inferred"]
    assert len([s for s in shapes if s.sort == "struck"]) == 2


@pytest.mark.parametrize("room", [WIDE, NARROW, PICTURE], ids=["wide", "narrow", "picture"])
@pytest.mark.parametrize("name", NAMES)
def test_the_shapes_are_inside_the_drawing(name: str, room: Room) -> None:
    drawn = chart(sample(name)[0], room)
    for shape in (s for g in drawn.groups for s in g.shapes):
        points = shape.points if isinstance(shape, Line) else [(shape.x, shape.y)]
        assert all(0 <= x <= drawn.width and 0 <= y <= drawn.height for x, y in points), shape


def test_every_sort_of_shape_has_its_paint() -> None:
    for name in NAMES:
        drawn = picture(sample(name)[0])
        assert {s.sort for g in drawn.groups for s in g.shapes} <= set(PAINTS)


def test_the_page_leads_with_who_won_and_why_then_what_was_said_wrong() -> None:
    record, transcript = sample("lantern-final.srt")
    page = report_page(record, transcript)
    order = [
        "<h1><bdi>Skelvara wins 6-6 on criteria</bdi></h1>",
        "Level at 6-6: two 2-point scores each; no cautions; last technical point Skelvara, 7:35.",
        "13 scores stated: 10 right, 3 wrong",
        "old score",
        "should be <strong>2-0 Skelvara</strong>",
        "Skelvara with the <mark>four-nothing</mark> lead",
        'data-copy="Correction: it was 2-0 to Skelvara."',
        "The score over time",
        "Score sheet",
    ]
    places = [page.index(part) for part in order]
    assert places == sorted(places)


@pytest.mark.parametrize("number", [1, 4, 20], ids="{} cues".format)
def test_a_talk_of_which_nothing_was_understood_shows_no_result(number: int) -> None:
    """A short one has no flag for it, but its 0-0 is no result either."""
    cues = tuple(Cue(n + 1, 20.0 * n, 20.0 * n + 4, f"A fine evening {n}.") for n in range(number))
    transcript = Transcript("quiet.srt", "srt", "0" * 64, cues)
    page = report_page(extract_bout(transcript), transcript)
    shown = page.partition("<body>")[2].partition("<script>")[0]
    assert "0-0" not in shown
    assert "<svg" not in shown
    assert f"found in the {number} cue{'' if number == 1 else 's'} of <bdi>quiet.srt</bdi>" in shown
    assert "<h1>Nothing was understood</h1>" in page
    assert f"A fine evening {min(number - 1, 3)}." in page.partition("</header>")[0]
    assert 'class="plate"' not in page
    assert re.search(r'<section id="timeline"[^>]* hidden>', page)
    assert re.search(r'<section id="sheet"[^>]* hidden>', page)


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
        assert 2 <= len(list(levels(most))) <= 8
        marks = list(time_marks(replace(record, source=replace(record.source, seconds=seconds)), seconds, 10))
        assert 2 <= len(marks) <= 12
        board = (*record.board, replace(record.board[-1], red=most))
        assert chart(
            replace(record, board=board, source=replace(record.source, seconds=seconds)), WIDE
        ).groups


def test_a_guessed_record_says_so_at_the_head() -> None:
    record, transcript = sample("lantern-final.srt")
    told = "Mostly guessed: few of the points were mentioned; check before use."
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


@pytest.mark.parametrize(("name", "magic"), [("bout.png", b"\x89PNG\r\n\x1a\n"), ("bout.svg", b"<svg ")])
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
    save_picture(hostile, tmp_path / "a.svg")
    text = (tmp_path / "a.svg").read_text("utf-8")
    assert "said 4-0" in text
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
    assert page.count('data-kind="another bout" title="another bout: confidence 80 %"') == 3
    assert page.count("What the words in brackets say") == 1
    record, transcript = aside_talk()
    assert "passed over" not in page
    live = replace(record, stretches=())
    assert "words in brackets" not in report_page(live, transcript)
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
        r'href="#cue-2" data-t="5.0">0:05</a> “<bdi>six four</bdi>”: another bout \(80 %\)', page
    )
    assert "<bdi>Two-nothing</bdi>”: live (70 %)" in page
