"""Captions with the score: the words come back through another program's reader and our own."""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace

import pysubs2
import pytest
from export_samples import LANTERN, LANTERN_TALK, sample_bouts
from hypothesis import assume, given
from hypothesis import strategies as st

from extract import read_transcript
from extract.export.captions import When, captions_srt, captions_vtt, text_lines
from extract.record import BoardEntry, Record, SideInfo, from_json
from extract.record.model import NOTE, BoutInfo
from extract.transcript import Cue, Transcript
from extract.transcript.decode import SourceText, decode
from extract.transcript.plain import UNSEEN
from extract.transcript.subrip import read_subrip
from extract.transcript.webvtt import read_webvtt
from tests.record.record_example import make_record

JOINER = "\u2060"
#: Letters, marks of every sort, and what the formats would take for their own.
hostile = st.text(
    st.one_of(
        st.sampled_from("<>&{}\\-—→:;.,/\n\r\t\u2028\x85\x00\x1b\u202e\u200f\ufeff א۴😀éb1"), st.characters()
    ),
    min_size=1,
    max_size=60,
)


def talk(*texts: str, speaker: str | None = None) -> Transcript:
    cues = tuple(Cue(n, 10.0 * n, 10.0 * n + 5, text, speaker) for n, text in enumerate(texts, 1))
    return Transcript("talk.srt", "srt", "0" * 64, cues)


def named(red: str | None, blue: str | None) -> Record:
    return make_record(bout=BoutInfo("freestyle", "2022", SideInfo(red), SideInfo(blue), {}))


def read_back(text: str, form: str) -> list[tuple[float, float, list[str]]]:
    """Start, end and lines of each caption as pysubs2 has them."""
    lines = [
        (e.start / 1000, e.end / 1000, e.text.split("\\N"))
        for e in pysubs2.SSAFile.from_string(text, format_=form)
    ]
    if form == "vtt":
        return [(a, b, [html.unescape(line) for line in body]) for a, b, body in lines]
    return [(a, b, [line.replace(JOINER, "") for line in body]) for a, b, body in lines]


def read_own(text: str) -> Transcript:
    return read_webvtt(SourceText("a.vtt", "a.vtt", decode(text.encode(), "a.vtt"), ""))


def test_golden() -> None:
    record, transcript = from_json(LANTERN), read_transcript(LANTERN_TALK)
    vtt, srt = captions_vtt(record, transcript), captions_srt(record, transcript)
    assert vtt.startswith(
        f"WEBVTT\n\nNOTE {NOTE}\n\n"
        "00:00:00.800 --> 00:00:05.520\n"
        "Evening, and back to the Customs Shed at Skerrow Haven for the last bout on the card, the Lantern final.\n"
        "[Brannoway 0 - 0 Skelvara]\n\n"
    )
    assert "four-nothing" in vtt.split("\n\n00:01:27.400 --> ")[1].split("\n")[1]
    # Said: four-nothing, an old score. The line below it has what the board showed.
    assert vtt.split("\n\n00:01:27.400 --> ")[1].split("\n")[2] == "[Brannoway 0 - 2 Skelvara]"
    assert srt.endswith(
        "\n\n121\n00:08:13,000 --> 00:08:15,610\nLight that lamp, Junia.\n[Brannoway 6 - 6 Skelvara]\n"
    )


@pytest.mark.parametrize("form", ["vtt", "srt"])
@pytest.mark.parametrize(
    ("when", "scores"),
    [
        (When.start, ["0 - 0", "0 - 0", "2 - 0", "2 - 0", "3 - 0"]),
        (When.end, ["0 - 0", "2 - 0", "2 - 0", "3 - 0", "3 - 0"]),
        (When.change, ["0 - 0", None, "2 - 0", None, "3 - 0"]),
    ],
)
def test_the_score_at_the_start_at_the_end_or_where_it_has_changed(
    form: str, when: When, scores: list[str | None]
) -> None:
    """Captions from 10 to 15 s, from 20 to 25 s and so on; red scores in the second and in the fourth."""
    board = (BoardEntry(0.0, 0, 0), BoardEntry(24.0, 2, 0), BoardEntry(45.0, 3, 0))
    record = replace(named("A", "B"), board=board)
    make = captions_vtt if form == "vtt" else captions_srt
    read = read_back(make(record, talk(*"abcde"), when), form)
    assert [lines[0] for _, _, lines in read] == list("abcde")
    assert [lines[1:] for _, _, lines in read] == [[f"[A {score} B]"] if score else [] for score in scores]
    if when is When.start:
        assert make(record, talk(*"abcde")) == make(record, talk(*"abcde"), when)


