"""Scores and leads as people state them, and numbers that are none. How scores are said is common practice."""

from __future__ import annotations

import pytest

from extract.mentions.model import CallMention, MarginMention, ScoreMention
from tests.made_talk import bout, final, found, heard, unmarked

SAID = [
    # text, the numbers in the order said, who holds the first
    ("Felmouth leads six to two.", (6, 2), "red"),
    ("It's four-one, Strandlow.", (4, 1), "blue"),
    ("three nothing red", (3, 0), "red"),
    ("Five-oh, blue.", (5, 0), "blue"),
    ("Red 4, blue 2", (4, 2), "red"),
    ("blue four red one", (4, 1), "blue"),
    ("Felmouth seven, Strandlow four.", (7, 4), "red"),
    ("Strandlow trails seven-three.", (7, 3), "red"),
    ("Felmouth is down 2-5.", (2, 5), "red"),
    ("Red leads two to nothing.", (2, 0), "red"),
    ("Felmouth up 3-1", (3, 1), "red"),
    ("blue's ahead 6–4", (6, 4), "blue"),
    ("Strandlow, 2-1, with a minute to go.", (2, 1), "blue"),
    ("three to one felmouth thirty seconds left", (3, 1), "red"),
    ("seven six Strandlow with the lead", (7, 6), "blue"),
    ("Strandlow in front now, two points to one.", (2, 1), "blue"),
    ("The score is 8 to 4 in favor of Marrowick.", (8, 4), "blue"),
    ("Kestrel Bay leads by a score of 5-3.", (5, 3), "red"),
    ("11-0 on the scoreboard for red", (11, 0), "red"),
    ("Strandlow up eleven to four", (11, 4), "blue"),
    ("won nothing, red", (1, 0), "red"),
    ("Felmouth with five, his opponent with nothing.", (5, 0), "red"),
    ("It's Felmouth eight to his three.", (8, 3), "red"),
    ("Three minus nothing, red.", (3, 0), "red"),
    ("Four for red, none for blue.", (4, 0), "red"),
    ("You're down five two, Strandlow.", (5, 2), "red"),
    ("Strandlow keeps coming, nine-four against.", (9, 4), "red"),
    ("Felmouth is settling down to it, at ten to four.", (10, 4), "red"),
    ("It's six-five. Strandlow six, and the other one is close.", (6, 5), "blue"),
    ("It's ten-eight. Strandlow in front.", (10, 8), "blue"),
    ("A minute ten and still no score.", (0, 0), None),
    ("we're tied at three", (3, 3), None),
    ("Four all.", (4, 4), None),
    ("six apiece here", (6, 6), None),
    ("I have it four-four.", (4, 4), None),
    ("The board says two-two.", (2, 2), None),
    ("scoreline reads six three", (6, 3), None),
    ("Still zero-zero.", (0, 0), None),
    ("We are scoreless, nil-nil.", (0, 0), None),
    ("2-0 after one", (2, 0), None),
    ("The score is 1-16, red.", (1, 16), "blue"),
    ("Strandlow's down 1-16.", (1, 16), "blue"),
    ("red has five, blue has two", (5, 2), "red"),
    ("Your score: five for red and three for blue.", (5, 3), "red"),
    ("Felmouth over Strandlow, six-two.", (6, 2), "red"),
    ("The score is two, zero, blue.", (2, 0), "blue"),
    ("Strandlow has cut it to four-three.", (4, 3), "red"),
    ("Seven up to the man from the bay, two to the other fellow.", (7, 2), "red"),
    ("Five up to Strandlow, three to the other one.", (5, 3), "blue"),
    ("Five up to Strandlow and three to the man from the bay.", (5, 3), "blue"),
    ("The board has six and two, Felmouth.", (6, 2), "red"),
    ("It's seven and five, blue the seven.", (7, 5), "blue"),
    ("I'm looking at five to on the board.", (5, 2), None),
    ("Felmouth goes in with two points, Strandlow with one.", (2, 1), "red"),
    ("Six for red, the other lad two.", (6, 2), "red"),
    ("It's seven under red and two for the blue.", (7, 2), "red"),
    ("Twelve for Felmouth, and with Strandlow that is twelve to nine.", (12, 9), "red"),
    ("Eleven eight now, the eight is Strandlow.", (11, 8), "red"),
    ("It's nine-four, Strandlow with the chase on.", (9, 4), "red"),
    ("So that's five-three, and Felmouth needs a takedown.", (5, 3), "blue"),
    ("Ten points to six, over Strandlow.", (10, 6), "red"),
]


