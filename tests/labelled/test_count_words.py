"""What is counted of words of challenges, of leads, of the winner and of awards taken back."""

from __future__ import annotations

from extract.labelled.count_words import count_words
from extract.labelled.labels import TrueBoard, TrueChallenge, TrueResult
from extract.labelled.truth import LabelledBout
from extract.log.parameters import prior_parameters
from extract.mentions import hear
from tests.labelled.hand_made import award, truth
from tests.made_talk import bout_file, transcript

TALK = transcript(
    "Here we go, first period.",
    "Takedown, red! Two points.",
    "Red by two.",
    "Red by four.",
    (40.0, "Blue is challenging the call."),
    (70.0, "Challenge lost, one to red."),
    (100.0, "Step-out, blue, one point."),
    (104.0, "Waved off by the referee."),
    (390.0, "That's the horn, it's all over!"),
    (395.0, "Felmouth wins it."),
)
LABELS = truth(
    events=(award(5.0), award(70.0, kind="challenge_point", points=1)),
    board=(TrueBoard(7.0, 2, 0), TrueBoard(72.0, 3, 0)),
    challenges=(TrueChallenge(40.0, "blue", "lost"),),
    result=TrueResult("red", "points", 3, 0),
)


def test_words_are_counted_as_right_or_wrong() -> None:
    bout = LabelledBout(TALK, bout_file(), LABELS)
    counted = count_words(bout, hear(TALK, "freestyle", bout_file()), prior_parameters())
    assert counted["margin", "agrees", True] == 1
    assert counted["margin", "agrees", False] == 1
    assert counted["review.lost", "point", True] == 1
    assert counted["review.lost", "point", False] == 0
    assert sum(n for (path, _, right), n in counted.items() if path == "review.grade" and right) >= 2
    assert sum(n for (path, _, right), n in counted.items() if path == "review.grade" and not right) == 0
    assert counted["wave_off.grade", "waved off", True] == 1
    assert counted["result", "agrees", True] == 1


def test_open_words_are_counted_only_while_a_challenge_is_looked_at() -> None:
    talk = transcript((40.0, "Blue is challenging the call."), (70.0, "It stands."), (300.0, "It stands."))
    bout = LabelledBout(talk, bout_file(), LABELS)
    counted = count_words(bout, hear(talk, "freestyle", bout_file()), prior_parameters())
    assert {case: n for case, n in counted.items() if case[1] == "open"} == {
        ("review.grade", "open", True): 1
    }
