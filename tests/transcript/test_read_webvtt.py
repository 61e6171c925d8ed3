"""WebVTT. The examples are those of "WebVTT: The Web Video Text Tracks Format", W3C, section 1 (introduction)."""

from __future__ import annotations

import pytest

SPEAKERS = """WEBVTT

00:00.000 --> 00:02.000
<v.first.loud Esme>It's a blue apple tree!

00:02.000 --> 00:04.000
<v Mary>No way!

00:04.000 --> 00:06.000
<v Esme>Hee!</v> <i>laughter</i>

00:06.000 --> 00:08.000
<v.loud Mary>That's awesome!
"""

COMMENTS = """WEBVTT

NOTE
This file was written by Jill. I hope
you enjoy reading it. Some things to
bear in mind:
- I was lip-reading, so the cues may
not be 100% accurate
- I didn't pay too close attention to
when the cues should start or end.

00:01.000 --> 00:04.000
Never drink liquid nitrogen.

NOTE check next cue

00:05.000 --> 00:09.000
— It will perforate your stomach.
— You could die.

NOTE end of file
"""

STYLES = """WEBVTT

STYLE
::cue {
  background-image: linear-gradient(to bottom, dimgray, lightgray);
  color: papayawhip;
}
/* Style blocks cannot use blank lines nor "dash dash greater than" */

NOTE comment blocks can be used between style blocks.

STYLE
::cue(b) {
  color: peachpuff;
}

hello
00:00:00.000 --> 00:00:10.000
Hello <b>world</b>.

NOTE style blocks cannot appear after the first cue.
"""

REGIONS = """WEBVTT

REGION
id:fred
width:40%
lines:3
regionanchor:0%,100%
viewportanchor:10%,90%
scroll:up

00:00:00.000 --> 00:00:20.000 region:fred align:left
<v Fred>Hi, my name is Fred

00:00:02.500 --> 00:00:22.500 region:bill align:right
<v Bill>Hi, I'm Bill
"""

IDENTIFIERS = """WEBVTT

test
00:00.000 --> 00:02.000
This is a test.

123
00:00.000 --> 00:02.000
That's an, an, that's an L!

crédit de transcription
00:04.000 --> 00:05.000
Transcrit par Célestes™
"""


def test_voices(read) -> None:
    cues = read(SPEAKERS).cues
    assert [(cue.index, cue.speaker, cue.text) for cue in cues] == [
        (1, "Esme", "It's a blue apple tree!"),
        (2, "Mary", "No way!"),
        (3, "Esme", "Hee!"),
        (3, None, "laughter"),
        (4, "Mary", "That's awesome!"),
    ]
    assert (cues[2].start, cues[3].end) == (4.0, 6.0)
    assert 4.0 < cues[2].end <= cues[3].start < 6.0
    source = "<v Esme>Hee!</v> <i>laughter</i>"
    for cue in cues[2:4]:
        assert source[cue.source_position(0) : cue.source_position(len(cue.text))] == cue.text


def test_comments(read) -> None:
    cues = read(COMMENTS).cues
    # The dashes are two speakers.
    assert [(cue.index, cue.text, cue.turn) for cue in cues] == [
        (1, "Never drink liquid nitrogen.", False),
        (2, "It will perforate your stomach.", True),
        (2, "You could die.", True),
    ]
    assert (cues[0].start, cues[0].end, cues[1].start, cues[2].end) == (1.0, 4.0, 5.0, 9.0)


def test_styles(read) -> None:
    (cue,) = read(STYLES).cues
    assert (cue.index, cue.text) == (1, "Hello world.")


def test_regions_and_settings(read) -> None:
    assert [(cue.speaker, cue.text, cue.end) for cue in read(REGIONS).cues] == [
        ("Fred", "Hi, my name is Fred", 20.0),
        ("Bill", "Hi, I'm Bill", 22.5),
    ]


def test_identifiers(read) -> None:
    assert [cue.text for cue in read(IDENTIFIERS).cues] == [
        "This is a test.",
        "That's an, an, that's an L!",
        "Transcrit par Célestes™",
    ]


def test_header_lines_and_cue_without_blank_line(read) -> None:
    cues = read("WEBVTT - talk\nKind: captions\nLanguage: en\n00:01.000 --> 00:02.000\nTwo\n").cues
    assert [cue.text for cue in cues] == ["Two"]


ROLLING = """WEBVTT
Kind: captions

00:00:01.000 --> 00:00:03.000 align:start position:0%
 
so<00:00:01.400><c> here</c><00:00:02.000><c> we</c><00:00:02.600><c> go</c>

00:00:03.000 --> 00:00:03.010 align:start position:0%
so here we go
 

00:00:03.010 --> 00:00:05.000 align:start position:0%
so here we go
two<00:00:03.500><c> for</c><00:00:04.000><c> red</c>

00:00:05.000 --> 00:00:05.010 align:start position:0%
two for red
 
"""


def test_rolling_captions_with_word_times(read) -> None:
    one, two = read(ROLLING).cues
    assert (one.index, one.text, one.end) == (1, "so here we go", 3.01)
    assert one.anchors == ((3, 1.4), (8, 2.0), (11, 2.6))
    assert (two.index, two.start, two.text, two.end) == (3, 3.01, "two for red", 5.01)
    assert two.anchors == ((4, 3.5), (8, 4.0))
    assert two.time_at(two.text.index("red")) == 4.0
    source = "so here we go\ntwo<00:00:03.500><c> for</c><00:00:04.000><c> red</c>"
    assert source[two.source_position(8) : two.source_position(11)] == "red"


