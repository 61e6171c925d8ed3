"""The log has a parameter for every grade, stance, tie and sign that the finders give."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from extract.bout import extract_bout
from extract.log import default_parameters
from extract.log.parameters import Parameters, prior_parameters
from extract.mentions.model import (
    BESIDE_SIGN,
    ROW_SIGN,
    SAID_SIGN,
    CallMention,
    ClockMention,
    CriteriaMention,
    MarkMention,
    Mention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)
from tests.made_talk import bout_file, found, transcript

_NUMBERS = ["two", "2", "one", "four", "to", "for"]
_TIES = ["", "red", "Felmouth", "he"]
BANK = [
    *(f"{n} {w} {c}" for n, w, c in product(_NUMBERS, ["", "points", "more", "for", "takedown"], _TIES)),
    *(f"{p} takedown {c}{e}" for p, c, e in product(["", "a", "that", "the", "that's a"], _TIES, ["", ".", "?"])),
    *(f"{s} two points for red" for s in ["if he gets", "was that", "no", "he needs", "on the replay", "maybe"]),
    *(f"{c} {v}" for c, v in product(_TIES, ["steps out", "is out", "gut wrench", "goes behind"])),
    *(f"{c} leads {s}" for c, s in product(_TIES, ["3-1", "three to one", "three one", "three nothing", "4 all"])),
    *(f"{s}, {c}" for c, s in product(_TIES, ["3, 1", "three points to one", "one each", "31", "won nothing", "6-2"])),
    *(f"is it {s}?" for s in ["3-1", "three one", "four all"]),
    *(f"{s} this season" for s in ["3-1", "22-5", "three and one"]),
    "Felmouth drives him to the edge of the mat, and that is two points.",
    "A good attack by Felmouth there. Two points.",
    "Felmouth on the edge now. Four-one.",
    "Felmouth is wrestling so well, and it is still four-one.",
    "blue four red one", "last year it was 6-2", "it would be four-one", "four-one and two", "17-3 red",
    *(f"{t}{e}" for t, e in product(
        ["1:43", ":33", "a minute thirty", "thirty seconds", "two forty-eight", "one oh five", "a minute",
         "two minutes", "under a minute", "about twenty", "under twenty", "twenty", "forty"],
        ["", ".", "?", " left", " to go.", " left?"])),
    "Is there a minute?", "Time is under twenty.", "Forty.",
    *(f"{c} {w}" for c, w in product(
        ["red", ""], ["challenges", "throws the brick", "under review", "the block", "call stands", "confirmed",
                      "wins the challenge", "loses the challenge", "call overturned", "takes the brick back",
                      "as called, it stands"])),
    "if they challenge", "will they challenge?", "no challenge", "he wants to challenge", "they challenged earlier",
    "waved off", "no hand", "doesn't count", "no takedown", "nothing there", "not given",
    "red has criteria", "scored last, blue", "the tiebreak", "if red wins on criteria", "who has criteria?",
    "first period", "Second period, three minutes.", "whistle", "here we go", "we're off", "P2", "horn", "halftime",
    "end of one", "that's the match", "time", "winner", "final score", "if that's the match", "is it over?",
]  # fmt: skip


def _bank(sort: type[Mention]) -> Iterator[Any]:
    for text, rules in product(BANK, ("freestyle", "collegiate")):
        yield from found(sort, text, rules)


@pytest.mark.parametrize(
    ("sort", "table", "at_least"),
    [
        (
            ClockMention,
            "clock.weight",
            {"m:ss", "m:ss+remain", "words", "words+remain", "seconds", "seconds+remain", "time pair+remain",
             "oh+remain", "minutes+remain", "bare+remain", "asked"},
        ),
        (ReviewMention, "review.grade", {"plain", "loose", "named", "open"}),
        (MarkMention, "mark.weight", {"plain", "loose", "named"}),
        (WaveOffMention, "wave_off.grade", {"waved off", "nothing there"}),
        (CriteriaMention, "criteria", {"named", "loose"}),
    ],
)  # fmt: skip
def test_every_grade_has_a_parameter(sort: type[Mention], table: str, at_least: set[str]) -> None:
    grades = {m.grade for m in _bank(sort)}
    assert at_least <= grades
    for parameters in (default_parameters(), prior_parameters()):
        assert grades <= set(parameters.table(table))


def test_every_stance_of_a_review_has_a_parameter() -> None:
    assert {m.stance for m in _bank(ReviewMention)} <= set(default_parameters().table("review.stance"))


def test_every_tie_has_a_parameter() -> None:
    parameters = default_parameters()
    assert {"attached", "near", "none"} <= {m.tie for m in _bank(CallMention)} <= set(parameters.table("tie"))
    assert {m.tie for m in _bank(ScoreMention)} <= set(parameters.table("score.tie"))


@pytest.mark.parametrize(("sort", "table"), [(ScoreMention, "score.sign"), (CallMention, "call.sign")])
def test_every_sign_has_a_weight(sort: type[Any], table: str) -> None:
    """A sign without one would silently weigh nothing; that is meant only of a row, which is worth what its form is until
    it has been measured, and of words around, most of which tell nothing."""
    unmeasured = ROW_SIGN, SAID_SIGN, BESIDE_SIGN
    signs = {sign for m in _bank(sort) for sign in m.all_signs() if not sign.startswith(unmeasured)}
    assert len(signs) > 12
    for parameters in (default_parameters(), prior_parameters()):
        assert signs <= set(parameters.table(table))


def test_the_whole_bank_goes_through() -> None:
    """No grade, sign, stance or tie of any of these sentences is unknown further on."""
    tables = default_parameters().tables
    narrow = Parameters({**tables, "beam": {**tables["beam"], "width": 3}})
    for rules in ("freestyle", "collegiate"):
        record = extract_bout(transcript(*BANK), bout_file(rules), parameters=narrow)
        assert record.events
