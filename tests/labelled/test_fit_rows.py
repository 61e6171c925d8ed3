"""What the fit makes of the row by which a mention was found: worth more or less than its form, and little at first."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from extract.labelled import LabelledBout
from extract.labelled.fit import fit, logistic
from extract.labelled.parameter_file import write_parameters
from extract.log.parameters import Parameters, default_parameters, read_parameters
from extract.mentions.model import CallMention, ScoreMention

Sample = tuple[tuple[str, ...], bool]
PRIOR = {"bias": 0.0, "form to": 0.0}


def samples_of(row: str, right: int, wrong: int) -> list[Sample]:
    signs = ("form to", *([f"row {row}"] if row else []))
    return [(signs, True)] * right + [(signs, False)] * wrong


def test_mentions_have_the_sign_of_their_row() -> None:
    score = ScoreMention(0, 2, 0.0, "asserted", "to", (3, 1), None, "none")
    call = CallMention(0, 2, 0.0, "asserted", "points", (), 2, None, "none")
    for mention in (score, call):
        assert not any(sign.startswith("row ") for sign in mention.all_signs())
        named = replace(mention, row="some.row")
        assert set(named.all_signs()) == {*mention.all_signs(), "row some.row"}
        assert len(named.all_signs()) == len(set(named.all_signs()))


def test_a_row_that_is_often_wrong_is_worth_less_than_its_form() -> None:
    got = logistic(samples_of("good", 90, 10) + samples_of("bad", 40, 60), PRIOR)
    assert got["row bad"] < -0.3
    assert got["row good"] > 0.3


def test_a_row_is_shrunk_towards_its_form() -> None:
    """Few mentions move a row little, many move it to what they tell."""
    others = samples_of("", 900, 100)
    few = logistic(others + samples_of("weak", 0, 1), PRIOR)
    some = logistic(others + samples_of("weak", 5, 5), PRIOR)
    many = logistic(others + samples_of("weak", 200, 200), PRIOR)
    assert -0.12 < few["row weak"] < 0
    assert many["row weak"] < some["row weak"] < few["row weak"]
    # Half of four hundred are right, whatever its form is worth: the prior has next to no say any more.
    p = 1 / (1 + math.exp(-(many["bias"] + many["form to"] + many["row weak"])))
    assert p == pytest.approx(0.5, abs=0.08)


def test_a_row_moves_less_than_a_sign_with_the_same_cases() -> None:
    base = samples_of("", 50, 50)
    row = logistic([*base, *[(("form to", "row new"), False)] * 3], PRIOR)
    sign = logistic([*base, *[(("form to", "new"), False)] * 3], PRIOR)
    assert sign["new"] < 4 * row["row new"] < 0


def test_a_row_that_nothing_was_measured_of_weighs_nothing() -> None:
    parameters = Parameters({"score": {"sign": {"bias": 0.3, "form to": 0.4}}})
    known = parameters.chance("score.sign", ("form to",))
    assert parameters.chance("score.sign", ("form to", "row of.mine")) == known


def test_fitted_parameters_have_rows_and_are_read_back(samples: list[LabelledBout], tmp_path: Path) -> None:
    fitted = fit(samples[:1])
    rows = {sign for sign in fitted.table("score.sign") if sign.startswith("row ")}
    assert "row pair.hyphen" in rows
    write_parameters(fitted, tmp_path / "p.toml")
    assert read_parameters(tmp_path / "p.toml").tables == fitted.tables
    # Those that a file lacks weigh nothing; a file of before has none.
    table = fitted.table("score.sign")
    for row in rows:
        del table[row]
    write_parameters(fitted, tmp_path / "p.toml")
    assert read_parameters(tmp_path / "p.toml").table("score.sign") == table
    assert set(default_parameters().tables) == set(fitted.tables)
