"""How far a log is believed, and when the search is done again with a wider beam."""

from __future__ import annotations

import importlib
from typing import Any

import pytest
from test_search_exact import model_of

from extract.log.certainty import lost_signs, trust_by
from extract.log.frame import Frame, Period
from extract.log.search import Beam, SearchResult, opening, search
from extract.mentions.model import ScoreMention


@pytest.mark.parametrize(
    ("over", "signs"), [(None, ()), ("some_dropped", ("some dropped",)), ("much_dropped", ("much dropped",))]
)
def test_what_was_let_go_is_a_sign_above_a_threshold(over: str | None, signs: tuple[str, ...]) -> None:
    model = model_of("freestyle")
    dropped = 0.0 if over is None else model.parameters.get("lost", over) + 0.01
    assert lost_signs(opening(model), dropped, (), model) == signs


def test_just_at_a_threshold_is_no_sign_yet() -> None:
    model = model_of("freestyle")
    at = model.parameters.get("lost", "some_dropped")
    assert lost_signs(opening(model), at, (), model) == ()


def test_scores_that_no_reading_explains_are_a_sign() -> None:
    model = model_of("freestyle")
    score = ScoreMention(0, 0, 20.0, "asserted", "to", (4, 1), "red", "attached")
    assert model.score_genuine(score) > 0.5
    assert lost_signs(opening(model), 0.0, [score], model) == ("much unexplained",)


def test_what_was_let_go_takes_from_the_trust() -> None:
    model = model_of("freestyle")
    sure, lost = trust_by((), model), trust_by(("much dropped",), model)
    assert sure.keys() == lost.keys() == set(model.parameters.table("confidence"))
    assert lost["called"] < sure["called"]


@pytest.mark.parametrize(("beyond", "runs"), [(-0.01, 1), (0.0, 1), (0.01, 2)])
def test_the_search_is_wider_only_where_much_was_let_go(
    beyond: float, runs: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    model = model_of("freestyle")
    table = model.parameters.table("beam")
    widths: list[int] = []

    def run(*args: Any) -> SearchResult:
        widths.append(next(arg for arg in args if isinstance(arg, Beam)).width)
        return SearchResult(((1.0, opening(model)),), table["lost"] + beyond)

    monkeypatch.setattr(importlib.import_module("extract.log.search"), "_run", run)
    search((), Frame([Period(1, 2.0, 182.0, 180)], []), model)
    assert widths == [table["width"], table["wide"]][:runs]
    assert table["wide"] > table["width"]
