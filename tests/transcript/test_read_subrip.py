from __future__ import annotations

import pytest

PLAIN = """1
00:00:01,000 --> 00:00:03,500
Two for the takedown.

2
00:00:03,500 --> 00:00:06,000
<i>Four</i> &amp; one,
says the board.
"""


def test_cues(read) -> None:
    one, two = read(PLAIN).cues
    assert (one.index, one.start, one.end, one.text, one.origin) == (1, 1.0, 3.5, "Two for the takedown.", ())
    assert two.text == "Four & one,\nsays the board."
    source = "<i>Four</i> &amp; one,\nsays the board."
    start, end = two.text.index("& one"), two.text.index(",")
    assert source[two.source_position(start) : two.source_position(end)] == "&amp; one"
    assert two.source_position(len(two.text)) == len(source)


def test_last_line_that_is_a_number_is_kept(read) -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\nThe score\n4\n\n2\n00:00:03,000 --> 00:00:04,000\n3\n"
    assert [cue.text for cue in read(text).cues] == ["The score\n4", "3"]


def test_what_editors_write(read) -> None:
    text = (
        "\n0:00:01.5 --> 0:00:02.5 X1:10 Y1:20\n{\\an8}Up <3 here\n2\n"
        "00:00:03,000 --> 00:00:04,000\n\nAfter a blank\n\nand another\n\n\n7\n00:00:05,000-->00:00:06,000\n\n"
        "9\n00:00:07,000 --> 00:00:08,000\na --> b <laughs> AT&T; &unknown;"
    )
    cues = read(text).cues
    assert [cue.text for cue in cues] == [
        "Up <3 here\n2",
        "After a blank\n\nand another",
        "a --> b <laughs> AT&T; &unknown;",
    ]
    assert [cue.index for cue in cues] == [1, 2, 4]
    assert (cues[0].start, cues[0].end) == (1.5, 2.5)


def test_number_without_blank_line_before_it(read) -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\nOne\n2\n00:00:02,000 --> 00:00:03,000\nTwo\n"
    assert [cue.text for cue in read(text).cues] == ["One", "Two"]


def test_rolling_captions_double_no_words(read) -> None:
    text = (
        "1\n00:00:01,000 --> 00:00:02,000\nso here we go\n\n"
        "2\n00:00:02,000 --> 00:00:02,010\nso here we go\n\n"
        "3\n00:00:02,010 --> 00:00:04,000\nso here we go\nfirst period\n"
    )
    cues = read(text).cues
    assert [(cue.index, cue.start, cue.end, cue.text) for cue in cues] == [
        (1, 1.0, 2.01, "so here we go"),
        (3, 2.01, 4.0, "first period"),
    ]
    assert cues[1].source_position(0) == len("so here we go\n")


def test_line_that_grows_doubles_no_words(read) -> None:
    text = (
        "1\n00:00:01,000 --> 00:00:02,000\ntwo for red\n\n"
        "2\n00:00:02,000 --> 00:00:03,000\ntwo for red and blue\n\n"
        "3\n00:00:03,000 --> 00:00:04,000\ntwo for red and blue is angry\n"
    )
    assert [cue.text for cue in read(text).cues] == ["two for red", "and blue", "is angry"]


def test_words_said_again_are_kept(read) -> None:
    text = (
        "1\n00:00:01,000 --> 00:00:02,000\nTwo\n\n2\n00:00:02,000 --> 00:00:03,000\nTwo more for red\n\n"
        "3\n00:00:05,000 --> 00:00:06,000\nTwo more for red\n"
    )
    assert [cue.text for cue in read(text).cues] == ["Two", "Two more for red", "Two more for red"]


@pytest.mark.parametrize(
    ("timing", "problem"),
    [
        ("00:00:05,000 --> 00:00:04,000", "before its start"),
        ("00:00:75,000 --> 00:01:04,000", "broken time '00:00:75,000'"),
        ("00:00:05,000 --> 00:xx:04,000", "broken time '00:xx:04,000'"),
        ("00:00:05,000 -->", "broken time ''"),
        ("-00:00:05,000 --> 00:00:06,000", "is negative"),
        ("nan --> 00:00:06,000", "not finite"),
        ("00:00:00,500 --> 00:00:01,000", "goes back from 2 s to 0.5 s"),
        ("99999999999999999999:00:00,000 --> 00:00:06,000", "broken time"),
    ],
)
def test_bad_times_name_their_line(fail, timing: str, problem: str) -> None:
    error = fail(f"1\n00:00:02,000 --> 00:00:03,000\nOne\n\n2\n{timing}\nTwo\n")
    assert problem in error.problem
    assert error.line == 6


