"""Every WebVTT output against the syntax of the W3C.

"WebVTT: The Web Video Text Tracks Format", sections "WebVTT file structure" and "Types of WebVTT cue payload", as seen in
the editor's draft at https://github.com/w3c/webvtt (index.bs).
"""

from __future__ import annotations

import re

import pytest
from export_samples import sample_bouts
from hypothesis import given
from hypothesis import strategies as st

from extract.export import FORMS, Options
from extract.export.webvtt import TrackCue, escape, webvtt
from extract.record import Record
from extract.transcript import Cue, Transcript
from tests.record.record_example import make_record

_STAMP = r"(\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3})"
_TIMINGS = re.compile(f"{_STAMP} --> {_STAMP}")
#: A cue's text: words, references for what words may not have, and a voice span with its name.
_CUE_TEXT = re.compile(r"(?:<v [^<>\n]+>(?:[^<>&]|&amp;|&lt;|&gt;)*</v>)?(?:[^<>&]|&amp;|&lt;|&gt;)*")
TRACKS = [form for form in FORMS if form.endswith("-vtt")]


def check(text: str) -> None:
    """That a file is of the form that the standard gives."""
    text.encode("utf-8")
    assert "\r" not in text
    assert text.endswith("\n")
    head, note, *blocks = text.removesuffix("\n").split("\n\n")
    assert head == "WEBVTT"
    assert note.startswith("NOTE ")
    assert "-->" not in note
    latest = 0
    for block in blocks:
        timings, _, payload = block.partition("\n")
        match = _TIMINGS.fullmatch(timings)
        assert match is not None
        start, end = (_milliseconds(match.groups()[k : k + 4]) for k in (0, 4))
        # In order of their starts, and each ends after its start.
        assert latest <= start < end
        latest = start
        assert payload
        assert "-->" not in payload
        assert all(line.strip() for line in payload.split("\n"))


def _milliseconds(parts: tuple[str, ...]) -> int:
    hours, minutes, seconds, thousandths = map(int, parts)
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


def payloads(text: str) -> list[str]:
    return [block.partition("\n")[2] for block in text.removesuffix("\n").split("\n\n")[2:]]


@pytest.mark.parametrize("form", TRACKS)
@pytest.mark.parametrize("bout", sample_bouts(), ids=lambda bout: bout[0].source.file)
def test_every_sample(bout: tuple[Record, Transcript], form: str) -> None:
    record, transcript = bout
    text = FORMS[form].text(record, Options(transcript))
    check(text)
    if form == "captions-vtt":
        assert all(_CUE_TEXT.fullmatch(payload) for payload in payloads(text))


@given(
    st.lists(
        st.builds(
            Cue,
            st.just(1),
            st.floats(0, 400_000),
            st.floats(0, 400_000),
            st.text(),
            st.one_of(st.none(), st.text()),
        ),
        max_size=5,
    )
)
def test_any_transcript(cues: list[Cue]) -> None:
    text = FORMS["captions-vtt"].text(make_record(), Options(Transcript("t", "asr", "", tuple(cues))))
    check(text)
    assert all(_CUE_TEXT.fullmatch(payload) for payload in payloads(text))


def test_cues_are_put_in_order_and_the_note_cannot_open_one() -> None:
    text = webvtt([TrackCue(3600.0, 3600.0, "b"), TrackCue(1.0004, 2.0, escape("a --> <c>"))], "one --> two")
    assert text == (
        "WEBVTT\n\nNOTE one -> two\n\n00:00:01.000 --> 00:00:02.000\na --&gt; &lt;c&gt;\n\n"
        "01:00:00.000 --> 01:00:00.001\nb\n"
    )
