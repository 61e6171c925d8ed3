"""Confidence held against what was right."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.calibration import calibration_curve

from extract.labelled import LabelledBout
from extract.labelled.calibration import KINDS, Bin, calibration_error, grade, reliability
from tests.labelled.hand_made import (
    TrueResult,
    TrueScore,
    award,
    event,
    perfect_record,
    record,
    result,
    statement,
    truth,
)


def test_what_is_graded() -> None:
    labels = truth(
        events=(award(100.0), award(200.0, "missed"), award(300.0, status="overturned")),
        scores=(
            TrueScore(50.0, (2, 1), "wrong"),
            TrueScore(90.0, (4, 1), None),
            TrueScore(150.0, (5, 1), None),
        ),
        result=TrueResult("red", "points", 4, 1),
    )
    found = record(
        events=(
            event(1, 101.0, confidence=0.9),
            event(2, 230.0, confidence=0.6),
            event(3, 300.0, confidence=0.3),
            event(4, 320.0, confidence=0.8, status="overturned"),
            event(5, 330.0, confidence=0.7, points=0, kind="fall"),
        ),
        statements=(
            statement(1, 50.0, (2, 1), verdict="disagrees", confidence=0.95),
            statement(2, 90.0, (4, 1), verdict="disagrees", confidence=0.7),
            statement(3, 150.0, (5, 1), verdict="unclear", confidence=0.55),
            statement(4, 400.0, (9, 9), verdict="agrees", confidence=0.85),
            statement(5, 410.0, None, verdict="agrees", confidence=0.7),
        ),
        result=result("red", "points", (4, 1), 0.75),
    )
    assert grade(labels, found) == {
        "events": [(0.9, True), (0.6, True), (0.3, False)],
        "verdicts": [(0.95, True), (0.7, False), (0.85, False)],
        "results": [(0.75, True)],
    }


def test_perfect_records_are_right_and_sure(samples: list[LabelledBout]) -> None:
    for bout in samples:
        graded = grade(bout.truth, perfect_record(bout.truth))
        assert set(graded) == set(KINDS)
        for pairs in graded.values():
            assert pairs
            assert set(pairs) == {(1.0, True)}
            assert calibration_error(pairs) == 0.0


def test_reliability_by_hand() -> None:
    graded = [(0.0, False), (0.1, True), (0.11, False), (0.95, True), (1.0, False)]
    assert reliability(graded) == [
        Bin(0.0, pytest.approx(0.1), 2, pytest.approx(0.05), 0.5),
        Bin(pytest.approx(0.1), pytest.approx(0.2), 1, pytest.approx(0.11), 0.0),
        Bin(0.9, 1.0, 2, pytest.approx(0.975), 0.5),
    ]
    assert calibration_error(graded) == pytest.approx((2 * 0.45 + 0.11 + 2 * 0.475) / 5)


def test_nothing_to_grade() -> None:
    assert reliability([]) == []
    assert calibration_error([]) is None


@given(
    st.lists(
        st.tuples(st.one_of(st.floats(0, 1), st.sampled_from([0.1, 0.2, 0.3, 0.7])), st.booleans()),
        min_size=1,
    ),
    st.integers(2, 15),
)
def test_reliability_agrees_with_scikit_learn(graded: list[tuple[float, bool]], bins: int) -> None:
    """The independent computation is sklearn.calibration.calibration_curve; the error is worked out from its curve
    with numpy.digitize for the cases of each bin."""
    confidence = np.array([c for c, _ in graded])
    right = np.array([r for _, r in graded], dtype=int)
    share, mean = calibration_curve(right, confidence, n_bins=bins, strategy="uniform")
    table = reliability(graded, bins)
    assert [b.right for b in table] == pytest.approx(list(share))
    assert [b.confidence for b in table] == pytest.approx(list(mean))
    place = np.digitize(confidence, np.linspace(0, 1, bins + 1)[1:-1], right=True)
    cases = np.bincount(place, minlength=bins)
    cases = cases[cases > 0]
    assert [b.cases for b in table] == list(cases)
    assert calibration_error(graded, bins) == pytest.approx(np.average(abs(share - mean), weights=cases))
