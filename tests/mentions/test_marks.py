"""Whistles, horns, challenges, awards taken back, criteria, results, positions: as people say them (common practice)."""

from __future__ import annotations

import pytest

from extract.mentions.model import (
    CriteriaMention,
    MarkMention,
    PositionMention,
    ResultMention,
    ReviewMention,
    WaveOffMention,
)
from tests.made_talk import bout, found, heard

REVIEWS = [
    # text, what, who asked
    ("The red corner throws the brick.", "ask", "red"),
    ("Blue is challenging the call.", "ask", "blue"),
    ("The Kestrel Bay coach wants it looked at.", "ask", "red"),
    ("Felmouth's coach challenges.", "ask", "red"),
    ("Challenge by blue.", "ask", "blue"),
    ("chall blue", "ask", "blue"),
    ("Marrowick wants a review of that exchange.", "ask", "blue"),
    ("strandlow's corner throws the brick", "ask", "blue"),
    ("We are going to the video.", "ask", None),
    ("Red wins the challenge.", "won", "red"),
    ("The call is reversed.", "won", None),
    ("Call overturned!", "won", None),
    ("They take it away after the review.", "won", None),
    ("Two points come down, taken off the board.", "won", None),
    ("Blue loses the challenge, plus one to red.", "lost", "blue"),
    ("We have a challenge by Felmouth.", "ask", "red"),
    ("They have turned the challenge down.", "lost", None),
    ("Blue has taken the challenge back.", "withdrawn", "blue"),
    ("Challenge unsuccessful.", "lost", None),
    ("Challenge unsuccessful, and Felmouth gets one more.", "lost", "blue"),
    ("Challenge lost, one to Strandlow.", "lost", "red"),
    ("The original call stands.", "lost", None),
    ("The call is confirmed.", "lost", None),
    ("challenge lost blue", "lost", "blue"),
    ("Decision stands, they play on.", "lost", None),
    ("They withdraw the challenge.", "withdrawn", None),
    ("He takes the brick back.", "withdrawn", None),
]


@pytest.mark.parametrize(("text", "what", "corner"), REVIEWS)
def test_a_review(text: str, what: str, corner: str | None) -> None:
    mentions = found(ReviewMention, text)
    assert what in {m.what for m in mentions}
    assert {m.what for m in mentions} <= {what, "ask"}
    assert next(m for m in mentions if m.what == what).corner == corner


@pytest.mark.parametrize(
    "text",
    [
        "Two for red!",
        "He blocks the shot.",
        "He stands up out of the hold.",
        "A big crowd tonight in the hall.",
    ],
)
def test_no_review(text: str) -> None:
    assert found(ReviewMention, text) == []


WAVED_OFF = [
    "Waved off!",
    "The referee waves it off.",
    "No points there.",
    "That doesn't count.",
    "No takedown, says the referee.",
    "nothing doing, no score",
    "Not given.",
]


@pytest.mark.parametrize("text", WAVED_OFF)
def test_waved_off(text: str) -> None:
    (mention, *_) = found(WaveOffMention, text)
    assert mention.stance == "asserted"


@pytest.mark.parametrize(
    "text", ["Two for red!", "He waves to the crowd.", "Nothing-nothing still.", "Two hands up."]
)
def test_not_waved_off(text: str) -> None:
    assert found(WaveOffMention, text) == []


def test_a_wave_off_may_be_asked() -> None:
    assert [m.stance for m in found(WaveOffMention, "Did they say no takedown?")] == ["asked"]


CRITERIA = [
    ("Red leads on criteria.", "red"),
    ("blue has criteria", "blue"),
    ("Strandlow holds criteria right now.", "blue"),
    ("Criteria to Marrowick.", "blue"),
    ("Three-three, criteria blue.", "blue"),
    ("On criteria, Felmouth is ahead.", "red"),
    ("Felmouth has the last score.", "red"),
    ("Strandlow scored last.", "blue"),
    ("It comes down to criteria.", None),
    ("Strandlow is losing on criteria.", "red"),
    ("Felmouth trails on criteria.", "blue"),
]


@pytest.mark.parametrize(("text", "leader"), CRITERIA)
def test_criteria(text: str, leader: str | None) -> None:
    (mention,) = found(CriteriaMention, text)
    assert (mention.leader, mention.stance) == (leader, "asserted")


RESULTS = [
    ("Your winner, Felmouth!", "red"),
    ("The winner, in blue, Ivo Strandlow.", "blue"),
    ("Strandlow wins it.", "blue"),
    ("Felmouth beats Strandlow six to two.", "red"),
    ("Strandlow defeats Felmouth.", "blue"),
    ("Victory for Marrowick!", "blue"),
    ("Felmouth gets the win.", "red"),
]


@pytest.mark.parametrize(("text", "winner"), RESULTS)
def test_a_winner(text: str, winner: str) -> None:
    assert [m.winner for m in found(ResultMention, text)] == [winner]


@pytest.mark.parametrize(
    ("text", "by"),
    [
        ("That is technical superiority.", "superiority"),
        ("It's a tech fall for Felmouth.", "superiority"),
        ("He can't continue.", "injury"),
        ("A win by forfeit.", "forfeit"),
        ("Third caution, and he is disqualified.", "disqualification"),
    ],
)
def test_a_way_to_win(text: str, by: str) -> None:
    assert by in {m.by for m in found(ResultMention, text)}


