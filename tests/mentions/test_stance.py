"""How things are said: asserted, asked, denied, hoped for, supposed or remembered (common practice of speech)."""

from __future__ import annotations

import pytest

from extract.mentions.model import CallMention, CriteriaMention, Mention, ScoreMention
from tests.made_talk import found, heard

STANCES: list[tuple[str, type[Mention], set[str]]] = [
    ("That's two for red.", CallMention, {"asserted"}),
    ("Takedown, red, and the crowd loves it.", CallMention, {"asserted"}),
    ("No, that's two, red.", CallMention, {"asserted"}),
    ("Yes! Two for blue!", CallMention, {"asserted"}),
    ("takedown blue two points", CallMention, {"asserted"}),
    ("It's four-one, red.", ScoreMention, {"asserted"}),
    ("Was that two for red?", CallMention, {"asked"}),
    ("Did Felmouth get a takedown there?", CallMention, {"asked"}),
    ("did he get a takedown there", CallMention, {"asked"}),
    ("Is it 4-1?", ScoreMention, {"asked"}),
    ("is it four one", ScoreMention, {"asked"}),
    ("That's not a takedown.", CallMention, {"negated"}),
    ("He didn't get the takedown.", CallMention, {"negated"}),
    ("Nearly a step out.", CallMention, {"negated"}),
    ("Looking for the takedown, Felmouth.", CallMention, {"negated", "hoped"}),
    ("Strandlow stops the takedown attempt.", CallMention, {"negated"}),
    ("If red gets two points here it changes.", CallMention, {"hypothetical"}),
    ("If he scores here it's four-one.", ScoreMention, {"hypothetical"}),
    ("if he scores here its four one", ScoreMention, {"hypothetical"}),
    ("It could be four-one.", ScoreMention, {"hypothetical"}),
    ("A takedown would give him the lead.", CallMention, {"hypothetical"}),
    ("Another takedown and it's over.", CallMention, {"hypothetical"}),
    ("another takedown felmouth", CallMention, {"asserted"}),
    ("One more takedown and it's eight-two.", ScoreMention, {"hypothetical"}),
    ("That'd be eight-eight if they shave one.", ScoreMention, {"hypothetical"}),
    ("If you've just joined us, it's four-one, red.", ScoreMention, {"asserted"}),
    ("no four one red", ScoreMention, {"asserted"}),
    ("Felmouth needs a takedown.", CallMention, {"hoped"}),
    ("A takedown is all he needs.", CallMention, {"hoped"}),
    ("Takedown for Felmouth, yes or no.", CallMention, {"asserted"}),
    ("Takedown for Felmouth yes or no.", CallMention, {"asked"}),
    ("Come on, get a takedown, blue!", CallMention, {"hoped"}),
    ("let's go get the takedown", CallMention, {"hoped"}),
    ("On the replay you see the takedown for blue.", CallMention, {"recalled"}),
    ("Here's the replay of that takedown.", CallMention, {"recalled"}),
    ("He had a takedown earlier.", CallMention, {"recalled"}),
    ("The takedown a moment ago was beautiful.", CallMention, {"recalled"}),
    ("Felmouth leads on criteria.", CriteriaMention, {"asserted"}),
    ("If it ends like this red wins on criteria.", CriteriaMention, {"hypothetical"}),
    ("Who has criteria?", CriteriaMention, {"asked"}),
]


@pytest.mark.parametrize(("text", "sort", "stances"), STANCES)
def test_stance(text: str, sort: type[Mention], stances: set[str]) -> None:
    mentions = found(sort, text)
    assert mentions
    assert {m.stance for m in mentions} <= stances


@pytest.mark.parametrize(
    ("text", "stances"),
    [
        ("Not a takedown yet. Now it is, takedown red!", ["negated", "asserted"]),
        ("Did he get two points? They circle in the middle. Step-out, blue!", ["asked", "asserted"]),
        ("Was that a takedown? Takedown, red!", ["asked", "asserted"]),
        ("Did he get two points? No. Takedown, blue, two points!", ["asked", "asserted"]),
        ("No step-out, but that's a takedown, red.", ["negated", "asserted"]),
    ],
)
def test_a_stance_ends_with_its_thought(text: str, stances: list[str]) -> None:
    assert [m.stance for m in found(CallMention, text)] == stances


@pytest.mark.parametrize(
    "lines",
    [
        ("he shoots again not", "strandlow with the takedown two points"),
        ("takedown strandlow two points", "felmouth circles away from the pressure"),
        ("would you look at that crowd", "takedown strandlow two points"),
    ],
)
def test_a_scope_ends_with_its_caption_where_there_are_no_marks(lines: tuple[str, ...]) -> None:
    talk = heard("here we go first period", *lines, "they circle in the center now and look for a tie")
    assert [m.stance for m in talk.mentions if isinstance(m, CallMention)] == ["asserted"]


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("i thought she'd get out", "of it so that's five one red"),
        ("it's five one", "now if blue hits that throw it changes"),
    ],
)
def test_a_supposition_in_another_caption_leaves_a_score_alone(first: str, second: str) -> None:
    talk = heard("here we go first period", (5.0, first), (7.0, second), "they circle in the center now")
    assert [m.stance for m in talk.mentions if isinstance(m, ScoreMention)] == ["asserted"]
