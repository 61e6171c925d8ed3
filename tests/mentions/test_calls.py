"""Awards and warnings as they are called, and numbers that award nothing. How they are called is common practice."""

from __future__ import annotations

import pytest

from extract.mentions.model import CallMention, ScoreMention
from tests.made_talk import awards, bout, found, heard, points, unmarked

CALLED = [
    # rules, text, kinds, points, corner credited
    ("freestyle", "Two for red!", (), 2, "red"),
    ("freestyle", "Two points, blue corner.", (), 2, "blue"),
    ("freestyle", "Two! Two blue!", (), 2, "blue"),
    ("freestyle", "blue scores four", (), 4, "blue"),
    ("freestyle", "Felmouth gets one.", (), 1, "red"),
    ("freestyle", "The referee gives two to Strandlow.", (), 2, "blue"),
    ("freestyle", "They award four to Kestrel Bay.", (), 4, "red"),
    ("freestyle", "takedown red", ("takedown",), None, "red"),
    ("freestyle", "Red with the takedown.", ("takedown",), None, "red"),
    ("freestyle", "Takedown, blue, two points.", ("takedown",), 2, "blue"),
    ("freestyle", "Two for the takedown, Strandlow!", ("takedown",), 2, "blue"),
    ("freestyle", "td felmouth two points", ("takedown",), 2, "red"),
    ("freestyle", "step out, one, red", ("step_out",), 1, "red"),
    ("freestyle", "One for the step-out, red.", ("step_out",), 1, "red"),
    ("freestyle", "Strandlow steps out, one for Felmouth.", ("step_out",), 1, "red"),
    ("freestyle", "pushed out, one point, Marrowick", ("step_out",), 1, "blue"),
    ("freestyle", "Exposure, two, Strandlow.", ("exposure",), 2, "blue"),
    ("freestyle", "gut wrench, two red", ("exposure",), 2, "red"),
    ("freestyle", "Four points for Felmouth with that big throw!", ("throw",), 4, "red"),
    ("freestyle", "Grand amplitude! Five points, red.", ("throw",), 5, "red"),
    ("freestyle", "another takedown felmouth", ("takedown",), None, "red"),
    (
        "freestyle",
        "They put Felmouth on the clock, thirty seconds.",
        ("activity_clock_start",),
        None,
        "blue",
    ),
    ("freestyle", "he's going for the gut wrench and over two more blue", ("exposure",), 2, "blue"),
    ("collegiate", "E1 red", ("escape",), 1, "red"),
    ("collegiate", "NF3 Strandlow", ("near_fall",), 3, "blue"),
    ("freestyle", "Strandlow gets pinned!", ("fall",), None, "red"),
    ("freestyle", "Felmouth has just pinned Strandlow!", ("fall",), None, "red"),
    ("collegiate", "Felmouth gets the point for riding.", ("riding_time",), None, "red"),
    ("freestyle", "Felmouth runs him over the line, one.", ("step_out",), 1, "red"),
    ("freestyle", "Takedown's good, Strandlow, the table has confirmed it.", ("takedown",), None, "blue"),
    ("collegiate", "The riding time point goes to Felmouth.", ("riding_time",), None, "red"),
    ("collegiate", "the mat is slapped fall for strandlow", ("fall",), None, "blue"),
    ("freestyle", "Reversal! One point, blue.", ("reversal",), 1, "blue"),
    ("freestyle", "Caution blue, one for red.", ("caution",), 1, "red"),
    ("freestyle", "Passivity on red.", ("passivity_warning",), None, "blue"),
    ("freestyle", "Activity clock on Felmouth.", ("activity_clock_start",), None, "blue"),
    ("greco", "Passivity against Strandlow, one for Felmouth.", ("passivity_point",), 1, "red"),
    ("freestyle", "And it's a pin, Felmouth with the fall!", ("fall",), None, "red"),
    ("collegiate", "Takedown Strandlow, three!", ("takedown",), 3, "blue"),
    ("collegiate", "Escape, one, Felmouth.", ("escape",), 1, "red"),
    ("collegiate", "Near fall, four points, red.", ("near_fall",), 4, "red"),
    ("collegiate", "Reversal for two, Kestrel Bay.", ("reversal",), 2, "red"),
    ("collegiate", "Warned for stalling, Strandlow.", ("stalling_warning",), None, "red"),
    ("collegiate", "Locked hands, one to Strandlow.", ("penalty_point",), 1, "blue"),
    ("scholastic", "Near fall, three, Felmouth.", ("near_fall",), 3, "red"),
    ("freestyle", "Caution and one, against blue.", ("caution",), 1, "red"),
    ("freestyle", "Caution against blue, one point.", ("caution",), 1, "red"),
    ("greco", "Passivity, one point, against Strandlow.", ("passivity_point",), 1, "red"),
    ("greco", "Passivity against Strandlow, one point.", ("passivity_point",), 1, "red"),
    ("collegiate", "Second stall on blue, one point.", ("stalling_point",), 1, "red"),
    ("collegiate", "Second stall on blue, one point red.", ("stalling_point",), 1, "red"),
    ("collegiate", "Stalling point to red.", ("stalling_point",), None, "red"),
    ("freestyle", "Point is awarded to the red wrestler for a step-out.", ("step_out",), 1, "red"),
    ("freestyle", "Felmouth surrenders a step-out.", ("step_out",), None, "blue"),
    ("freestyle", "Strandlow concedes the takedown.", ("takedown",), None, "red"),
    ("freestyle", "Takedown against Strandlow.", ("takedown",), None, "red"),
    ("freestyle", "Two hands - three points, takedown, Strandlow.", ("takedown",), 3, "blue"),
]


