"""Flags on the talk as a whole: its language, its matter, and whose bout it is."""

from __future__ import annotations

from extract.bout import extract_bout
from extract.transcript import BoutFile, Side
from tests.made_talk import bout_file, transcript

OPENING = "In the red corner, Dara Felmouth of Kestrel Bay. In blue, from Marrowick, Ilsa Strandlow."
BOUT = (
    OPENING,
    "Here we go, first period.",
    "Takedown, Felmouth! Two points.",
    "Two-nothing, Felmouth, and they are back on their feet in the center.",
    "Strandlow pushes, Felmouth circles, nothing in it for either of them yet.",
    "Step-out, one, Strandlow.",
    "Two-one, Felmouth.",
)


def kinds(*lines: str, bout: BoutFile | None) -> set[str]:
    return {flag.kind for flag in extract_bout(transcript(*lines), bout, rules="freestyle").flags}


def test_the_right_names_raise_nothing() -> None:
    assert not {"names", "corners", "language", "talk"} & kinds(*BOUT, bout=bout_file("freestyle"))


def test_corners_given_the_wrong_way_round() -> None:
    crossed = BoutFile(red=Side(name="Ilsa Strandlow"), blue=Side(name="Dara Felmouth"))
    assert "corners" in kinds(*BOUT, bout=crossed)


def test_names_of_another_bout() -> None:
    others = BoutFile(red=Side(name="Zed Quibbolin"), blue=Side(name="Yan Morrowgate"))
    assert "names" in kinds(*BOUT, *BOUT[1:], *BOUT[1:], bout=others)


def test_a_talk_in_another_language() -> None:
    german = (
        "Guten Abend aus der Halle, wir sehen gleich den letzten Kampf des Tages.",
        "Beide Ringer kommen auf die Matte und der Kampfrichter gibt den Kampf frei.",
        "Jetzt greift der Rote an, und das sind zwei Punkte, das war sehr stark gemacht.",
    )
    assert "language" in kinds(*german, bout=None)


def test_a_talk_on_something_else() -> None:
    baking = ("Now fold the butter into the dough and let it rest for a while in a cool place.",) * 20
    assert "talk" in kinds(*baking, bout=None)