@pytest.mark.parametrize(("text", "pair", "first"), SAID)
def test_a_score(text: str, pair: tuple[int, int], first: str | None) -> None:
    (mention,) = found(ScoreMention, text)
    assert mention.pair == pair
    if pair[0] != pair[1]:
        assert mention.first == first
        assert (mention.tie == "none") == (first is None)


@pytest.mark.parametrize(("text", "pair", "first"), [row for row in SAID if not row[0].startswith("won")])
def test_a_score_in_captions_without_marks(text: str, pair: tuple[int, int], first: str | None) -> None:
    talk = heard("here we go first period", unmarked(text), "they circle in the center")
    (mention,) = [m for m in talk.mentions if isinstance(m, ScoreMention)]
    assert mention.pair == pair
    if pair[0] != pair[1]:
        assert mention.first == first


@pytest.mark.parametrize(
    ("text", "final_", "repair"),
    [
        ("Final score nine-three, Felmouth.", True, ()),
        ("It ends five-four.", True, ()),
        ("No, sorry, make that five-three.", False, ("word of repair", "opens with repair")),
        ("Correction, five-three, red.", False, ("word of repair", "opens with repair")),
        ("The board says five-three, red.", False, ("cites the board",)),
        ("Five-three, red, my mistake.", False, ("repair after",)),
        ("Five-three, red.", False, ()),
    ],
)
def test_final_and_repaired(text: str, final_: bool, repair: tuple[str, ...]) -> None:
    (mention,) = found(ScoreMention, text)
    assert (mention.final, mention.repair) == (final_, repair)


def test_two_scores_in_a_sentence() -> None:
    mentions = found(ScoreMention, "From two-nothing red to two-one red.")
    assert [m.pair for m in mentions] == [(2, 0), (2, 1)]


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("six zip six to nothing red", [(6, 0), (6, 0)]),
        ("three nothing three nothing", [(3, 0), (3, 0)]),
        ("four two four two red", [(4, 2), (4, 2)]),
        ("two-one, two-one, two-one", [(2, 1)] * 3),
        ("nine eight seven six five", []),
        ("Three, two, one.", []),
        ("four four, four all", [(4, 4)]),
        ("two two, red wants more", [(2, 2)]),
        ("30, 40, 50 people", []),
        ("seven seven six blue", [(7, 6)]),
        ("ten we're at ten fifteen ten", [(15, 10)]),
        ("twelve twelve nine twelve nine", [(12, 9), (12, 9)]),
    ],
)
def test_runs_of_numbers(text: str, pairs: list[tuple[int, int]]) -> None:
    assert [m.pair for m in found(ScoreMention, text)] == pairs


NO_STATEMENT = [
    "Felmouth came in with a record of 14-3 this season.",
    "Strandlow is 22-5 on the year.",
    "strandlow twenty two and five on the season",
    "He beat him 6-4 last month.",
    "When they met in March it ended 7-5.",
    "Felmouth won his quarterfinal 8-2.",
    "It was five-one in the semifinal.",
    "He dropped a 4-3 decision last year.",
    "It was one-one in the first round yesterday.",
    "Head to head, Felmouth leads the series three to two.",
    "Kestrel Bay leads the dual 15-12.",
    "Team score, twenty-one to nine.",
    "On the next mat it's six-two.",
    "The number two seed against the seven seed.",
    "Seeded three and six, these two.",
    "This is the 74 kilo class.",
    "One hundred and twenty-five pounds, the lightest.",
    "Felmouth is 19, Strandlow is 23 years old.",
    "He has the two-on-one now.",
    "Stays in that 2 on 1, two on one.",
    "One for one on shots so far.",
    "A fifty-fifty position here.",
    "Ten, nine, eight, seven, six.",
    "five four three two one",
    "If he gets this it would be four-nothing.",
    "Another takedown would make it four-nothing.",
    "A step out here and it could be 2-1.",
    "Two, three times now he has tried that.",
    "Two wins and one loss today.",
    "He is 5 feet 10, maybe 11.",
    "Section two, row four, the family is there.",
    "Needs two to tie and four to win.",
]


