"""The text of a cue without what nobody sees; every character keeps its place in the source."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from extract.transcript import Cue, Transcript
from extract.transcript.decode import source_of
from extract.transcript.draft import LONGEST, Draft
from extract.transcript.read import transcript_in

_UNSEEN = "\u200b\u200c\u200d\u200e\u200f\u2060\u202b\u202c\u2066\u2069\u00ad\ufeff\ufe0f"
_BLANKS = "\u00a0\u202f\u2009\u3000\t\x0b\x0c "
_TEXT = "Two for V\u00e9ra,\nthat's 3-1 red."

_WRITERS: dict[str, Callable[[str], str]] = {
    "srt": lambda text: f"1\n00:00:01,000 --> 00:00:09,000\n{text}\n",
    "vtt": lambda text: f"WEBVTT\n\n00:01.000 --> 00:09.000\n<i>{text}</i>\n",
    "ttml": lambda text: (
        f'<tt><body><div><p begin="1s" end="9s" xml:space="preserve">{text}</p></div></body></tt>'
    ),
    "asr": lambda text: json.dumps({"segments": [{"start": 1, "end": 9, "text": text}]}),
    "block": lambda text: f"[0:01] {text}\n",
    "csv": lambda text: f'time,note\n0:01,"{text}"\n',
}


def _read(content: str) -> Transcript:
    return transcript_in(source_of(content.encode(), "talk"))


def _sown(text: str, sown: list[tuple[int, str]]) -> str:
    """``text`` with characters put in, before the first and after the last of its own too."""
    for at, character in sorted(sown, reverse=True):
        at %= len(text) + 1
        text = text[:at] + character + text[at:]
    return text


def _check_places(cue: Cue, source: str) -> None:
    """That every character but a blank stands where the source has it. A blank stands for all that is there."""
    for i, character in enumerate(cue.text):
        assert character.isspace() or source[cue.source_position(i)] == character
    assert source[cue.source_position(len(cue.text)) - 1] == cue.text[-1]


@pytest.mark.parametrize("format", _WRITERS)
@given(sown=st.lists(st.tuples(st.integers(0, 100), st.sampled_from(_UNSEEN)), max_size=6))
@example(sown=[(0, "\u200b"), (100, "\u200b")])
def test_what_nobody_sees_is_no_text(format: str, sown: list[tuple[int, str]]) -> None:
    source = _sown(_TEXT, sown)
    (cue,) = _read(_WRITERS[format](source)).cues
    assert cue.text == _TEXT
    inner = f"<i>{source}</i>" if format == "vtt" else source.strip()
    _check_places(cue, inner)


@pytest.mark.parametrize("format", _WRITERS)
@given(blanks=st.lists(st.text(_BLANKS + _UNSEEN, max_size=3), min_size=5, max_size=5))
def test_any_blanks_are_one_blank(format: str, blanks: list[str]) -> None:
    words = _TEXT.split()
    # One of the five is a line end, which stays one.
    gaps = [f" {blank}" for blank in blanks]
    if format == "ttml":
        # XML allows no other controls.
        gaps = [gap.replace("\x0b", "").replace("\x0c", "") for gap in gaps]
    gaps[2] = f"{gaps[2]}\n{gaps[2]}"
    source = "".join(word + gap for word, gap in zip(words, [*gaps, ""], strict=True))
    (cue,) = _read(_WRITERS[format](source)).cues
    assert cue.text == _TEXT
    inner = f"<i>{source}</i>" if format == "vtt" else source
    _check_places(cue, inner)


def test_accents_are_composed_and_ligatures_are_letters() -> None:
    source = "Ve\u0301ra \ufb01nally"
    (cue,) = _read(_WRITERS["srt"](source)).cues
    assert cue.text == "V\u00e9ra finally"
    start, end = cue.text.index("ra"), cue.text.index("nally")
    assert source[: cue.source_position(start)] == "Ve\u0301"
    assert source[cue.source_position(start) : cue.source_position(end)] == "ra \ufb01"


def test_the_last_character_ends_where_its_source_does() -> None:
    source = "Up, Andre\u0301\u200b"
    (cue,) = _read(_WRITERS["srt"](source)).cues
    assert source[: cue.source_position(len(cue.text))] == "Up, Andre\u0301"


def test_webvtt_marks_of_direction() -> None:
    # W3C WebVTT: "&lrm;" and "&rlm;" stand for U+200E and U+200F.
    source = "Two&lrm; for&rlm; red"
    (cue,) = _read(f"WEBVTT\n\n00:01.000 --> 00:09.000\n{source}\n").cues
    assert cue.text == "Two for red"
    assert source[cue.source_position(8) :] == "red"


def test_line_ends_within_a_value_of_json() -> None:
    (cue,) = _read(_WRITERS["asr"]("Two\r\nfor\u2028red\x85up")).cues
    assert cue.text == "Two\nfor\nred\nup"


def test_a_cue_of_what_nobody_sees_is_none() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\n\u200b\u00a0\u200e\n\n2\n00:00:03,000 --> 00:00:04,000\nUp\n"
    assert [(cue.index, cue.text) for cue in _read(text).cues] == [(2, "Up")]


def test_rolling_captions_repeat_a_line_with_other_blanks() -> None:
    text = "".join(
        f"00:00:0{n},000 --> 00:00:0{n + 1},000\n{caption}\n\n"
        for n, caption in enumerate(
            ["one two up", "one\u00a0two up\u200b\nand red", "\u200eand  red\nfor two"]
        )
    )
    assert [cue.text for cue in _read(text).cues] == ["one two up", "and red", "for two"]


def test_word_times_find_their_words() -> None:
    words = [
        {"word": " Two", "start": 1},
        {"word": "-"},
        {"word": "for\u00adty", "start": 3},
        {"word": "3-1", "start": 5},
    ]
    segment = {"start": 1, "end": 9, "text": "\u200bTwo  for\u200bty\u00a03-1", "words": words}
    (cue,) = _read(json.dumps({"segments": [segment]})).cues
    assert (cue.text, cue.anchors) == ("Two forty 3-1", ((0, 1.0), (4, 3.0), (10, 5.0)))


def test_speakers_are_read_alike() -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\n<v \u200eIda\u00a0 Holm>Two\n\n00:03.000 --> 00:04.000\n<v Ida Holm>Up\n"
    assert [cue.speaker for cue in _read(text).cues] == ["Ida Holm", "Ida Holm"]
    text = "[0:01] \u200bIDA: Two.\n[0:05] \u00a0IDA：Up.\n[0:09] ida: it is\n".replace("：", "： ")
    assert [cue.speaker for cue in _read(text).cues] == ["IDA", "IDA", None]


def test_structure_is_read_as_it_looks() -> None:
    stamped = _read("\u200e[0:04]\u00a0Two\n\ufeff［１：０５］ Up\n")
    assert [(cue.start, cue.text) for cue in stamped.cues] == [(4.0, "Two"), (65.0, "Up")]
    notes = _read("\ufeff\ufefftime,note\n\u200e0:04,Two\n１：０５,Up\n")
    assert [(cue.start, cue.text) for cue in notes.cues] == [(4.0, "Two"), (65.0, "Up")]
    captions = _read("\u200b１\n\u200e00:00:01,000\u00a0--> ００：００：０２,000\nTwo\n")
    assert [(cue.start, cue.end, cue.text) for cue in captions.cues] == [(1.0, 2.0, "Two")]
    assert [cue.text for cue in _read("\u200bWEBVTT\n\n00:01.000 --> 00:02.000\nTwo\n").cues] == ["Two"]


@pytest.mark.parametrize("format", ["srt", "vtt", "ttml", "asr", "block"])
def test_too_long_a_cue_is_refused(fail, format: str) -> None:
    lines = {"srt": 2, "vtt": 3, "ttml": 1, "asr": 1, "block": 1}
    error = fail(_WRITERS[format]("Two, " * (LONGEST // 5 + 1)))
    assert "more than 100,000 characters" in error.problem
    assert error.line == lines[format]


def test_an_hour_of_talk_may_be_one_cue(read) -> None:
    hour = "and he circles to the centre " * 2200
    assert len(hour) > 60_000
    for format in ("srt", "block"):
        (cue,) = read(_WRITERS[format](hour)).cues
        assert cue.text == hour.strip()


@given(
    text=st.text("ab \n", max_size=12),
    edits=st.lists(
        st.tuples(st.integers(0, 12), st.integers(0, 3), st.sampled_from(["", " ", "xy"])), max_size=4
    ),
)
def test_a_rewritten_draft_keeps_its_places(text: str, edits: list[tuple[int, int, str]]) -> None:
    ordered, at = [], 0
    for start, length, new in sorted(edits):
        start, stop = max(start, at), max(start, at) + length
        if stop <= len(text) and length:
            ordered.append((start, stop, new))
            at = stop
    everywhere = range(len(text) + 1)
    draft = Draft(1, 1, 0.0, 1.0, text, anchors=[(p, float(p)) for p in everywhere], turns=list(everywhere))
    draft.rewrite(ordered)
    assert draft.origin is not None
    assert len(draft.origin) == len(draft.text)
    assert draft.origin == sorted(draft.origin)
    assert draft.turns == [p for p, _ in draft.anchors] == sorted(draft.turns)
    gone = {p for start, stop, _ in ordered for p in range(start, stop)}
    for p in everywhere[:-1]:
        if p not in gone:
            assert (draft.text[draft.turns[p]], draft.origin[draft.turns[p]]) == (text[p], p)
    assert draft.turns[-1] == len(draft.text)