MARKS = [
    ("There's the whistle, first period.", "period_start", 1),
    ("We're off!", "period_start", None),
    ("here we go second period", "period_start", 2),
    ("Off we go in the first period.", "period_start", 1),
    ("P2", "period_start", 2),
    ("Second period, three minutes.", "period_start", 2),
    ("That's the horn, end of the first period.", "period_end", 1),
    ("Buzzer!", "period_end", None),
    ("End of one.", "period_end", 1),
    ("End of the second.", "period_end", 2),
    ("Halftime here.", "period_end", None),
    ("That's the match.", "bout_end", None),
    ("It's all over!", "bout_end", None),
]


@pytest.mark.parametrize(("text", "what", "period"), MARKS)
def test_a_mark(text: str, what: str, period: int | None) -> None:
    mentions = [m for m in found(MarkMention, text) if m.what == what]
    assert mentions
    assert {m.period for m in mentions} <= {period, None}
    assert period in {m.period for m in mentions}


def test_time_left_in_a_period_starts_none() -> None:
    assert [m for m in found(MarkMention, "Thirty seconds left in the second period.") if m.period == 2] == []


POSITIONS = [
    ("Felmouth takes bottom.", "blue"),
    ("Strandlow chooses top.", "blue"),
    ("Red wants down.", "blue"),
    ("Blue elects to start down.", "red"),
    ("Felmouth picks neutral.", None),
]


@pytest.mark.parametrize(("text", "top"), POSITIONS)
def test_a_start_position(text: str, top: str | None) -> None:
    (mention, *_) = found(PositionMention, text, "collegiate")
    assert (mention.top, mention.grade) == (top, "chosen")


@pytest.mark.parametrize(
    ("text", "top"),
    [
        ("Red's on top and riding tough.", "red"),
        ("Blue still riding, hips low.", "blue"),
        ("Felmouth underneath, on hands and knees.", "blue"),
        ("Red is in the bottom position.", "blue"),
        ("And they're back up on their feet.", None),
        ("So it is back to neutral.", None),
        ("Red top.", "red"),
        ("Felmouth bottom, second period.", "blue"),
    ],
)
def test_a_position_told(text: str, top: str | None) -> None:
    mention = found(PositionMention, text, "collegiate")[0]
    assert (mention.top, mention.grade) == (top, "told")


@pytest.mark.parametrize(
    "text",
    [
        "Red on top, six-two.",  # a lead
        "Riding time for red, that's a minute.",
        "Red could end up on top here if he gets through.",
        "Red gets underneath and lifts the leg.",
        "The crowd are on their feet.",
    ],
)
def test_what_only_looks_like_a_position(text: str) -> None:
    assert found(PositionMention, text, "collegiate") == []


def test_olympic_styles_have_no_position() -> None:
    assert found(PositionMention, "Red's on top, back to neutral.", "freestyle") == []


@pytest.mark.parametrize(
    ("text", "period"),
    [
        ("And that ends the second period.", 2),
        ("The first period is over.", 1),
        ("The clock runs out on the third period.", 3),
        ("The second period comes to an end.", 2),
    ],
)
def test_a_period_is_over(text: str, period: int) -> None:
    ends = [m for m in found(MarkMention, text, "collegiate") if m.what == "period_end"]
    assert [m.period for m in ends] == [period]


@pytest.mark.parametrize(
    "text", ["Facing a real challenge in this one.", "What a challenge this is for him."]
)
def test_a_challenge_in_the_plain_sense_opens_none(text: str) -> None:
    record = bout("Here we go, first period.", "Takedown, red! Two points.", "Two-nothing, red.", text)
    assert record.challenges == ()


@pytest.mark.parametrize(
    "text",
    [
        "Kestrel Bay are out of challenges.",
        "Each team gets one challenge per dual.",
        "I'd keep the brick in my pocket.",
        "He could challenge that.",
    ],
)
def test_talk_of_challenges_that_asks_for_none(text: str) -> None:
    assert not [m for m in found(ReviewMention, text) if m.grade != "loose"]


@pytest.mark.parametrize(
    "text",
    [
        "That two has been cancelled.",
        "He's rubbing it out, it's not there.",
        "Four given, then taken straight back.",
        "He waves it off.",
    ],
)
def test_awards_taken_back(text: str) -> None:
    assert [m.grade for m in found(WaveOffMention, text)][:1] == ["waved off"]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("Time! Come and sit down.", "period_end"),
        ("There's the gong, and finished!", "bout_end"),
        ("And it's done, it's all over!", "bout_end"),
        ("Off you go.", "period_start"),
        ("felmouth takes a drink\nsecond half they come out", "period_start"),
    ],
)
def test_more_ways_to_mark(text: str, what: str) -> None:
    lines = text.split("\n")
    assert what in {m.what for m in heard(*lines).mentions if isinstance(m, MarkMention)}


@pytest.mark.parametrize(
    "text",
    [
        "Fifty seconds to the break.",
        "Hold on until half time.",
        "Thirteen seconds to wrestle.",
        "He's all over him.",
        "Time for a look at it.",
    ],
)
def test_nothing_is_marked(text: str) -> None:
    assert found(MarkMention, text) == []
