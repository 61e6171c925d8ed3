from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    "stamps",
    [("[0:04]", "[0:24]", "[1:00:01]"), ("(0:04)", "(0:24)", "(1:00:01)"), ("0:04", "00:24", "1:00:01")],
)
@pytest.mark.parametrize("gap", [" ", "\n", "\t "])
def test_stamps(read, stamps: tuple[str, str, str], gap: str) -> None:
    text = f"{stamps[0]}{gap}Here we go.\nOff they\ngo.\n\n{stamps[1]}{gap}Two!\n\nOh my.\n\n\n{stamps[2]}{gap}Done.\n"
    cues = read(text).cues
    assert [(cue.index, cue.start, cue.text) for cue in cues] == [
        (1, 4.0, "Here we go.\nOff they\ngo."),
        (2, 24.0, "Two!\n\nOh my."),
        (3, 3601.0, "Done."),
    ]
    # 24 and 12 characters at 8 a second.
    assert [cue.end for cue in cues[:2]] == [7.0, 25.5]
    assert all(cue.origin == () for cue in cues)


def test_last_paragraph_lasts_as_long_as_it_takes_to_say(read) -> None:
    # Ten characters a second, the median of 5, 10 and 20, and fifty characters.
    text = f"[0:00] {'a' * 50}\n[0:10] {'b' * 100}\n[0:20] {'c' * 200}\n[0:30] {'d' * 50}\n"
    assert read(text).cues[-1].end == 35.0


def test_lone_paragraph_has_a_length(read) -> None:
    # Common practice: some 15 characters a second.
    assert read("[0:10] " + "a" * 30).cues[0].end == 12.0


def test_speakers(read) -> None:
    text = "[0:04] ANNA: Here we go.\nBEN KOSK: Yes,\nred: attack. Red: two.\n[0:20]\nANNA: Right.\n"
    cues = read(text).cues
    assert [(cue.index, cue.speaker, cue.text) for cue in cues] == [
        (1, "ANNA", "Here we go."),
        (1, "BEN KOSK", "Yes,\nred: attack. Red: two."),
        (2, "ANNA", "Right."),
    ]
    source = "ANNA: Here we go.\nBEN KOSK: Yes,\nred: attack. Red: two."
    for cue in cues[:2]:
        assert source[cue.source_position(0) : cue.source_position(len(cue.text))] == cue.text
    assert cues[0].start == 4.0
    assert cues[0].end <= cues[1].start < cues[1].end == 4.0 + len(source) / 8


def test_speakers_that_are_numbered_or_come_again(read) -> None:
    text = "[0:04] Speaker 1: Hello.\n[0:08] Anna: Two.\n[0:12] Anna: One.\n[0:16] Listen: no.\n[0:20] RED: two.\n"
    assert [cue.speaker for cue in read(text).cues] == ["Speaker 1", "Anna", "Anna", None, None]


def test_shouted_text_has_no_labels_by_capitals(read) -> None:
    assert read("[0:04] TWO FOR HIM: HE IS UP\n[0:08] OH MY\n").cues[0].text == "TWO FOR HIM: HE IS UP"


def test_only_the_files_own_stamps_count(read) -> None:
    text = "[0:04] They wrestle for\n2:46 left now\n(1:20) no stamp\n[0:24] Two!\n"
    assert [cue.text for cue in read(text).cues] == [
        "They wrestle for\n2:46 left now\n(1:20) no stamp",
        "Two!",
    ]


def test_score_at_line_start_is_no_bare_stamp(read) -> None:
    assert [cue.text for cue in read("0:04 It is\n3:1 now\n0:09 Yes\n").cues] == ["It is\n3:1 now", "Yes"]


def test_title_is_a_heading_but_talk_is_not(read, fail) -> None:
    head, go = read("Final, mat one\nSaturday\n\n[0:04] Go\n").cues
    assert (head.text, head.heading, head.index, head.start, head.end) == (
        "Final, mat one\nSaturday",
        True,
        1,
        4.0,
        4.0,
    )
    # The heading and a line end stand before it in the first cue's own text.
    assert (go.text, go.heading, go.index, go.start) == ("Go", False, 1, 4.0)
    assert (go.source_position(0), go.source_position(2)) == (24, 26)
    error = fail("\n" + "and they wrestle on " * 10 + "\n[0:04] Go\n")
    assert (error.problem, error.line) == ("talk before the first time", 2)


@pytest.mark.parametrize(
    ("stamp", "problem"),
    [
        ("[0:75]", "broken time '0:75'"),
        ("[-0:05]", "is negative"),
        ("[0:02]", "goes back from 4 s to 2 s"),
        ("[1:99:00]", "broken time"),
    ],
)
def test_bad_stamp_names_line(fail, stamp: str, problem: str) -> None:
    error = fail(f"[0:04] Here\n\n{stamp} we go\n")
    assert problem in error.problem
    assert error.line == 3


def test_no_text(fail) -> None:
    assert "no cue" in fail("[0:04]\n[0:08]\n").problem


def test_neither_a_dash_nor_a_colon_after_the_stamp_is_talk(read) -> None:
    assert [cue.text for cue in read("[0:04] - 0 it is\n[0:08]: Two\n").cues] == ["0 it is", "Two"]


@pytest.mark.parametrize(
    "text", ["[0:01] Five,0", "0:01 Five,0", "[0:01] Five,0:30", "0:01 Five;7\n0:09 Six;8"]
)
def test_numbers_after_commas_do_not_make_a_table(read, text: str) -> None:
    assert read(text).format == "block"


def test_paragraph_that_fills_its_time_lasts_to_the_next(read) -> None:
    cues = read(f"[0:10] {'a' * 80}\n[0:20] {'b' * 80}\n[1:00] Out\n").cues
    assert [cue.end for cue in cues[:2]] == [20.0, 30.0]


@pytest.mark.parametrize("stamp", ["[0:7x]", "[ 1:2O ]", "[0;45]", "[0:45:]", "[O:45]:", "[-O:45]"])
@pytest.mark.parametrize("first", [False, True])
def test_stamp_with_a_slip_is_no_talk(fail, stamp: str, first: bool) -> None:
    lines = [f"{stamp} Two!", "[0:24] Out."]
    error = fail("\n".join(lines if first else ["[0:04] Here we go.", *lines]) + "\n")
    assert "broken time" in error.problem
    assert error.line == (1 if first else 2)
    round_ = stamp.replace("[", "(").replace("]", ")")
    assert fail(f"(0:04) Go.\n{round_} Two!\n").line == 2


@pytest.mark.parametrize("line", ["[2:46 left] it says", "[crowd] Two!", "(0:7x) Two!", "[Ida: two]"])
def test_brackets_in_talk_are_no_stamp(read, line: str) -> None:
    assert read(f"[0:04] Go.\n{line}\n").cues[0].text.startswith("Go.\n")