def test_line_of_blanks_ends_no_cue(read) -> None:
    """Only an empty line does (W3C, WebVTT, section 6.1, "collect a WebVTT block")."""
    text = "WEBVTT\n\na\n00:01.000 --> 00:02.000\nOne\n  \nmore\n00:03.000 --> 00:04.000\nTwo\n \n4\n"
    assert [cue.text.split() for cue in read(text).cues] == [["One", "more"], ["Two", "4"]]


def test_number_of_a_cue_after_a_line_of_blanks(read) -> None:
    """Editors leave blanks on empty lines: the number that is next is an identifier, another is talk."""
    text = (
        "WEBVTT\n\n1\n00:01.000 --> 00:02.000\nOne\n  \n2\n00:03.000 --> 00:04.000\nTwo\n  \n"
        "4\n00:05.000 --> 00:06.000\nThree\n  \n00:07.000 --> 00:08.000\nFour\n"
    )
    assert [cue.text.split() for cue in read(text).cues] == [["One"], ["Two", "4"], ["Three"], ["Four"]]


def test_anchors_out_of_order_are_left_out(read) -> None:
    (cue,) = read(
        "WEBVTT\n\n00:01.000 --> 00:02.000\na <00:01.500>b <00:01.200>c <00:09.000>d <00:99.000>e\n"
    ).cues
    assert (cue.text, cue.anchors) == ("a b c d e", ((2, 1.5),))


def test_references_and_lone_marks(read) -> None:
    (cue,) = read("WEBVTT\n\n00:01.000 --> 00:02.000\n5 &lt; 6 &#38; &nbsp;x <unclosed &\n").cues
    assert cue.text == "5 < 6 & x <unclosed &"


def test_broken_timing_names_line(fail) -> None:
    error = fail("WEBVTT\n\n00:01.000 --> 00:02.000\nOne\n\nid\n00:0x.000 --> 00:03.000\nTwo\n")
    assert (error.line, "broken time '00:0x.000'" in error.problem) == (7, True)


@pytest.mark.parametrize("slip", ["00:05.000 -> 00:06.000", "00:00:05.000 - 00:00:06.000", "00:05.000"])
@pytest.mark.parametrize("above", ["\n", "\n2\n", "2\n", "\nid\n"])
def test_timing_line_with_a_slip_is_no_talk(fail, slip: str, above: str) -> None:
    if above == "\nid\n" and slip == "00:05.000":
        return
    error = fail(f"WEBVTT\n\n00:01.000 --> 00:02.000\nOne\n{above}{slip}\nTwo\n")
    assert "broken timing line" in error.problem
    assert error.line == 5 + above.count("\n")


def test_times_in_notes_and_identifiers_are_no_timing_line(read) -> None:
    text = "WEBVTT\n\nNOTE\n00:05.000 -> 00:06.000\n\n00:01.000\n00:01.000 --> 00:02.000\nTwo\n"
    assert [cue.text for cue in read(text).cues] == ["Two"]


def test_nul_is_the_replacement_character(read, fail) -> None:
    # W3C, WebVTT, section 6.1, step 2 of the parser.
    assert read("WEBVTT\n\n00:01.000 --> 00:02.000\nTw\0o\n").cues[0].text == "Tw\ufffdo"
    assert "control character 0x00" in fail("[0:01] Tw\0o\n").problem


@pytest.mark.parametrize("timing", ["\v00:01.000 --> 00:02.000", "00:01.000\v-->\v00:02.000"])
def test_vertical_tab_is_no_blank_in_a_timing_line(fail, timing: str) -> None:
    # W3C, WebVTT, section 6.3: white space is that of ASCII, which has the form feed and not the vertical tab.
    error = fail(f"WEBVTT\n\n{timing}\nTwo\n")
    assert ("vertical tab" in error.problem, error.line) == (True, 3)


def test_other_white_space_of_a_timing_line(read) -> None:
    # W3C, WebVTT, section 6.3.
    (cue,) = read("WEBVTT\n\n\t\f 00:01.000\f\t-->00:02.000\falign:start\nTwo\n").cues
    assert (cue.start, cue.end) == (1.0, 2.0)


@pytest.mark.parametrize(
    ("payload", "text"),
    [
        ("Smith &amp Son", "Smith & Son"),
        ("&notit; &not", "\xacit; \xac"),
        ("&notin; here", "\u2209 here"),
        ("5 &lt 6 &#62 4 &#x26x", "5 < 6 > 4 &x"),
        ("a & b &; &x; &unknown &hearts &#;", "a & b &; &x; &unknown &hearts &#;"),
        ("R&D AT&T Q&A", "R&D AT&T Q&A"),
    ],
)
def test_references_without_semicolon(read, payload: str, text: str) -> None:
    """W3C, WebVTT, section 6.4, takes them as HTML does: HTML, "named character references", lists which do without."""
    (cue,) = read(f"WEBVTT\n\n00:01.000 --> 00:02.000\n<c>{payload}</c> end\n").cues
    assert cue.text == f"{text} end"
    source = f"<c>{payload}</c> end"
    assert source[cue.source_position(len(text)) :].endswith(" end")
    assert source[cue.source_position(len(text) + 1) :] == "end"


def test_subrip_has_no_references_without_semicolon(read) -> None:
    (cue,) = read("1\n00:00:01,000 --> 00:00:02,000\ncut&copy &not &amp; so\n").cues
    assert cue.text == "cut&copy &not & so"
