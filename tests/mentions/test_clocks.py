"""Times left as they are said on air, from the corner, by streamers and in typed notes: common practice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from extract.mentions import Heard, hear
from extract.mentions.model import CallMention, ClockMention, ScoreMention
from tests.made_talk import bout_file, found, heard, transcript

SAID = [
    # text, seconds, bound, clock, period
    ("Thirty seconds left.", 30, "exact", "bout", None),
    ("Three-quarters of a minute left.", 45, "exact", "bout", None),
    ("A minute to go.", 60, "exact", "bout", None),
    ("One minute remaining, folks.", 60, "exact", "bout", None),
    ("1:43 left in the period", 103, "exact", "bout", None),
    ("Two forty-eight on the clock.", 168, "exact", "bout", None),
    ("one fifty two to go", 112, "exact", "bout", None),
    ("A minute and a half to go.", 90, "exact", "bout", None),
    ("two and a half minutes left", 150, "exact", "bout", None),
    ("half a minute to go", 30, "exact", "bout", None),
    ("two and a quarter minutes left", 135, "exact", "bout", None),
    ("Under a minute to go now.", 60, "under", "bout", None),
    ("just under 30 seconds remaining", 30, "under", "bout", None),
    ("Less than ten seconds left!", 10, "under", "bout", None),
    ("Inside the final minute.", 60, "under", "bout", None),
    ("about forty seconds left", 40, "about", "bout", None),
    ("roughly 45 seconds remaining", 45, "about", "bout", None),
    ("fifteen seconds or so left", 15, "about", "bout", None),
    ("a little over two minutes to go", 120, "over", "bout", None),
    ("A minute-oh-seven left.", 67, "exact", "bout", None),
    ("A quarter past the minute now.", 75, "exact", "bout", None),
    ("Two minutes and a bit left.", 120, "over", "bout", None),
    ("Thirty and something left.", 30, "over", "bout", None),
    ("Just under the minute now.", 60, "under", "bout", None),
    ("Inside fifty now.", 50, "under", "bout", None),
    ("Fifty-one on it.", 51, "exact", "bout", None),
    ("Right, twenty-nine, back to the centre.", 29, "exact", "bout", None),
    ("Nine, eight, seven, she holds on.", 9, "exact", "bout", None),
    ("Six, five, and that's the horn.", 6, "exact", "bout", None),
    ("Two twenty, and off they go again.", 140, "exact", "bout", None),
    ("Fifteen seconds to the break.", 15, "exact", "bout", None),
    ("More than a minute remaining.", 60, "over", "bout", None),
    ("thirty-odd seconds left", 30, "over", "bout", None),
    ("One oh five remaining.", 65, "exact", "bout", None),
    (":33 to go", 33, "exact", "bout", None),
    ("0:12 left", 12, "exact", "bout", None),
    ("ten ticks left", 10, "exact", "bout", None),
    ("20 secs to go", 20, "exact", "bout", None),
    ("1 min 15 sec left", 75, "exact", "bout", None),
    ("a minute twenty left in the first", 80, "exact", "bout", 1),
    ("Two minutes on the clock in the second period.", 120, "exact", "bout", 2),
    ("forty to go in the third", 40, "exact", "bout", 3),
    ("Fifty or so in the period.", 50, "about", "bout", None),
    ("minute thirty eight to go", 98, "exact", "bout", None),
    ("Seventeen seconds from the break.", 17, "exact", "bout", None),
    ("ninety seconds to wrestle", 90, "exact", "bout", None),
    ("twenty left, keep moving", 20, "exact", "bout", None),
    ("to minutes left", 120, "exact", "bout", None),
    ("Twenty-five seconds left on the activity clock.", 25, "exact", "activity", None),
    ("the shot clock has ten seconds left", 10, "exact", "activity", None),
    ("A minute five of riding time for blue.", 65, "exact", "riding", None),
    ("riding time is at 0:48", 48, "exact", "riding", None),
    ("Thirty seconds of rest between the periods.", 30, "exact", "rest", None),
    ("A minute, er, twelve left.", 72, "exact", "bout", None),
    ("one and a half to go", 90, "exact", "bout", None),
    ("a buck fifteen left", 75, "exact", "bout", None),
    ("too eleven remaining", 131, "exact", "bout", None),
    ("no no no call inside a minute now", 60, "under", "bout", None),
    ("Two minutes on the dot.", 120, "exact", "bout", None),
    ("Less than twenty, blue's in again.", 20, "under", "bout", None),
    ("Two eleven. He circles.", 131, "exact", "bout", None),
    ("one oh six and she goes back in", 66, "exact", "bout", None),
    ("Riding time's blue's, by what, forty seconds.", 40, "exact", "riding", None),
    ("Two minutes to come, no score.", 120, "exact", "bout", None),
]


@pytest.mark.parametrize(("text", "seconds", "bound", "clock", "period"), SAID)
def test_a_time_left(text: str, seconds: int, bound: str, clock: str, period: int | None) -> None:
    (mention,) = found(ClockMention, text, "collegiate")
    assert (mention.seconds, mention.bound, mention.clock, mention.period) == (seconds, bound, clock, period)


NO_TIME = [
    "Thirty seconds gone in this one.",
    "A minute into it and nothing yet.",
    "They met two minutes ago in the hallway.",
    "He held that for thirty seconds.",
    "For the last twenty seconds he has done nothing.",
    "Twenty seconds later it was over.",
    "He is 30 years old.",
    "Here at 74 kilos.",
    "Two for blue!",
    "four two red",
    "Twenty-one and eleven this season.",
    "He scored in about ten seconds.",
    "Team race is 45 to 20.",
    "Every thirty seconds he shoots.",
    "We had a score in the first thirty seconds.",
    "Half a minute of holding, that was.",
    "For nearly a minute nobody has moved.",
    "Two takedowns and a turn, all inside twenty seconds.",
    "It's a minute and a half in so there's your pace.",
    "The boy, he's about fifteen, is asleep.",
    "See it again. She ducks under, six seconds from start to end.",
]


@pytest.mark.parametrize("text", NO_TIME)
def test_no_time_left(text: str) -> None:
    assert not [m for m in found(ClockMention, text) if m.clock == "bout"]


def typed(note: str) -> Heard:
    """What is heard in a line of typed notes."""
    notes = transcript((0.0, "td red"), (8.0, note), (16.0, "blue out, 1 red"))
    return hear(replace(notes, format="csv"), "freestyle", bout_file("freestyle"))


@pytest.mark.parametrize(
    ("note", "seconds", "bound"),
    [
        ("stand. 2:05ish", 125, "about"),
        ("feet, ~1:40", 100, "about"),
        ("neutral, 42s left", 42, "exact"),
        ("20sec left", 20, "exact"),
        ("1.04 left", 64, "exact"),
    ],
)
def test_a_time_as_it_is_typed(note: str, seconds: int, bound: str) -> None:
    talk = typed(note)
    assert [(m.seconds, m.bound) for m in talk.mentions if isinstance(m, ClockMention)] == [(seconds, bound)]


@pytest.mark.parametrize("note", ["horn (4:51 rec)", "fix p2: T2 O at 0:35", "w 2s on it"])
def test_a_typed_time_of_something_else(note: str) -> None:
    talk = typed(note)
    assert not [m for m in talk.mentions if isinstance(m, ClockMention)]


def test_a_number_at_the_edge_of_a_caption_is_a_time() -> None:
    lines = [
        "red circles round him",
        "forty-two let him come",
        "both of them circle now thirty-six",
        "and he shoots",
    ]
    talk = heard(*((4.0 * n, line) for n, line in enumerate(lines)))
    assert [m.seconds for m in talk.mentions if isinstance(m, ClockMention)] == [42, 36]


def test_a_time_is_no_score() -> None:
    for text in ("Two forty-eight on the clock.", "One oh five remaining.", "a minute twenty left, red"):
        assert found(ClockMention, text)
        assert not found(ScoreMention, text)
        assert not found(CallMention, text)


def test_two_times_in_one_breath() -> None:
    mentions = found(ClockMention, "Forty seconds left in the period, ten left on the activity clock.")
    assert [(m.seconds, m.clock) for m in mentions] == [(40, "bout"), (10, "activity")]


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        ("Passive, red. That's the activity clock. Thirty seconds for him to score.", "activity"),
        ("the shot clock's on red so he's got thirty seconds to get something", "activity"),
        ("Passive, red. Thirty seconds left in the period.", "bout"),
    ],
)
def test_thirty_seconds_after_words_of_passivity(text: str, clock: str) -> None:
    """UWW freestyle: the activity clock runs thirty seconds."""
    (mention,) = found(ClockMention, text)
    assert (mention.seconds, mention.clock) == (30, clock)


def test_thirty_seconds_long_after_words_of_passivity_are_of_the_bout() -> None:
    talk = heard((0.0, "Passive, red."), (15.0, "Thirty seconds for him to score."))
    assert [m.clock for m in talk.mentions if isinstance(m, ClockMention)] == ["bout"]


def test_a_time_on_another_mat_is_none_of_this_bout() -> None:
    assert not found(ClockMention, "Meanwhile on mat 3 it's two to one with a minute to go.")


def test_a_score_at_the_end_of_a_caption_is_no_part_of_a_time_in_the_next() -> None:
    talk = heard("they circle in the center", "red is up six three", "twenty four seconds left in the period")
    (clock,) = [m for m in talk.mentions if isinstance(m, ClockMention)]
    (score,) = [m for m in talk.mentions if isinstance(m, ScoreMention)]
    assert (clock.seconds, score.pair) == (24, (6, 3))


def test_the_last_period_is_that_of_the_style() -> None:
    """UWW freestyle: two periods of three minutes."""
    (mention,) = found(ClockMention, "Forty seconds left in the last period.")
    assert mention.period == 2


def test_a_time_names_the_row_that_it_was_found_by() -> None:
    assert [m.row for m in found(ClockMention, "Forty seconds left.")] == ["clock.seconds.left"]
