"""Who is in which corner, from the talk alone and with what is given. All people and teams are invented."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extract.cast.find import corner_refs, corner_words, find_cast
from tests.made_talk import words_of

if TYPE_CHECKING:
    from extract.transcript.bout_file import BoutFile

_LATER = (
    "\nOster circling.\nShot from Kessel, no, Oster sprawls.\nTakedown, Oster, two!\nKessel up."
    "\nTwo nothing Oster."
)
_LATER_LOW = _LATER.lower().replace(",", "").replace(".", "").replace("!", "")


@dataclass(frozen=True)
class _Side:
    name: str | None = None
    team: str | None = None
    aliases: tuple[str, ...] = ()
    colour: str | None = None


@dataclass(frozen=True)
class _Bout:
    red: _Side
    blue: _Side


def bout(red: _Side, blue: _Side) -> BoutFile:
    return cast("BoutFile", _Bout(red, blue))


@pytest.mark.parametrize(
    "intro",
    [
        "In the red corner, Mira Oster of Nordale. In the blue corner, Edvin Kessel of Vastmark.",
        "In red, for Nordale, Mira Oster. In the blue singlet, out of Vastmark, Edvin Kessel.",
        "Mira Oster in the red for Nordale, Edvin Kessel in blue, from Vastmark.",
        "Red: Mira Oster, Nordale. Blue: Edvin Kessel, Vastmark.",
        "Blue corner, the local man, Edvin Kessel of Vastmark. Red corner, Mira Oster, Nordale.",
        "Red: Mira Oster (Nordale). Blue: Edvin Kessel (Vastmark).",
        "Mira Oster, Nordale, she's in the red. And blue is Edvin Kessel of Vastmark.",
        "On the left in red, Nordale's Mira Oster. On the right in blue, Vastmark's Edvin Kessel.",
        "Mat two. Edvin Kessel has the blue singlet on, from Vastmark. Mira Oster of Nordale is in red.",
    ],
)
def test_introductions_in_many_shapes(intro: str) -> None:
    found = find_cast(words_of(intro + _LATER), None)
    assert (found.red.name, found.red.team) == ("Mira Oster", "Nordale")
    assert (found.blue.name, found.blue.team) == ("Edvin Kessel", "Vastmark")
    assert {found.red.name_from, found.red.team_from, found.blue.name_from} == {"heard"}


@pytest.mark.parametrize(
    "intro",
    [
        "so in the red singlet that's mira oster from nordale and in the blue\nedvin kessel out of vastmark",
        "so in red it's mira oster from nordale and\nedvin kessel's in blue for vastmark okay",
        "on our left in the red mira oster of nordale college\nand in blue edvin kessel vastmark club",
        "blue corner edvin kessel for vastmark red corner mira\noster of nordale",
    ],
)
def test_lower_case_captions(intro: str) -> None:
    found = find_cast(words_of(intro + _LATER_LOW), None)
    assert (found.red.name, found.blue.name) == ("Mira Oster", "Edvin Kessel")
    assert found.red.team.startswith("Nordale")
    assert found.blue.team.startswith("Vastmark")


def test_the_usual_spelling_of_a_surname_wins_over_one_mishearing() -> None:
    text = "in red mira dragamel and in blue edvin kessel\n" + "dragomel shoots\nkessel waits\n" * 4
    assert find_cast(words_of(text), None).red.name == "Mira Dragomel"


def test_a_surname_that_is_an_everyday_word_may_open_the_introduction() -> None:
    text = "Quill in red, Fenwick in blue.\nTakedown Quill, two nothing.\nQuill again."
    cast = find_cast(words_of(text), None)
    assert (cast.red.name, cast.blue.name) == ("Quill", "Fenwick")


def test_a_team_in_brackets_is_all_that_stands_in_them() -> None:
    text = "Red: Mira Oster (Cooper's Slip). Blue: Edvin Kessel (Upper Marl)." + _LATER
    found = find_cast(words_of(text), None)
    assert (found.red.team, found.blue.team) == ("Cooper's Slip", "Upper Marl")


def test_what_follows_a_particle_is_of_the_name() -> None:
    text = "so it's van der moor in red and kessel in blue\nvan der moor up\nkessel waits\nkessel shoots"
    found = find_cast(words_of(text), None)
    assert (found.red.name, found.blue.name) == ("van der Moor", "Kessel")


def test_a_surname_heard_before_the_whole_name_does_not_part_it() -> None:
    text = "kessel is out first\nso oster's in red for nordale and edvin kessel in blue" + _LATER_LOW
    found = find_cast(words_of(text), None)
    assert (found.red.name, found.blue.name) == ("Oster", "Edvin Kessel")


def test_a_given_name_told_later_completes_the_surname() -> None:
    text = (
        "In red, Oster, and in blue, Kessel.\n"
        + "Oster up. Kessel waits.\n" * 3
        + "So it's Mira Oster who wins."
    )
    assert find_cast(words_of(text), None).red.name == "Mira Oster"


def test_the_bout_file_goes_before_what_is_heard_and_the_user_before_both() -> None:
    doc = words_of("In red, Mira Oster of Nordale. In blue, Edvin Kessel of Vastmark." + _LATER)
    sides = bout(_Side("Mirabel Oster"), _Side("Edvin Kessel", "Vastmark AC"))
    found = find_cast(doc, sides)
    assert (found.red.name, found.red.name_from) == ("Mirabel Oster", "given")
    assert (found.red.team, found.red.team_from) == ("Nordale", "heard")
    assert (found.blue.team, found.blue.team_from) == ("Vastmark AC", "given")
    assert find_cast(doc, sides, red="Mimi Oster").red.name == "Mimi Oster"


def test_one_name_given_leaves_the_other_to_the_talk() -> None:
    doc = words_of("In red, Mira Oster of Nordale. In blue, Edvin Kessel of Vastmark." + _LATER)
    found = find_cast(doc, None, blue="Edvin Kessel")
    assert (found.red.name, found.red.name_from, found.blue.name_from) == ("Mira Oster", "heard", "given")


def test_a_name_given_for_the_other_corner_turns_the_bout_file_round() -> None:
    doc = words_of("Here we go." + _LATER)
    found = find_cast(doc, bout(_Side("Mira Oster"), _Side("Edvin Kessel")), red="Edvin Kessel")
    assert (found.red.name, found.blue.name) == ("Edvin Kessel", "Mira Oster")


def test_nothing_said_leaves_the_names_empty() -> None:
    doc = words_of("two for red\nand one back for blue\nthat's time")
    found = find_cast(doc, None)
    assert (found.red.name, found.blue.name, found.home) == ("", "", None)
    assert [ref.corner for ref in corner_refs(doc, found)] == ["red", "blue"]


def test_an_empty_transcript() -> None:
    found = find_cast(words_of(""), None)
    assert found.red.name == ""
    assert corner_refs(words_of(""), found) == []


COACHES = (
    "Okay Mira, hands first.\nGo on, go on!\nSir, she's holding!\nGood, Mira, good.\nThat's ours!\n"
    "Mira! Look at me.\nYou're up two, Mira, stay there.\nWe've got all day.\nWas that us, coach?\n"
    "Move your feet, Mira!\nDown, Mira, down!"
)


def test_a_coach_s_microphone_shows_whose_side_it_is_on() -> None:
    sides = bout(_Side("Edvin Kessel"), _Side("Mira Oster"))
    doc = words_of(COACHES)
    found = find_cast(doc, sides)
    assert found.home == "blue"
    home = {(doc.lower[ref.start], ref.corner) for ref in corner_refs(doc, found) if ref.how == "home"}
    assert {("ours", "blue"), ("we", "blue"), ("you", "blue")} <= home


def test_a_commentator_who_says_we_has_no_side() -> None:
    text = (
        "We're back. You know, we love Oster. Go on! We have Kessel in blue. Our camera sees you, Mira.\n" * 4
    )
    doc = words_of(text)
    found = find_cast(doc, bout(_Side("Mira Oster"), _Side("Edvin Kessel")))
    assert found.home is None
    assert not [ref for ref in corner_refs(doc, found) if ref.how == "home"]


def test_a_partisan_who_says_so_has_a_side() -> None:
    text = (
        "Red, Edvin Kessel. Blue, Mira Oster. She's ours, we're not neutral.\n"
        "Stay in, Mira.\nGo on, Mira!\nTo us, that one."
    )
    doc = words_of(text)
    found = find_cast(doc, None)
    assert found.home == "blue"
    assert [doc.lower[r.start] for r in corner_refs(doc, found) if r.how == "home"] == ["ours", "us"]


def test_introductions_all_in_capitals() -> None:
    intro = "IN THE RED CORNER, MIRA OSTER OF NORDALE. IN THE BLUE CORNER, EDVIN KESSEL OF VASTMARK."
    found = find_cast(words_of(intro + _LATER.upper()), None)
    assert (found.red.name, found.blue.name) == ("Mira Oster", "Edvin Kessel")


_WORDS = st.sampled_from(
    [
        *[
            "in",
            "the",
            "red",
            "blue",
            "corner",
            "Mira",
            "Oster",
            "Kessel",
            "of",
            "from",
            "Nordale",
            "state",
            "club",
            "-",
            "'s",
            ",",
            ".",
            ":",
            "(",
            "and",
            "is",
            "mark",
            "grace",
        ],
        "\n",
    ]
)


@given(st.lists(_WORDS, max_size=40), st.booleans())
def test_any_talk_yields_a_cast_of_two_different_people(words: list[str], lower: bool) -> None:
    text = " ".join(words)
    doc = words_of(text.lower() if lower else text)
    found = find_cast(doc, None)
    assert not found.red.name or found.red.name != found.blue.name
    corner_refs(doc, found)


def test_a_given_name_without_a_word_is_no_crash() -> None:
    found = find_cast(
        words_of("In red, Mira Oster of Nordale. In blue, Edvin Kessel." + _LATER), None, blue="-"
    )
    assert (found.red.name, found.blue.name) == ("Mira Oster", "-")


@pytest.mark.parametrize(
    ("style", "text", "corners"),
    [
        ("collegiate", "Takedown, green! And green leads.", ["blue", "blue"]),
        ("freestyle", "Takedown, green!", []),
        ("foil", "Green light! Then one light, red.", ["blue", "red"]),
        ("freestyle", "The red light is on.", []),
        ("foil", "Touch left. Riposte from the right.", ["red", "blue"]),
        ("foil", "Ten seconds left, right then, her left arm is out.", []),
        ("collegiate", "Touch left.", []),
    ],
)
def test_a_style_has_its_own_words_for_the_corners(style: str, text: str, corners: list[str]) -> None:
    doc = words_of(text)
    found = find_cast(doc, None, words=corner_words(style))
    assert [ref.corner for ref in corner_refs(doc, found)] == corners


def test_the_colours_of_the_bout_file_go_before_those_of_the_style() -> None:
    doc = words_of("Takedown, green! Then red escapes, and white has nothing.")
    worn = bout(_Side("Mira Oster", colour="Green"), _Side("Edvin Kessel", colour="red"))
    found = find_cast(doc, worn, words=corner_words("collegiate"))
    assert [ref.corner for ref in corner_refs(doc, found)] == ["red", "blue"]