def test_small_overlaps_are_fine_and_sorted(read) -> None:
    text = "1\n00:00:02,000 --> 00:00:03,000\nLater\n\n2\n00:00:01,500 --> 00:00:02,500\nEarlier\n"
    assert [cue.text for cue in read(text).cues] == ["Earlier", "Later"]


def test_no_cue(fail) -> None:
    assert "no cue" in fail("1\n00:00:02,000 --> 00:00:03,000\n\n").problem
    assert "no cue" in fail("some words", "talk.srt").problem


def test_cue_ends_after_a_reference(read) -> None:
    (cue,) = read("1\n00:00:02,000 --> 00:00:03,000\n<i>Two &amp;</i>\n").cues
    assert "<i>Two &amp;</i>"[cue.source_position(0) : cue.source_position(len(cue.text))] == "Two &amp;"


SLIPS = [
    "00:00:45,000 -> 00:00:49,000",
    "00:00:45,000 - 00:00:49,000",
    "00:00:45 => 00:00:49",
    "00:00:45,000 -- > 00:00:49,000",
    "00:45,000 → 00:49,000",
    "00:00:05,000",
]


@pytest.mark.parametrize("slip", SLIPS)
@pytest.mark.parametrize("above", ["\n2\n", "2\n", "\n"])
def test_timing_line_with_a_slip_is_no_talk(fail, slip: str, above: str) -> None:
    error = fail(f"1\n00:00:02,000 --> 00:00:03,000\nOne\n{above}{slip}\nTwo\n")
    assert "broken timing line" in error.problem
    assert error.line == 4 + above.count("\n")


@pytest.mark.parametrize("name", ["talk", "talk.srt"])
def test_file_whose_every_arrow_is_broken(fail, name: str) -> None:
    error = fail("1\n00:00:02,000 -> 00:00:03,000\nOne\n\n2\n00:00:04,000 -> 00:00:05,000\nTwo\n", name)
    assert ("broken timing line" in error.problem, error.line) == (True, 2)


@pytest.mark.parametrize("talk", ["3\n0:12.5", "0:12.5", "0:45 - 2:40", "from 00:00:01,000 -> 00:00:02,000"])
def test_clocks_in_talk_are_no_timing_line(read, talk: str) -> None:
    assert read(f"1\n00:00:02,000 --> 00:00:03,000\n{talk}\n").cues[0].text == talk


def _rolling(pauses: list[int]) -> str:
    """Captions of two lines, each second of two, with pauses, seconds, between them."""
    lines = [f"they go on to turn {n}" for n in range(len(pauses) + 1)]
    text, now = "", 1
    for n, pause in enumerate([*pauses, 0]):
        shown = "\n".join(lines[max(n - 1, 0) : n + 1])
        text += f"{n + 1}\n00:00:{now:02d},000 --> 00:00:{now + 1:02d},000\n{shown}\n\n"
        now += 1 + pause
    return text


@pytest.mark.parametrize("pauses", [[0, 0, 0, 4, 0, 6], [2, 3, 1, 6, 2]])
def test_rolling_captions_double_no_words_after_a_pause(read, pauses: list[int]) -> None:
    cues = read(_rolling(pauses)).cues
    assert [cue.text for cue in cues] == [f"they go on to turn {n}" for n in range(len(pauses) + 1)]
    assert all(cue.end == cue.start + 1 for cue in cues)


def test_pause_too_long_for_a_caption_that_comes_back_alone(read) -> None:
    again = "5\n00:00:{at},000 --> 00:00:{at},900\nthey go on to turn 3\n"
    assert len(read(_rolling([0, 0, 0]) + again.replace("{at}", "12")).cues) == 4
    assert len(read(_rolling([0, 0, 0]) + again.replace("{at}", "24")).cues) == 5


def test_caption_that_stays_after_a_pause_does_not_stretch_the_one_before(read) -> None:
    text = _rolling([0, 0, 0]) + "5\n00:00:08,000 --> 00:00:09,000\nthey go on to turn 3\n"
    cues = read(text).cues
    assert (len(cues), cues[-1].end) == (4, 5.0)


def test_exclamations_said_twice_are_kept_where_nothing_rolls(read) -> None:
    said = ["Two!", "Two!", "Here we go", "Stalling", "Stalling", "Two!", "Two!", "Two!", "Out"]
    text = "".join(
        f"{n}\n00:00:{n * 3:02d},000 --> 00:00:{n * 3 + 1:02d},000\n{line}\n\n"
        for n, line in enumerate(said, 1)
    )
    assert [cue.text for cue in read(text).cues] == said
