"""Files whose line ends somebody's tool has doubled: CR CR LF, or a blank line after each line."""

from __future__ import annotations

import pysubs2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.errors import InputError
from extract.transcript import read_transcript

SRT = """1
00:00:01,000 --> 00:00:03,000
Takedown, two for red

2
00:00:04,000 --> 00:00:06,000
<i>Red</i> leads by
9

3
00:00:07,000 --> 00:00:09,000
two
"""
VTT = """WEBVTT

NOTE two lines
of a comment

1
00:01.000 --> 00:03.000
<v Ida>Takedown,
two for red

00:04.000 --> 00:06.000
Two nil
"""
TTML = """<tt xmlns="http://www.w3.org/ns/ttml"><body><div>

<p begin="1s" end="3s" xml:space="preserve">Takedown,
two for red</p>
<p begin="4s" end="6s">Two nil</p>
</div></body></tt>
"""
JSON = (
    '{"segments": [\n{"start": 1, "end": 3, "text": "Takedown"},\n\n{"start": 4, "end": 5, "text": "Two"}]}\n'
)
PARAGRAPHS = "Final\n\n[0:01] IDA: Takedown,\ntwo for red\nMO: Yes\n\n[0:04] Two nil\n\n\n[0:09] Out\n"
NOTES = 'time,note\n0:01,"Takedown,\ntwo"\n\n0:04,Two nil\n'
ALL = [SRT, VTT, TTML, JSON, PARAGRAPHS, NOTES]
DOUBLED = {
    "cr-cr-lf": "\r\r\n",
    "blank": "\n\n",
    "blank-crlf": "\r\n\r\n",
    "blank-cr": "\r\r",
    "spaces": "\n \n",
}
of_each_format = pytest.mark.parametrize(
    "text", ALL, ids=["srt", "vtt", "ttml", "json", "paragraphs", "notes"]
)
of_each_kind = pytest.mark.parametrize("end", DOUBLED.values(), ids=DOUBLED)


@of_each_format
@of_each_kind
def test_reads_as_the_plain_file(read, text: str, end: str) -> None:
    assert read(text.replace("\n", end)).cues == read(text).cues


@of_each_kind
def test_subrip_reads_as_pysubs2_does(read, tmp_path, end: str) -> None:
    # Reference: pysubs2, which passes over blank lines.
    path = tmp_path / "talk.srt"
    path.write_bytes(SRT.replace("\n", end).encode())
    theirs = [event.plaintext.split() for event in pysubs2.load(str(path)).events]
    ours = [cue.text for cue in read_transcript(path).cues]
    assert ours == ["Takedown, two for red", "Red leads by\n9", "two"]
    assert [text.split() for text in ours] == theirs


@pytest.mark.parametrize(
    ("end", "line"), [("\n", 6), ("\r\n", 6), ("\r", 6), ("\r\r\n", 6), ("\n\n", 11), ("\r\r", 11)]
)
def test_error_names_the_line_of_the_file(fail, end: str, line: int) -> None:
    text = SRT.replace("00:00:04,000", "00:00:0x,000")
    error = fail(text.replace("\n", end))
    assert (error.line, "broken time" in error.problem) == (line, True)


def test_line_of_a_file_that_begins_with_a_blank_line(fail) -> None:
    text = SRT.replace("00:00:04,000", "00:00:0x,000")
    assert fail("\n" + text.replace("\n", "\n\n")).line == 12


def test_no_blank_line_between_the_cues_themselves(read, fail) -> None:
    """A table pasted line by line: each line is parted from the next by one blank line, and no more."""
    text = SRT.replace("\n\n", "\n")
    assert [cue.text for cue in read(text.replace("\n", "\n\n")).cues] == [cue.text for cue in read(SRT).cues]
    # In WebVTT the first empty line ends a cue (W3C, WebVTT, section 6.1), and what follows would be anything.
    assert "no cue with text" in fail(VTT.replace("\n\n", "\n").replace("\n", "\n\n")).problem


def test_number_parted_from_its_timing_line(read) -> None:
    text = SRT.replace("\n00:", "\n\n00:")
    assert [cue.text for cue in read(text).cues] == [cue.text for cue in read(SRT).cues]


def test_score_before_a_timing_line_without_number_stays(read) -> None:
    text = "7\n00:00:01,000 --> 00:00:03,000\nRed leads\n\n3\n\n00:00:04,000 --> 00:00:06,000\nTwo\n"
    assert read(text).cues[0].text == "Red leads\n\n3"


def test_cr_that_ends_lines_by_itself(read) -> None:
    # Where CR alone ends lines, CR CR LF is a line end and an empty line (W3C, WebVTT, section 6.1).
    text = "WEBVTT\r\r00:01.000 --> 00:02.000\rOne\r\r\n00:03.000 --> 00:04.000\rTwo\r"
    assert [cue.text for cue in read(text).cues] == ["One", "Two"]


def test_paragraphs_parted_by_blank_lines_keep_their_places(read) -> None:
    text = "[0:01] IDA: Two\n\nMO: Yes\n\n[0:04] IDA: Out\n\nMO: No\n"
    source = "IDA: Two\n\nMO: Yes"
    cue = read(text).cues[1]
    assert source[cue.source_position(0) : cue.source_position(3)] == "Yes"


@given(
    texts=st.lists(
        st.lists(st.sampled_from(["two", "4", "9-8", "red up", "12"]), min_size=1, max_size=3),
        min_size=1,
        max_size=6,
    ),
    end=st.sampled_from(list(DOUBLED.values())),
    numbered=st.booleans(),
    first=st.integers(0, 12),
)
def test_any_subrip_reads_as_the_plain_file(tmp_path_factory, texts, end, numbered, first) -> None:
    text = ""
    for n, lines in enumerate(texts):
        number = f"{n + first}\n" if numbered else ""
        said = "\n".join(lines)
        text += f"{number}00:00:{2 * n:02d},000 --> 00:00:{2 * n + 1:02d},000\n{said}\n\n"
    path = tmp_path_factory.mktemp("talks") / "talk.srt"
    path.write_text(text)
    plain = read_transcript(path).cues
    path.write_bytes(text.replace("\n", end).encode())
    try:
        assert read_transcript(path).cues == plain
    except InputError as error:
        pytest.fail(str(error))
