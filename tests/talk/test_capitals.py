"""What is written in capitals is read as if it were not. All people and teams are invented."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.cast.find import find_cast
from extract.mentions import TalkDocument, hear
from extract.mentions.model import CallMention, ScoreMention
from extract.talk.capitals import plain_capitals
from tests.made_talk import bout_file, transcript, words_of

LINES = (
    "Felmouth in red from Kestrel Bay, Strandlow in blue.",
    "Takedown, Felmouth, for two! It's two-nothing.",
    "And a step-out. I'd say that's one for Strandlow, two-one.",
    "He's won it, Felmouth by five to two. Don't go away.",
)


def test_a_talk_in_capitals_is_heard_like_the_same_in_small_letters() -> None:
    small, capital = (
        hear(transcript(*(change(line) for line in LINES)), "freestyle", bout_file())
        for change in (str.lower, str.upper)
    )
    assert capital.mentions == small.mentions
    assert capital.refs == small.refs


@pytest.mark.parametrize("bout", [bout_file(), None])
def test_one_speaker_s_captions_in_capitals_are_heard_like_the_others(bout: object) -> None:
    """Common practice: one speaker's captions are all in capitals, to tell them from the other's."""
    plain = hear(transcript(*LINES), "freestyle", bout)  # type: ignore[arg-type]
    mixed = hear(transcript(*LINES[:2], LINES[2].upper(), LINES[3]), "freestyle", bout)  # type: ignore[arg-type]
    assert mixed.mentions == plain.mentions
    assert (mixed.cast.red.name, mixed.cast.blue.name) == (plain.cast.red.name, plain.cast.blue.name)


def test_a_word_shouted_is_no_talk_in_capitals() -> None:
    lines = ("Felmouth shoots. TWO! That's TWO for red!", "TWO RED!")
    assert plain_capitals(lines) == list(lines)


def test_names_keep_the_capital_that_other_cues_give_them() -> None:
    said = ["And now Felmouth, in the red.", "The crowd wants Felmouth in.", "CROWD FOR FELMOUTH, R UP"]
    assert plain_capitals(said)[2] == "Crowd for Felmouth, R up"


def test_a_place_in_capitals_is_quoted_as_it_stands() -> None:
    heard = hear(transcript("STRASSE İZ ẞ: TAKEDOWN RED, TWO. TWO-NOTHING."), "freestyle", bout_file())
    texts = [heard.place(m).text for m in heard.mentions if isinstance(m, ScoreMention | CallMention)]
    assert "TWO-NOTHING" in texts


@pytest.mark.parametrize(
    ("text", "red", "blue"),
    [
        ("ADA VELL, NORDALE, IN RED. IN BLUE, IDA HOLT.", ("Ada Vell", "Nordale"), ("Ida Holt", "")),
        ("VELL (NORDALE) RED. HOLT (LARCH HILL) BLUE.", ("Vell", "Nordale"), ("Holt", "Larch Hill")),
        (
            "ADA VELL, KARST TECH, RED. IN BLUE, IDA HOLT-RAYE, OSMERIA.",
            ("Ada Vell", "Karst Tech"),
            ("Ida Holt-Raye", "Osmeria"),
        ),
    ],
)
def test_a_team_beside_a_name_is_found_without_capitals(
    text: str, red: tuple[str, str], blue: tuple[str, str]
) -> None:
    later = "\nHOLT CIRCLES.\nVELL SHOOTS, HOLT SPRAWLS.\nVELL, TWO!\nHOLT, ONE!\nVELL LEADS."
    found = find_cast(words_of(text + later), None)
    assert (found.red.name, found.red.team) == red
    assert (found.blue.name, found.blue.team) == blue


@given(st.lists(st.text(max_size=30), max_size=5))
def test_no_text_gets_longer_or_changes_but_in_its_capitals(texts: list[str]) -> None:
    for old, new in zip(texts, plain_capitals(texts), strict=True):
        assert len(new) == len(old)
        assert new.lower() == old.lower()
    TalkDocument(transcript(*texts))