@pytest.mark.parametrize(("rules", "text", "kinds", "points_", "corner"), CALLED)
def test_a_call(rules: str, text: str, kinds: tuple[str, ...], points_: int | None, corner: str) -> None:
    (mention,) = found(CallMention, text, rules)
    assert (mention.kinds, mention.points, mention.corner) == (kinds, points_, corner)
    assert mention.stance == "asserted"


@pytest.mark.parametrize("rules", ["freestyle", "greco", "collegiate", "scholastic"])
def test_each_style_knows_its_kinds_only(rules: str) -> None:
    olympic = rules in ("freestyle", "greco")
    assert bool(found(CallMention, "Step-out, one, red.", rules)[0].kinds) == olympic
    assert any("escape" in m.kinds for m in found(CallMention, "Escape, red, one point.", rules)) != olympic


@pytest.mark.parametrize(
    ("text", "points_", "corner"),
    [
        ("And two more for blue.", 2, "blue"),
        ("Another two, red.", 2, "red"),
        ("two more red", 2, "red"),
        ("One more point for Strandlow.", 1, "blue"),
    ],
)
def test_a_further_award(text: str, points_: int, corner: str) -> None:
    (mention,) = found(CallMention, text)
    assert (mention.points, mention.corner, mention.more) == (points_, corner, True)


@pytest.mark.parametrize(
    ("text", "points_", "corner"),
    [
        ("Felmouth helps himself to two.", 2, "red"),
        ("Strandlow answers with two of his own.", 2, "blue"),
        ("Two goes up for Strandlow.", 2, "blue"),
        ("Four it is, Felmouth.", 4, "red"),
        ("Two for the lad from Strandlow.", 2, "blue"),
        ("That's two. Who for? Felmouth.", 2, "red"),
        ("Out goes Felmouth, one.", 1, "blue"),
        ("Felmouth's on his back, two.", 2, "blue"),
        ("Strandlow's been walked out for one.", 1, "red"),
        ("Felmouth's out. One the other way.", 1, "blue"),
    ],
)
def test_whose_points_are_that_are_told_around(text: str, points_: int, corner: str) -> None:
    calls = [m for m in found(CallMention, text) if m.points is not None]
    assert [(m.points, m.corner) for m in calls] == [(points_, corner)]


@pytest.mark.parametrize(
    "text",
    [
        "They both get two.",
        "Two for each of them.",
        "The referee has given them two each.",
        "Each is awarded two.",
    ],
)
def test_points_for_both_are_two_awards(text: str) -> None:
    assert [(m.points, m.corner) for m in found(CallMention, text)] == [(2, "red"), (2, "blue")]