@pytest.mark.parametrize("text", NO_STATEMENT)
def test_no_statement_in_captions_without_marks(text: str) -> None:
    record = bout(
        "here we go first period",
        "takedown red two points",
        "two nothing red",
        unmarked(text),
        "they circle in the center",
        "still two nothing red",
    )
    assert [s.cue for s in record.statements if s.said is not None] == [3, 6]
    assert final(record) == (2, 0)


@pytest.mark.parametrize("text", NO_STATEMENT)
def test_no_statement(text: str) -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        text,
        "They circle in the center.",
        "Still two-nothing, red.",
    )
    assert [s.cue for s in record.statements if s.said is not None] == [3, 6]
    assert final(record) == (2, 0)


@pytest.mark.parametrize(
    "text",
    [
        "Riding time at 1:05 for Felmouth.",
        "A minute ten of riding time for red.",
        "one fifteen riding time red",
        "He needs a minute, he has fifty-two seconds of riding time.",
    ],
)
def test_riding_time_is_no_score(text: str) -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, red! Three points.",
        "Three-nothing, red.",
        text,
        "They circle in the center.",
        "Still three-nothing, red.",
        rules="collegiate",
    )
    assert [s.cue for s in record.statements if s.said is not None] == [3, 6]
    assert final(record) == (3, 0)


@pytest.mark.parametrize(
    ("text", "stance"),
    [
        ("It's two-two now, yes?", "asserted"),
        ("And I've got twelve six, is that what you've got?", "asserted"),
        ("Five-one, is it not?", "asserted"),
        ("I want to say seven-two.", "asserted"),
        ("Is it two-two now?", "asked"),
        ("Was that six-three or seven-three?", "asked"),
        ("This will be eight-six if he covers.", "hypothetical"),
    ],
)
def test_a_question_that_asks_for_assent(text: str, stance: str) -> None:
    assert {m.stance for m in found(ScoreMention, text)} == {stance}


def test_the_same_number_twice_and_a_pair_in_two_captions_are_signs() -> None:
    assert "said twice" in found(ScoreMention, "It's two two.")[0].signs
    assert "said twice" not in found(ScoreMention, "It's two one.")[0].signs
    talk = heard("and that makes it five", "three felmouth now", "they circle in the center")
    assert "across captions" in next(m for m in talk.mentions if isinstance(m, ScoreMention)).signs


@pytest.mark.parametrize(
    "text", ["Is it four-nothing?", "Wait, is that three-nothing now?", "what is it four nothing?"]
)
def test_a_question_changes_nothing(text: str) -> None:
    record = bout(
        "Here we go, first period.",
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        text,
        "Two-nothing, red.",
    )
    assert final(record) == (2, 0)


MARGINS = [
    ("Felmouth by two.", 2, "red"),
    ("A three-point lead for Strandlow.", 3, "blue"),
    ("Red is up by four.", 4, "red"),
    ("blue down by one", 1, "red"),
    ("Strandlow trails by three.", 3, "red"),
    ("Strandlow ahead by five", 5, "blue"),
    ("red up two.", 2, "red"),
    ("felmouth up one", 1, "red"),
    ("A one-point advantage to red.", 1, "red"),
    ("six point cushion for Kestrel Bay", 6, "red"),
    ("Strandlow leads by one.", 1, "blue"),
    ("Down two, Strandlow has to open up.", 2, "red"),
    ("Two-point match.", 2, None),
    ("just two points in it", 2, None),
    ("It's a four point ballgame.", 4, None),
    ("All square.", 0, None),
    ("just one point in it", 1, None),
    ("Strandlow pulls within one.", 1, "red"),
    ("They are dead level.", 0, None),
]


