"""Who is in which corner where only one is said to be, in other colours, or neither. All people and teams are invented."""

from __future__ import annotations

import pytest

from extract.bout import extract_bout
from extract.cast.find import corner_refs, corner_words, find_cast
from extract.transcript.bout_file import BoutFile, Side
from tests.made_talk import transcript, words_of

_LATER = "\nOster circling.\nShot from Kessel, no, Oster sprawls.\nTakedown, Oster, two!\nKessel up.\nTwo nothing Oster."
_RED, _BLUE = ("Mira Oster", "Nordale"), ("Edvin Kessel", "Vastmark")

ONE_SAID = [
    "In the red corner stands Mira Oster, with Edvin Kessel opposite her in blue.",
    "In the red corner stands Mira Oster, with Vastmark's Edvin Kessel opposite her.",
    "Mira Oster's in red. Her opponent is Edvin Kessel.",
    "Mira Oster has the red singlet on and she meets Edvin Kessel.",
    "Mira Oster versus Edvin Kessel, Oster in red.",
    "Edvin Kessel against Mira Oster, Oster in red.",
    "Edvin Kessel vs. Mira Oster; Kessel wears blue.",
    "She's in red, Mira Oster, up against Vastmark's Edvin Kessel.",
    "Mira Oster of Nordale, wearing red, takes on Edvin Kessel of Vastmark.",
    "In red we have Mira Oster, and across from her, Edvin Kessel.",
    "Across the mat from Mira Oster in red is Edvin Kessel.",
    "Opposite Mira Oster, who is in red, stands Edvin Kessel.",
    "Mira Oster has the red anklet, Edvin Kessel the other one.",
    "The one in red is Mira Oster. The other one is Edvin Kessel.",
    "Edvin Kessel's got the blue gear on, Mira Oster is his opponent.",
    "Edvin Kessel in the blue will wrestle Mira Oster.",
    "Red singlet for Mira Oster, blue singlet for Edvin Kessel.",
    "The blue singlet belongs to Edvin Kessel. The red one is Mira Oster's.",
    "Mira Oster gets us going in red, with Edvin Kessel in the blue.",
    "Mira Oster, the woman in red, plays host to Edvin Kessel.",
]
IN_ORDER = [
    "Here comes Mira Oster of Nordale. And now Edvin Kessel of Vastmark.",
    "Mira Oster versus Edvin Kessel.",
    "It's Mira Oster up against Vastmark's Edvin Kessel.",
    "First out, Mira Oster. And her opponent, Edvin Kessel.",
]
WORN = [
    ("Oster's in the black, Kessel's in the white.", "black", "white"),
    ("In white, Mira Oster of Nordale. In black, Edvin Kessel of Vastmark.", "white", "black"),
    ("Mira Oster has the gold singlet on, Edvin Kessel the purple singlet.", "gold", "purple"),
    ("In black stands Mira Oster, with Edvin Kessel opposite her in white.", "black", "white"),
]


def _unmarked(text: str) -> str:
    return "".join(char for char in text.lower() if char not in ".,;!")


@pytest.mark.parametrize("text", ONE_SAID)
@pytest.mark.parametrize("marks", [True, False])
def test_the_other_one_is_in_the_other_corner(text: str, marks: bool) -> None:
    if not marks and "gear" in text:
        pytest.skip("without marks the words say either")
    found = find_cast(words_of(text + _LATER if marks else _unmarked(text + _LATER)), None)
    assert (found.red.name, found.blue.name) == (_RED[0], _BLUE[0])
    assert (found.red.team or "Nordale", found.blue.team or "Vastmark") == (_RED[1], _BLUE[1])
    assert found.supposed == ""


@pytest.mark.parametrize("text", ONE_SAID)
def test_so_it_is_with_the_corners_exchanged(text: str) -> None:
    turned = text.replace("blue", "?").replace("Blue", "!").replace("red", "blue").replace("Red", "Blue")
    found = find_cast(words_of(turned.replace("?", "red").replace("!", "Red") + _LATER), None)
    assert (found.red.name, found.blue.name) == (_BLUE[0], _RED[0])


@pytest.mark.parametrize("text", IN_ORDER)
def test_where_nobody_says_it_the_one_named_first_is_supposed_to_be_red(text: str) -> None:
    """Common practice: red is called out first."""
    found = find_cast(words_of(text + _LATER), None)
    assert (found.red.name, found.blue.name, found.supposed) == (_RED[0], _BLUE[0], "order")


