"""What speaks for and against the verdict on a stated score, and when a slip is told as one."""

from __future__ import annotations

from dataclasses import replace

from test_search_exact import model_of

from extract.bout import extract_bout
from extract.log.certainty import statement_trust
from extract.log.hypothesis import ReadingEvent, Said, Score, Verdict
from extract.log.parameters import Parameters, default_parameters
from extract.log.statement_signs import StatementSigns
from extract.mentions.model import ScoreMention
from extract.rules.base import Move
from tests.made_talk import bout_file, transcript

MODEL = model_of("freestyle")
PLAIN = ScoreMention(0, 0, 0.0, "asserted", "to", (2, 0), "red", "attached")


def signs(
    *said: tuple[float, Score, Score, Verdict], of: int, awards: tuple[ReadingEvent, ...] = ()
) -> set[str]:
    mentions = [replace(PLAIN, t=t, pair=value) for t, value, _, _ in said]
    taken = [Said(n, t, value, board, verdict) for n, (t, value, board, verdict) in enumerate(said)]
    return set(StatementSigns(taken, mentions, [(e.t, e) for e in awards], MODEL).of(of))


def award(t: float, basis: str = "called") -> ReadingEvent:
    return ReadingEvent(Move("takedown", "red", 2), t, t, "called" if basis == "called" else "inferred")


def test_a_slip_says_how_it_differs_and_whether_its_neighbours_fit() -> None:
    found = signs(
        (10.0, (2, 0), (2, 0), "agrees"),
        (40.0, (4, 0), (2, 0), "wrong"),
        (70.0, (3, 0), (2, 0), "wrong"),
        of=1,
    )
    assert {"slip wrong", "off by more", "holder attached", "fits before", "differs after"} <= found


def test_the_same_value_said_again_is_no_neighbour() -> None:
    said = [(10.0, (4, 0), (2, 0), "wrong"), (20.0, (4, 0), (2, 0), "wrong")]
    found = signs(*said, of=0)
    assert {"none before", "none after", "said again"} <= found
    assert "said again" not in signs(said[0], (90.0, *said[1][1:]), of=0)


def test_an_award_that_nobody_called_makes_the_board_uncertain() -> None:
    said = [
        (10.0, (0, 0), (0, 0), "agrees"),
        (50.0, (3, 0), (2, 0), "wrong"),
        (90.0, (2, 0), (2, 0), "agrees"),
    ]
    assert "uncalled award before" in signs(*said, of=1, awards=(award(30.0, "inferred"),))
    assert "uncalled award after" in signs(*said, of=1, awards=(award(70.0, "inferred"),))
    called = signs(*said, of=1, awards=(award(30.0), award(49.0)))
    assert "uncalled award before" not in called
    assert "award near" in called


def test_right_scores_have_no_kind_of_slip() -> None:
    found = signs((10.0, (2, 0), (2, 0), "agrees"), of=0)
    assert not [sign for sign in found if sign.startswith(("slip", "off by"))]


def test_signs_weigh_in_the_table_of_their_sort() -> None:
    tables = default_parameters().tables
    confidence = {**tables["confidence"], "slip": {"sign": {"bias": 0.0, "fits after": 2.0}}}
    model = replace(MODEL, parameters=Parameters({**tables, "confidence": confidence}))
    slip = Said(0, 10.0, (3, 0), (2, 0), "wrong")
    assert statement_trust(slip, ("fits after",), model) > statement_trust(slip, (), model) == 0.5


def test_a_slip_that_is_likelier_none_is_told_as_unclear() -> None:
    """With parameters by which no slip is believed, the same talk has the score unclear, and says why."""
    talk = [
        "Here we go, first period.",
        "Takedown, red! Two points.",
        "Two-nothing, red.",
        "Three-nothing, red.",
        "Two-nothing, red.",
    ]
    tables = default_parameters().tables
    records = []
    for bias in (6.0, -6.0):
        confidence = {**tables["confidence"], "slip": {"sign": {"bias": bias}}}
        parameters = Parameters({**tables, "confidence": confidence})
        records.append(extract_bout(transcript(*talk), bout_file(), parameters=parameters))
    told, doubted = ([s for s in record.statements if s.said == (3, 0)] for record in records)
    assert [s.verdict for s in told] == ["disagrees"]
    assert [s.verdict for s in doubted] == ["unclear"]
    assert [f.kind for f in records[1].flags if f.said == (3, 0)] == ["score_unclear"]
    assert "more often no score" in doubted[0].why