@pytest.mark.parametrize("form", ["vtt", "srt"])
@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_pysubs2_gives_the_words_of_every_sample(bout: tuple[Record, Transcript], form: str) -> None:
    record, transcript = bout
    text = captions_vtt(record, transcript) if form == "vtt" else captions_srt(record, transcript)
    read = read_back(text, form)
    expected: dict[tuple[int, str | None], tuple[float, list[str]]] = {}
    for cue in sorted(transcript.cues, key=lambda cue: cue.start):
        said = _with_speaker(cue, form)
        if cue.turn and (cue.index, cue.speaker) in expected:
            expected[cue.index, cue.speaker][1].extend(said)
        else:
            expected[cue.index, cue.speaker] = (round(cue.start, 3), said)
    # Two speakers of one caption have dashes.
    words = [(start, [line.removeprefix("- ") for line in lines[:-1]]) for start, _, lines in read]
    assert words == list(expected.values())
    assert all(re.fullmatch(r"\[.* \d+ - \d+ .*\]", lines[-1]) for _, _, lines in read)
    assert all(start < end for start, end, _ in read)


def _with_speaker(cue: Cue, form: str) -> list[str]:
    first, *rest = text_lines(cue.text)
    return [f"{cue.speaker}: {first}" if cue.speaker and form == "srt" else first, *rest]


@given(st.lists(hostile, min_size=1, max_size=4), hostile, hostile)
def test_pysubs2_gives_whatever_was_said(texts: list[str], red: str, blue: str) -> None:
    # pysubs2 keeps its subtitles in a form in which a backslash and a letter is a line break.
    assume("\\" not in "".join((*texts, red, blue)))
    record = named(red, blue)
    expected = [lines for text in texts if (lines := text_lines(text))]
    vtt = read_back(captions_vtt(record, talk(*texts)), "vtt")
    assert [lines[:-1] for _, _, lines in vtt] == expected
    srt = read_back(captions_srt(record, talk(*texts)), "srt")
    plain = [[line.replace("-->", "→").replace(JOINER, "") for line in lines] for lines in expected]
    assert [lines[:-1] for _, _, lines in srt] == plain


@given(st.lists(hostile, min_size=1, max_size=4))
def test_our_own_reader_gives_whatever_was_said(texts: list[str]) -> None:
    texts = [f"{n} {text}" for n, text in enumerate(texts)]
    back = read_own(captions_vtt(make_record(), talk(*texts)))
    captions = [[cue for cue in back.cues if cue.index == n] for n in range(1, len(texts) + 1)]
    # The last line has the score. Blanks and signs of a new speaker are read as such.
    said = ["\n".join(cue.text for cue in cues).rpartition("\n")[0] for cues in captions]
    assert list(map(_letters, said)) == [_letters(" ".join(text_lines(text))) for text in texts]
    assert [cues[0].start for cues in captions] == [10.0 * n for n in range(1, len(texts) + 1)]


def _letters(text: str) -> str:
    return re.sub(rf"[\W_{UNSEEN}]", "", unicodedata.normalize("NFKC", text))


