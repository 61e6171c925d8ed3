"""Whatever the bytes are and wherever they are cut."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from extract.errors import InputError
from extract.live.feed import Feed
from tests.live.faults import FAULTS, Fault, Form, stream_of
from tests.live.test_feed import Clock
from tests.live.test_lines import chopped

TALK = Path(__file__).parents[2] / "sample_transcripts" / "shed-notes.csv"
FORMS: tuple[Form, ...] = ("vtt", "srt", "json", "stamped", "csv", "plain")

_PARTS = [
    "WEBVTT\n\n",
    "00:01.000 --> 00:02.000\n", "00:00:01,000 --> 00:00:09,000\n", "1\n", "\n", "\r\n", "two for red\n",
    "[0:05] three\n",
    "(0:07) \n", "0:09 four\n", "time,note\n", '0:10,"a\n', "0:12,b\n", "NOTE x\n", "-->", "\ufeff", "\x00",
    '{"start": 1, "end": 2, "text": "x"}\n', '{"start": 3, "end": 4, "text": "y", "id": 1, "final": false}\n',
    "{", "[", '"',
    "<v Anna>", "[0;09] z\n", "99:99:99.9 --> 1\n", "0:01:00.000 - 0:01:02.000\n",
]  # fmt: skip


def outcome(pieces: list[bytes]) -> object:
    """What a feed makes of a stream: its captions, or why it is refused."""
    feed = Feed("talk", Clock())
    try:
        for piece in pieces:
            feed.take(piece)
        feed.close()
    except InputError as error:
        return str(error)
    feed.transcript()
    return feed.text(), [(c.start, c.end, c.text, c.speaker, c.raw) for c in feed.captions]


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(FORMS),
    st.sampled_from(FAULTS),
    st.integers(0, 99),
    st.lists(st.integers(0, 9999), max_size=12),
)
def test_any_cut_gives_the_same_captions(form: Form, fault: Fault, draw: int, cuts: list[int]) -> None:
    data = stream_of(TALK, form, draw, [fault]).data
    assert outcome(chopped(data, cuts)) == outcome([data])


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(_PARTS), max_size=12).map("".join), st.lists(st.integers(0, 300), max_size=6))
def test_any_text_is_read_or_refused(text: str, cuts: list[int]) -> None:
    data = text.encode()
    assert outcome(chopped(data, cuts)) == outcome([data])


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=200), st.sampled_from(FORMS))
def test_any_bytes_in_a_stream(noise: bytes, form: Form) -> None:
    data = stream_of(TALK, form).data
    assert outcome([data[:700], noise, data[700:]])
    assert outcome([noise])