@pytest.mark.parametrize(("text", "margin", "leader"), MARGINS)
def test_a_lead(text: str, margin: int, leader: str | None) -> None:
    (mention,) = found(MarginMention, text)
    assert (mention.margin, mention.leader) == (margin, leader)
    assert (mention.tie == "none") == (leader is None)


@pytest.mark.parametrize(
    "text",
    [
        "Up two spots in the ranking.",
        "He stands up, two hands in.",
        "Two for red!",
        "Down to two minutes.",
        "Felmouth leads six to two.",
        "Period by period.",
        "By two o'clock we will be done.",
        "Strandlow gives up two.",
    ],
)
def test_no_lead(text: str) -> None:
    assert found(MarginMention, text) == []


@pytest.mark.parametrize(
    ("text", "pair"),
    [("Eleven points apiece on the board.", (11, 11)), ("It's nine points each.", (9, 9))],
)
def test_level_with_the_word_points(text: str, pair: tuple[int, int]) -> None:
    (mention,) = found(ScoreMention, text)
    assert mention.pair == pair


@pytest.mark.parametrize(
    "text",
    [
        "On criteria red's got three twos, blue's got two.",
        "They've both got twos, blue has two, red's got one two.",
        "Red two fours, blue one four, so red has criteria.",
    ],
)
def test_holds_that_are_counted_are_no_score_and_no_points(text: str) -> None:
    assert not found(ScoreMention, text)
    assert not [m for m in found(CallMention, text) if m.points]


def test_a_score_over_two_captions() -> None:
    talk = heard(
        "here we go first period", "so right now that is felmouth four", "strandlow three", "they circle"
    )
    (mention,) = [m for m in talk.mentions if isinstance(m, ScoreMention)]
    assert (mention.pair, mention.first) == ((4, 3), "red")


@pytest.mark.parametrize(
    ("text", "pair"),
    [
        ("So blue's sitting on five, and Felmouth has only the one.", (5, 1)),
        ("Felmouth's on fourteen with Strandlow back at six.", (14, 6)),
    ],
)
def test_each_with_the_number_they_have(text: str, pair: tuple[int, int]) -> None:
    (mention,) = found(ScoreMention, text)
    assert mention.pair == pair
    assert mention.first == ("blue" if pair[0] == 5 else "red")
    assert mention.tie == "attached"


@pytest.mark.parametrize(
    ("text", "pair", "first", "tie"),
    [
        ("That makes it for-three, Strandlow still in front.", (4, 3), "blue", "attached"),
        ("A step-out for red, nine-eight!", (9, 8), "red", "near"),
        ("Eight-six, Strandlow has six.", (8, 6), "red", "attached"),
        ("Eight-four's a lead she can erase.", (8, 4), None, "none"),
    ],
)
def test_who_is_meant(text: str, pair: tuple[int, int], first: str | None, tie: str) -> None:
    (mention,) = found(ScoreMention, text)
    assert (mention.pair, mention.first, mention.tie) == (pair, first, tie)


@pytest.mark.parametrize(
    ("text", "margin", "leader"),
    [
        ("Felmouth is six clear now.", 6, "red"),
        ("Strandlow is three points adrift.", 3, "red"),
        ("A lead of five for Strandlow.", 5, "blue"),
    ],
)
def test_leads_in_one_number_with_other_words(text: str, margin: int, leader: str) -> None:
    (mention,) = found(MarginMention, text)
    assert (mention.margin, mention.leader) == (margin, leader)


@pytest.mark.parametrize("text", ["Escape Strandlow, three-one.", "A reversal for Strandlow, six-three."])
def test_who_was_given_an_award_need_not_lead(text: str) -> None:
    (mention,) = found(ScoreMention, text, "collegiate")
    assert mention.tie in ("near", "none")


def test_a_score_said_after_the_award_of_the_one_behind_is_no_slip() -> None:
    record = bout(
        "Here's the whistle, first period.",
        (10.0, "Takedown Felmouth, three-nothing."),
        (30.0, "Escape Strandlow, three-one."),
        (60.0, "Takedown Felmouth, six-one."),
        (80.0, "Reversal Strandlow, six-three."),
        rules="collegiate",
    )
    assert [s.verdict for s in record.statements] == ["agrees"] * 4