def test_a_fall_with_points_is_a_near_fall() -> None:
    (call,) = found(CallMention, "fall felmouth three points", "collegiate")
    assert (call.kinds, call.points, call.corner) == (("near_fall",), 3, "red")


@pytest.mark.parametrize(
    "text",
    [
        "Get your two, Felmouth.",
        "That should be two for Felmouth.",
        "I'd give Felmouth two for that.",
        "I don't think that's two for Strandlow.",
        "That's the one, Felmouth!",
        "He has four fingers on the wrist.",
    ],
)
def test_points_that_nobody_gave(text: str) -> None:
    assert [m for m in found(CallMention, text) if m.points is not None] == []


def test_awards_of_one_sentence_stay_apart() -> None:
    mentions = found(CallMention, "Two for red, and now one for blue.")
    assert [(m.points, m.corner) for m in mentions] == [(2, "red"), (1, "blue")]


NOTHING_GIVEN = [
    "He works the two-on-one.",
    "Two on one there, good control.",
    "It is one for one.",
    "The number two man in the country.",
    "The two seed.",
    "Round two of three.",
    "We are in period two.",
    "Top two go through.",
    "Two minutes left.",
    "Two guys who know each other.",
    "Down by two, Felmouth.",
    "Two shots so far from Strandlow.",
    "These two have met before.",
    "Felmouth leads four to two.",
    "On mat two they are still going.",
    "Felmouth wrestles at 74 kilos.",
    "He takes a long step, back to the middle.",
]


@pytest.mark.parametrize("text", NOTHING_GIVEN)
def test_no_points_given(text: str) -> None:
    assert [m for m in found(CallMention, text) if m.points is not None] == []


NO_AWARD = [
    "If he gets a takedown here he is back in it.",
    "A takedown would tie it up.",
    "Did he get the two for that?",
    "Was that a takedown?",
    "No takedown there.",
    "No points, they are out of bounds.",
    "Not a takedown yet, he is still fighting it.",
    "He is looking for the takedown.",
    "Blue needs a takedown.",
    "Come on, get the takedown, blue!",
    "Strandlow almost had the takedown.",
    "He had two takedowns in the semifinal.",
    "Felmouth had eleven takedowns this season.",
    "Strandlow defends the takedown well.",
    "Maybe a step out next, who knows?",
    "A step out could do it for blue.",
    "Three, two, one, and off they go.",
    "A four-minute break before this.",
    "He is out here with four teammates.",
]


@pytest.mark.parametrize("text", NO_AWARD)
def test_nothing_goes_on_the_board(text: str) -> None:
    record = bout("Here we go, first period.", "They circle.", text, "Still nothing-nothing.")
    assert awards(record) == []


@pytest.mark.parametrize("text", NO_AWARD)
def test_nothing_goes_on_the_board_without_marks(text: str) -> None:
    record = bout("here we go first period", "they circle", unmarked(text), "still nothing nothing")
    assert awards(record) == []


#: "Two two blue" may be a score as well.
UNMARKED = [row for row in CALLED if not row[1].startswith(("Two!", "Caution and one"))]


@pytest.mark.parametrize(("rules", "text", "kinds", "points_", "corner"), UNMARKED)
def test_a_call_in_captions_without_marks(
    rules: str, text: str, kinds: tuple[str, ...], points_: int | None, corner: str
) -> None:
    talk = heard("here we go first period", unmarked(text), "they circle in the center", rules=rules)
    (mention,) = [m for m in talk.mentions if isinstance(m, CallMention)]
    assert (mention.kinds, mention.points, mention.corner) == (kinds, points_, corner)


def test_a_score_is_no_award_and_an_award_no_score() -> None:
    both = heard("Two for red! Four-two, red.").mentions
    assert [m.points for m in both if isinstance(m, CallMention)] == [2]
    assert [m.pair for m in both if isinstance(m, ScoreMention)] == [(4, 2)]


def test_a_call_runs_over_the_end_of_a_caption() -> None:
    record = bout("Here we go, first period.", "And that is a take", "down for the man in blue, two points.")
    assert points(record) == [("blue", 2)]