def test_speakers_of_one_caption_stay_in_it() -> None:
    source = "1\n00:00:01,000 --> 00:00:03,000\nUp.\n\n2\n00:00:04,000 --> 00:00:08,000\n>> Two! >> Is\nit?\n"
    transcript = read_subrip(SourceText("a.srt", "a.srt", source, ""))
    captions = captions_srt(make_record(), transcript)
    assert [(a, b, lines[:-1]) for a, b, lines in read_back(captions, "srt")] == [
        (1.0, 3.0, ["Up."]),
        (4.0, 8.0, ["- Two!", "- Is", "it?"]),
    ]
    again = read_subrip(SourceText("a.srt", "a.srt", captions, ""))
    assert [cue.turn for cue in again.cues] == [False, True, True] == [cue.turn for cue in transcript.cues]


@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_our_own_reader_gives_the_words_of_every_sample(bout: tuple[Record, Transcript]) -> None:
    record, transcript = bout
    said = [(cue.speaker, cue.text) for cue in read_own(captions_vtt(record, transcript)).cues]
    words = "\n".join(text for _, text in said)
    assert (
        re.sub(r"\s*\[[^\n]* \d+ - \d+ [^\n]*\]\s*", "\n", words).split()
        == " ".join(cue.text for cue in transcript.cues).split()
    )
    assert {speaker for speaker, _ in said} - {None} == {cue.speaker for cue in transcript.cues} - {None}


def test_who_speaks_is_a_voice_or_stands_before_the_words() -> None:
    vtt = captions_vtt(make_record(), talk("Two for red", speaker="A & <B>"))
    assert "\n<v A &amp; &lt;B&gt;>Two for red</v>\n[Varnholt 0 - 0 Brackett]\n" in vtt
    assert read_own(vtt).cues[0].speaker == "A & <B>"
    assert "\nMarta: Two for red\n" in captions_srt(make_record(), talk("Two for red", speaker="Marta"))


def test_score_is_that_of_the_moment_in_which_the_cue_starts() -> None:
    record = make_record(board=(BoardEntry(0.0, 0, 0), BoardEntry(20.0, 2, 0), BoardEntry(20.01, 3, 0)))
    srt = captions_srt(record, talk("one", "two", "three"))
    assert re.findall(r"\[.*\]", srt) == [
        "[Varnholt 0 - 0 Brackett]",
        "[Varnholt 2 - 0 Brackett]",
        "[Varnholt 3 - 0 Brackett]",
    ]


@pytest.mark.parametrize(
    ("red", "blue", "line"),
    [
        (None, None, "[red 0 - 0 blue]"),
        ("Anna van der Molen", None, "[van der Molen 0 - 0 blue]"),
        ("Oster-Vale, Mira", "Tilly", "[Oster-Vale 0 - 0 Tilly]"),
        ("Ilse Varnholt", "Bea Varnholt", "[Ilse Varnholt 0 - 0 Bea Varnholt]"),
        ("שרה לוי", "Tilly", "[\u2068לוי\u2069 0 - 0 Tilly]"),
        ("\u202eIlse\x1b Varnholt\n", "Tilly", "[Varnholt 0 - 0 Tilly]"),
    ],
)
def test_what_the_sides_are_called(red: str | None, blue: str | None, line: str) -> None:
    assert line in captions_srt(named(red, blue), talk("so"))


@pytest.mark.parametrize("make", [captions_vtt, captions_srt])
def test_what_is_said_gives_no_orders_to_a_terminal(make: Callable[[Record, Transcript], str]) -> None:
    text = make(
        make_record(), talk("two\x9b2J for \u202ered\u200f\u2066", "\u202e\n\u200f", "one\u2028\x85more")
    )
    assert "two 2J for red\n[" in text
    assert "one\nmore\n[" in text
    assert not set(text) & set("\x9b\u202e\u200f\u2066\u2028\x85")


def test_a_caption_without_length_has_some_and_a_last_number_stays() -> None:
    transcript = Transcript("t", "srt", "", (Cue(1, 5.0, 5.0, "So it is\n12"), Cue(2, 5.0, 9.0, "now")))
    assert "00:00:05.000 --> 00:00:05.001\nSo it is\n12\n[" in captions_vtt(make_record(), transcript)
    assert read_back(captions_srt(make_record(), transcript), "srt")[0][2][:-1] == ["So it is", "12"]
