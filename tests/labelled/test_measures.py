"""The measures on truths and records made by hand, and on the samples."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.metrics import precision_recall_fscore_support

from extract.labelled import LabelledBout, Truth
from extract.labelled.measures import MEASURES, Tally, match, match_record, measure, total
from extract.record import BoardEntry, Record
from tests.labelled.hand_made import (
    TrueBoard,
    TrueChallenge,
    TrueClock,
    TrueResult,
    TrueScore,
    award,
    challenge,
    event,
    perfect_record,
    reading,
    record,
    result,
    statement,
    truth,
)


def test_tally_in_figures() -> None:
    assert (Tally(3, 4).recall, Tally(3, 4).precision, Tally(3, 4).figure) == (0.75, None, 0.75)
    tally = Tally(2, 4, 3, 4)
    assert (tally.recall, tally.precision) == (0.5, 0.75)
    assert tally.figure == pytest.approx(0.6)
    assert Tally(0, 3, 0, 0).figure == 0.0
    assert Tally(0, 0, 0, 2).figure is None
    assert Tally(0, 0).figure is None


def test_total_adds_up() -> None:
    one = dict.fromkeys(MEASURES, Tally(1, 2)) | {"calls": Tally(1, 2, 3, 4)}
    two = dict.fromkeys(MEASURES, Tally(5, 6)) | {"calls": Tally(5, 6, 7, 8)}
    summed = total([one, two])
    assert summed["calls"] == Tally(6, 8, 10, 12)
    assert summed["board"] == Tally(6, 8)


def test_nearest_pair_is_matched_first_and_each_once() -> None:
    labels = [award(10), award(14)]
    entries = [event(1, 13), event(2, 2)]
    assert sorted(match(labels, entries, 12, lambda a, b: True)) == [(0, 1), (1, 0)]
    # Equally near: the label that stands first gets it.
    assert match([award(10), award(14)], [event(1, 12)], 12, lambda a, b: True) == [(0, 0)]


@pytest.mark.parametrize(
    ("found", "right"),
    [
        ({}, True),
        ({"t": 112.0}, True),
        ({"t": 112.01}, False),
        ({"t": 88.0}, True),
        ({"t": 87.99}, False),
        # The record file has hundredths: what it rounds off does not count.
        ({"t": 112.004}, True),
        ({"corner": "blue"}, False),
        ({"points": 1}, False),
        ({"kind": "exposure"}, True),
        ({"status": "overturned"}, False),
    ],
)
def test_calls(found: dict[str, Any], right: bool) -> None:
    got = measure(truth(events=(award(100.0),)), record(events=(event(1, **{"t": 100.0, **found}),)))
    given_in_all = 0 if found.get("status") == "overturned" else 1
    assert got["calls"] == Tally(int(right), 1, int(right), given_in_all)


def test_calls_of_paragraph_times_have_a_longer_reach() -> None:
    coarse = truth(events=(award(100.0),), near_s=25.0)
    assert measure(coarse, record(events=(event(1, 125.0),)))["calls"].found == 1
    assert measure(coarse, record(events=(event(1, 125.01),)))["calls"].found == 0


def test_overturned_awards_and_warnings_are_no_calls() -> None:
    labels = truth(
        events=(
            award(100.0, status="overturned"),
            award(110.0, corner=None, points=0, called=None, kind="stalling_warning"),
        )
    )
    got = measure(labels, record(events=(event(1, 110.0, points=0, corner=None, kind="stalling_warning"),)))
    assert got["calls"] == Tally(0, 0, 0, 0)


@pytest.mark.parametrize(
    ("called", "kind", "tally"),
    [
        ("full call", "takedown", Tally(1, 1)),
        ("kind only", "takedown", Tally(1, 1)),
        ("full call", "exposure", Tally(0, 1)),
        ("points only", "exposure", Tally(0, 0)),
    ],
)
def test_kinds_are_asked_of_found_calls_whose_kind_was_said(called: str, kind: str, tally: Tally) -> None:
    labels = truth(events=(award(100.0, called), award(300.0, called)))
    assert measure(labels, record(events=(event(1, 100.0, kind=kind),)))["kinds"] == tally


@pytest.mark.parametrize("called", ["score only", "missed"])
def test_uncalled_awards_count_for_the_precision_of_calls(called: str) -> None:
    labels = truth(events=(award(100.0, called),))
    for t, right in ((160.0, 1), (160.01, 0), (40.0, 1)):
        got = measure(labels, record(events=(event(1, t),)))
        assert got["uncalled"] == Tally(right, 1)
        assert got["calls"] == Tally(0, 0, right, 1)


def test_an_award_is_not_used_for_a_call_and_an_uncalled_one() -> None:
    labels = truth(events=(award(100.0), award(104.0, "missed")))
    got = measure(labels, record(events=(event(1, 104.0),)))
    assert (got["calls"], got["uncalled"]) == (Tally(1, 1, 1, 1), Tally(0, 1))


@pytest.mark.parametrize(
    ("said", "t", "verdict", "given_in_all"),
    [
        ((2, 0), 60.0, "agrees", 1),
        ((2, 0), 60.0, "unclear", 1),
        # A scoreboard is slow, a talker quick: the board of six seconds before or after is as good.
        ((2, 0), 85.99, "agrees", 1),
        ((4, 0), 74.0, "agrees", 1),
        ((4, 0), 73.99, "agrees", 2),
        ((2, 0), 86.0, "agrees", 2),
        ((0, 2), 60.0, "agrees", 2),
        # Said to disagree it is a claim, and a wrong one.
        ((2, 0), 60.0, "disagrees", 2),
    ],
)
def test_a_repetition_that_says_the_true_board_is_neither_right_nor_wrong(
    said: tuple[int, int], t: float, verdict: str, given_in_all: int
) -> None:
    labels = truth(
        scores=(TrueScore(50.0, (2, 0), None),),
        board=(TrueBoard(0.0, 0, 0), TrueBoard(45.0, 2, 0), TrueBoard(80.0, 4, 0)),
    )
    found = record(statements=(statement(1, 50.0, (2, 0)), statement(2, t, said, verdict=verdict)))
    got = measure(labels, found)
    assert got["scores"] == Tally(1, 1, 1, given_in_all)
    assert got["flags"].given == int(verdict == "disagrees")


def test_board_at_the_moments_of_scores_and_at_the_end() -> None:
    labels = truth(
        scores=(
            TrueScore(50.0, (2, 0), None),
            TrueScore(50.0, (0, 2), "swapped"),
            TrueScore(90.0, (4, 0), None),
        ),
        board=(TrueBoard(0.0, 0, 0), TrueBoard(45.0, 2, 0), TrueBoard(80.0, 4, 0)),
        result=TrueResult("red", "points", 4, 0),
    )

    def board(*entries: tuple[float, int, int]) -> Tally:
        return measure(labels, record(board=tuple(BoardEntry(*entry) for entry in entries)))["board"]

    assert board((0, 0, 0), (45, 2, 0), (80, 4, 0)) == Tally(3, 3)
    # Up to two seconds late; that a score was said at 50 may also rest on the board up to six seconds before.
    assert board((0, 0, 0), (52, 2, 0), (80, 4, 0)) == Tally(3, 3)
    assert board((0, 0, 0), (53, 2, 0), (80, 4, 0)) == Tally(3, 3)
    assert board((0, 0, 0), (45, 2, 0), (92.01, 4, 0)) == Tally(2, 3)
    assert board((0, 0, 0), (45, 2, 0), (92.004, 4, 0)) == Tally(3, 3)
    assert board((0, 0, 0), (45, 2, 0), (80, 4, 0), (95, 5, 0)) == Tally(2, 3)
    assert board() == Tally(1, 3)


@pytest.mark.parametrize(("shown", "right"), [(51.0, 1), (53.0, 1), (56.0, 1), (56.01, 0)])
def test_board_may_be_ahead_of_a_slow_scoreboard(shown: float, right: int) -> None:
    labels = truth(
        scores=(TrueScore(50.0, (2, 0), None),),
        board=(TrueBoard(0.0, 0, 0), TrueBoard(shown, 2, 0)),
        result=TrueResult("red", "points", 2, 0),
    )
    found = record(board=(BoardEntry(0.0, 0, 0), BoardEntry(52.0, 2, 0)))
    assert measure(labels, found)["board"] == Tally(right + 1, 2)


@pytest.mark.parametrize(("near_s", "reach"), [(12.0, 6.0), (25.0, 25.0)])
def test_scores_need_both_numbers_on_the_right_corners(near_s: float, reach: float) -> None:
    labels = truth(scores=(TrueScore(50.0, (2, 1), None),), near_s=near_s)

    def scores(*found: Any) -> Tally:
        return measure(labels, record(statements=found))["scores"]

    assert scores(statement(1, 50.0 + reach, (2, 1))) == Tally(1, 1, 1, 1)
    assert scores(statement(1, 50.01 + reach, (2, 1))) == Tally(0, 1, 0, 1)
    assert scores(statement(1, 50.0, (1, 2))) == Tally(0, 1, 0, 1)
    # A remark on the lead is no stated score.
    assert scores(statement(1, 50.0, None)) == Tally(0, 1, 0, 0)


def test_flags_must_be_found_and_said_to_disagree() -> None:
    labels = truth(scores=(TrueScore(50.0, (2, 1), "wrong"), TrueScore(90.0, (4, 1), None)))

    def flags(*verdicts: str) -> Tally:
        found = (statement(1, 50.0, (2, 1)), statement(2, 90.0, (4, 1)), statement(3, 120.0, (6, 6)))
        states = tuple(replace(s, verdict=v) for s, v in zip(found, verdicts, strict=False))  # type: ignore[arg-type]
        return measure(labels, record(statements=states))["flags"]

    assert flags("disagrees", "agrees") == Tally(1, 1, 1, 1)
    assert flags("unclear", "disagrees") == Tally(0, 1, 0, 1)
    assert flags("disagrees", "disagrees", "disagrees") == Tally(1, 1, 1, 3)


@pytest.mark.parametrize(
    ("t", "left", "right"),
    [(50, 60, 1), (56, 61, 1), (50, 61.01, 0), (50, 59, 1), (50, 58.99, 0), (56.01, 60, 0)],
)
def test_clocks(t: float, left: float, right: int) -> None:
    labels = truth(clocks=(TrueClock(50.0, 60),))
    assert measure(labels, record(clock=(reading(1, t, left),)))["clocks"] == Tally(right, 1, right, 1)


def test_a_clock_that_has_run_out_is_no_time_left() -> None:
    labels = truth(clocks=(TrueClock(50.0, 1),))
    assert measure(labels, record(clock=(reading(1, 50.0, 0.0),)))["clocks"] == Tally(0, 1, 0, 1)
    assert measure(labels, record(clock=(reading(1, 50.0, 0.01),)))["clocks"] == Tally(1, 1, 1, 1)


@pytest.mark.parametrize(
    ("t", "by", "outcome", "right"),
    [
        (75, "red", "won", 1),
        (75.01, "red", "won", 0),
        (50, "blue", "won", 0),
        (50, None, "won", 0),
        (50, "red", "unknown", 0),
    ],
)
def test_challenges(t: float, by: Any, outcome: Any, right: int) -> None:
    labels = truth(challenges=(TrueChallenge(50.0, "red", "won"),))
    got = measure(labels, record(challenges=(challenge(1, t, by, outcome),)))
    assert got["challenges"] == Tally(right, 1, right, 1)


@pytest.mark.parametrize(
    ("found", "right"),
    [
        (("red", "points", (4, 1)), 1),
        (("blue", "points", (4, 1)), 0),
        (("red", "fall", (4, 1)), 0),
        (("red", "points", (4, 2)), 0),
    ],
)
def test_result(found: Any, right: int) -> None:
    labels = truth(result=TrueResult("red", "points", 4, 1))
    assert measure(labels, record(result=result(*found)))["result"] == Tally(right, 1)


def test_perfect_record_of_each_sample_scores_one_everywhere(samples: list[LabelledBout]) -> None:
    for bout in samples:
        for name, tally in measure(bout.truth, perfect_record(bout.truth)).items():
            assert tally.figure in (1.0, None), (bout.truth.id, name, tally)
            assert tally.right == tally.given


awards = st.builds(
    award,
    t=st.integers(0, 400).map(float),
    called=st.sampled_from(["full call", "points only", "kind only", "score only", "missed"]),
    corner=st.sampled_from(["red", "blue"]),
    points=st.sampled_from([1, 2, 4]),
)


@given(st.lists(awards, max_size=12), st.randoms(use_true_random=False))
def test_no_record_beats_the_perfect_one(labels: list[Any], chance: random.Random) -> None:
    made = truth(events=tuple(labels))
    perfect = perfect_record(made)
    best = measure(made, perfect)
    assert best["calls"].precision in (1.0, None)
    assert best["calls"].recall in (1.0, None)
    assert best["uncalled"].recall in (1.0, None)
    fewer = [e for e in perfect.events if chance.random() < 0.7]
    moved = [replace(e, t=e.t + chance.uniform(-30, 30)) for e in fewer]
    got = measure(made, record(events=tuple(moved)))
    assert got["calls"].found <= best["calls"].found
    assert got["calls"].right <= got["calls"].given == len(moved)  # type: ignore[operator]


def disturbed(of: Truth, chance: random.Random) -> Record:
    """A record of about the right things: some left out, some moved, some verdicts turned, some made up."""
    good = perfect_record(of)

    def some(entries: Any) -> list[Any]:
        kept = [replace(e, t=e.t + chance.choice([0, 2, 9, 30])) for e in entries if chance.random() < 0.8]
        made_up = [replace(e, id=e.id + "x", t=e.t + 200) for e in entries if chance.random() < 0.3]
        return kept + made_up

    def turned(s: Any) -> Any:
        return replace(s, verdict=chance.choice(["agrees", "disagrees", "unclear", s.verdict]))

    return replace(
        good,
        statements=tuple(map(turned, some(good.statements))),
        clock=tuple(some(good.clock)),
        challenges=tuple(some(good.challenges)),
    )


def test_figures_agree_with_scikit_learn(samples: list[LabelledBout], sample_records: list[Record]) -> None:
    """The independent computation is sklearn.metrics.precision_recall_fscore_support, on the same matches: a match
    is a true positive, a label or an entry left alone a false negative or positive."""
    chance = random.Random(5)
    cases = list(zip((b.truth for b in samples), sample_records, strict=True))
    cases += [(bout.truth, disturbed(bout.truth, chance)) for bout in samples for _ in range(5)]
    for labels, found in cases:
        tallies, got = measure(labels, found), match_record(labels, found)

        def check(name: str, pairs: list[tuple[bool, bool]], tallies: dict[str, Tally] = tallies) -> None:
            tally = tallies[name]
            wanted, given_ = zip(*pairs, strict=True) if pairs else ((), ())
            p, r, f, _ = precision_recall_fscore_support(wanted, given_, average="binary", zero_division=0)
            assert (tally.precision or 0.0) == pytest.approx(p)
            assert (tally.recall or 0.0) == pytest.approx(r)
            assert (tally.figure or 0.0) == pytest.approx(f)

        for name, matched, all_labels, all_entries in (
            ("scores", got.scores, labels.scores, got.stated),
            ("clocks", got.clocks, labels.clocks, found.clock),
            ("challenges", got.challenges, labels.challenges, found.challenges),
        ):
            hits = len(matched)
            pairs = [(True, True)] * hits
            pairs += [(True, False)] * (len(all_labels) - hits) + [(False, True)] * (len(all_entries) - hits)
            if all_labels:
                check(name, pairs)
        matched_ids = {s.id for _, s in got.scores}
        lonely = list(labels.scores)
        for label, _ in got.scores:
            lonely.remove(label)
        pairs = [(label.slip is not None, s.verdict == "disagrees") for label, s in got.scores]
        pairs += [(label.slip is not None, False) for label in lonely]
        pairs += [(False, s.verdict == "disagrees") for s in got.stated if s.id not in matched_ids]
        if any(label.slip for label in labels.scores):
            check("flags", pairs)


#: Floors, somewhat below what the program reaches on the samples: that nothing breaks is what they are for.
FLOORS = {
    "calls": 0.9,
    "kinds": 0.85,
    "uncalled": 0.7,
    "board": 0.9,
    "scores": 0.9,
    "flags": 0.6,
    "clocks": 0.85,
    "challenges": 0.6,
    "result": 0.6,
}


@pytest.mark.parametrize("name", MEASURES)
def test_samples_reach_a_floor(name: str, samples: list[LabelledBout], sample_records: list[Record]) -> None:
    measured = [measure(b.truth, r) for b, r in zip(samples, sample_records, strict=True)]
    figure = total(measured)[name].figure
    assert figure is not None
    assert figure >= FLOORS[name]