def test_the_order_says_nothing_where_the_talk_has_corners() -> None:
    found = find_cast(words_of("Oster meets Kessel.\nTwo red.\nOne blue.\nRed leads.\nOster.\nKessel."), None)
    assert (found.red.name, found.blue.name) == ("", "")


@pytest.mark.parametrize(("text", "red", "blue"), WORN)
def test_other_colours_are_those_of_the_two_sides(text: str, red: str, blue: str) -> None:
    doc = words_of(f"{text}{_LATER}\nTwo for {blue}!")
    found = find_cast(doc, None)
    assert (found.red.name.split()[-1], found.blue.name.split()[-1]) == ("Oster", "Kessel")
    assert dict(found.words.colours) == {"red": "red", "blue": "blue", red: "red", blue: "blue"}
    assert found.supposed == "colours"
    last = corner_refs(doc, found)[-1]
    assert (last.corner, last.how) == ("blue", "colour")


def test_who_is_given_in_red_says_whose_the_other_colours_are() -> None:
    doc = words_of("Kessel's in the black, Oster's in the white." + _LATER)
    found = find_cast(doc, None, red="Mira Oster", blue="Edvin Kessel")
    assert (dict(found.words.colours)["white"], found.supposed) == ("red", "")


def test_one_of_them_may_wear_another_colour_than_red_or_blue() -> None:
    found = find_cast(words_of("Edvin Kessel is in white, Mira Oster in blue." + _LATER), None)
    assert (found.red.name, found.blue.name) == ("Edvin Kessel", "Mira Oster")
    assert (dict(found.words.colours)["white"], found.supposed) == ("red", "")


@pytest.mark.parametrize(
    "text",
    [
        "In red, Mira Oster. In blue, Edvin Kessel. The referee in white waits, the lady in black too.",
        "Mira Oster in red, Edvin Kessel in blue. She's all in black and white stripes, that fan.",
    ],
)
def test_what_others_wear_is_no_corner(text: str) -> None:
    assert find_cast(words_of(text + _LATER), None).words == corner_words("freestyle")


def test_a_team_that_is_heard_is_never_an_athlete_s_name() -> None:
    text = "Anders Holmfirth is here, with Bertil Quaye. Holmfirth up.\nQuaye waits.\nHolmfirth shoots."
    found = find_cast(words_of(text), None, red="Anders Holmfirth", blue="Bertil Quaye")
    assert (found.red.team, found.blue.team) == ("", "")
    sides = BoutFile(red=Side("Anders Holmfirth"), blue=Side("Ana Quayle", None, ("Bertil Quaye",)))
    assert find_cast(words_of(text), sides).red.team == ""


def test_what_is_given_is_not_changed_by_what_is_heard() -> None:
    text = "In red, Mira Oster of Nordale, and facing her Edvin Kessel of Vastmark." + _LATER
    sides = BoutFile(
        red=Side("Ada Vell", "Holm", ("Oster",), "green"), blue=Side("Ida Holt", "Carn", (), "white")
    )
    found = find_cast(words_of(text), sides)
    for person, side in ((found.red, sides.red), (found.blue, sides.blue)):
        assert (person.name, person.team, person.aliases) == (side.name, side.team, side.aliases)
    assert dict(found.words.colours)["green"] == "red"
    assert dict(found.words.colours)["white"] == "blue"


def test_one_name_given_is_enough_where_the_other_is_set_against_it() -> None:
    found = find_cast(
        words_of("Mira Oster meets Edvin Kessel of Vastmark." + _LATER), None, blue="Mira Oster"
    )
    assert (found.red.name, found.red.team, found.red.name_from) == ("Edvin Kessel", "Vastmark", "heard")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Mira Oster versus Edvin Kessel.", "Mira Oster, named first, is taken for red."),
        ("Oster's in the black, Kessel's in the white.", "black is taken for red, and white for blue."),
    ],
)
def test_the_record_says_that_the_corners_are_only_supposed(text: str, why: str) -> None:
    record = extract_bout(transcript(text, *_LATER.split("\n")[1:]), rules="freestyle")
    (note,) = [f for f in record.flags if f.kind == "corners"]
    assert note.severity == "note"
    assert note.why.endswith(why)
