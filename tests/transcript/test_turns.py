"""Signs of a change of speaker are no text; where they tell something, another speaker begins."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.transcript import Transcript
from extract.transcript.decode import source_of
from extract.transcript.read import transcript_in

_SIGNS = [
    "- ",
    "-",
    "– ",
    "— ",
    "−",
    ">> ",
    ">>",
    ">>> ",
    "> ",
    "&gt;&gt; ",
    "＞＞ ",
    "• ",
    "* ",
    "♪ ",
    "♫",
    "# ",
    "- >> ",
]


def _captions(*texts: str) -> Transcript:
    blocks = (f"{n}\n00:{n:02d}:05,000 --> 00:{n:02d}:09,000\n{text}\n" for n, text in enumerate(texts, 1))
    return transcript_in(source_of("\n".join(blocks).encode(), "talk.srt"))


def _read(*texts: str) -> list[tuple[str, bool]]:
    return [(cue.text, cue.turn) for cue in _captions(*texts).cues]


@pytest.mark.parametrize("sign", _SIGNS)
def test_a_sign_is_no_text_and_tells_of_another_speaker(sign: str) -> None:
    assert _read("He circles", f"{sign}Two already") == [("He circles", False), ("Two already", True)]
    (_, cue) = _captions("He circles", f"{sign}Two already").cues
    assert f"{sign}Two already"[cue.source_position(0) :] == "Two already"


@pytest.mark.parametrize("sign", _SIGNS)
@given(
    texts=st.lists(
        st.sampled_from(["He circles", "Two, red", "one\nor two", "3-1", "♪", "-"]), min_size=1, max_size=12
    )
)
def test_a_sign_of_all_captions_only_goes_out(sign: str, texts: list[str]) -> None:
    spoken = [text for text in texts if text[0].isalnum()]
    if not spoken:
        return
    signed = [
        f"{sign}{text}" if text[0].isalpha() or (sign[-1] == " " and sign != "# ") else text
        for text in spoken
    ]
    if sum(map(str.__ne__, signed, spoken)) > 0.9 * len(spoken):
        assert _read(*signed) == _read(*spoken)


def test_two_speakers_in_one_caption_are_two_cues() -> None:
    transcript = _captions("He circles.", "- Two for red!\n- Is it?")
    assert [(cue.index, cue.text, cue.turn) for cue in transcript.cues] == [
        (1, "He circles.", False),
        (2, "Two for red!", True),
        (2, "Is it?", True),
    ]
    _, one, two = transcript.cues
    assert (one.start, two.end) == (125.0, 129.0)
    assert 125.0 < one.end <= two.start < 129.0
    assert two.source_position(0) == len("- Two for red!\n- ")


def test_two_speakers_in_every_caption_are_still_two() -> None:
    assert _read("- Two!\n- Is it?", "- It stands.", "- Four.") == [
        ("Two!", False),
        ("Is it?", True),
        ("It stands.", False),
        ("Four.", False),
    ]


def test_a_sign_of_all_lines_only_goes_out() -> None:
    texts = ["Two!\nFor red.", "It\nstands.", "So he\nleads.", "Two-nil."]
    signed = ["- " + text.replace("\n", "\n- ") for text in texts]
    assert _read(*signed) == [(text, False) for text in texts]
    # Where only some do, each of them tells.
    assert _read(*texts[:1], *signed[1:])[-3:] == [("So he", True), ("leads.", True), ("Two-nil.", True)]


def test_chevrons_tell_within_a_line_too() -> None:
    assert _read("So it stands. >> It does.", "Two-nil. >>", "Red leads.", ">>", "Here we go") == [
        ("So it stands.", False),
        ("It does.", True),
        ("Two-nil.", False),
        ("Red leads.", True),
        ("Here we go", True),
    ]


def test_music_is_no_talk_wherever_its_notes_stand() -> None:
    assert _read("♪ one two ♪", "Four red", "up ♫ three two ♫", "now") == [
        ("one two", True),
        ("Four red", True),
        ("up", False),
        ("three two", True),
        ("now", True),
    ]
    assert _read("♪ ♪", "Two", "red\n♪", "# one")[0] == ("Two", True)


@pytest.mark.parametrize(
    "text",
    [
        "It's 2\n- 1, red",
        "It's 2\n-1, red",
        "hanging on to his\n— what's he got?",
        "-1 blue",
        "#4 seed",
        "# 4 seed",
        "*applause*",
        "2 > 1",
        "two - one",
    ],
)
def test_what_is_no_sign_stays(text: str) -> None:
    assert _read("He circles.", text, "Two.") == [("He circles.", False), (text, False), ("Two.", False)]


def test_a_dash_between_figures_is_a_sign_where_dashes_begin_captions() -> None:
    assert _read("He circles.", "- Is it?", "Takedown for 2\n- 2 already")[2:] == [
        ("Takedown for 2", False),
        ("2 already", True),
    ]


def test_a_sentence_that_breaks_off_is_taken_up_by_a_dash() -> None:
    for dash in ("—", "— ", "--", "-- ", "-"):
        assert _read(f"He goes for {dash}", f"{dash}the takedown", "Is it?")[1] == (
            f"{dash}the takedown",
            False,
        )
    assert _read("He goes for —", "- Is it?", "Yes.")[1] == ("Is it?", True)


def test_an_item_of_a_list_stands_for_itself() -> None:
    text = "[0:05] So far:\n• red two\n• blue one\n\n[0:20] - IDA: Up.\n- IDA: Down.\n"
    cues = transcript_in(source_of(text.encode(), "talk.txt")).cues
    assert [(cue.text, cue.turn, cue.speaker) for cue in cues] == [
        ("So far:", False, None),
        ("red two", True, None),
        ("blue one", True, None),
        ("Up.", True, "IDA"),
        ("Down.", True, "IDA"),
    ]


def test_the_time_of_a_sign_is_not_that_of_the_word_after_it() -> None:
    words = [("-", 1.0), ("Two", 2.0), ("up.", 2.5), ("Is", 4.0), ("it?", 4.5)]
    tree = {"words": [{"word": word, "start": start, "end": start + 0.4} for word, start in words]}
    cues = transcript_in(source_of(json.dumps(tree).encode(), "talk.json")).cues
    assert [(cue.text, cue.turn, cue.anchors) for cue in cues] == [
        ("Two up.", True, ((0, 2.0), (4, 2.5))),
        ("Is it?", False, ((0, 4.0), (3, 4.5))),
    ]
