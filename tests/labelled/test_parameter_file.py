"""Parameter files: written by the fit, read by --parameters."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from extract.errors import InputError
from extract.labelled import LabelledBout
from extract.labelled.fit import fit
from extract.labelled.parameter_file import write_parameters
from extract.log import default_parameters
from extract.log.parameters import prior_parameters, read_parameters


def test_what_was_fitted_comes_back(samples: list[LabelledBout], tmp_path: Path) -> None:
    fitted = fit(samples[2:4], source="some")
    write_parameters(fitted, tmp_path / "new.toml")
    again = read_parameters(tmp_path / "new.toml")
    assert again.tables == fitted.tables
    assert again.fitted_on == ("ropewalk-greco", "saltpan-foil")
    assert again.tables["provenance"]["command"] == "saidscore fit some"
    assert [path.name for path in tmp_path.iterdir()] == ["new.toml"]


def test_shipped_and_prior_parameters_are_of_the_form(tmp_path: Path) -> None:
    for parameters in (default_parameters(), prior_parameters()):
        write_parameters(parameters, tmp_path / "p.toml")
        assert read_parameters(tmp_path / "p.toml").tables == parameters.tables


def test_fit_leaves_what_it_starts_from_as_it_is(samples: list[LabelledBout]) -> None:
    before = tomli_w.dumps(prior_parameters().tables)
    fit(samples[2:3])
    assert tomli_w.dumps(prior_parameters().tables) == before


def test_a_file_that_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        write_parameters(default_parameters(), tmp_path / "absent" / "p.toml")


def changed(tmp_path: Path, edit: Callable[[dict[str, Any]], object]) -> Path:
    tables = tomllib.loads(tomli_w.dumps(default_parameters().tables))
    edit(tables)
    path = tmp_path / "p.toml"
    path.write_text(tomli_w.dumps(tables), encoding="utf-8")
    return path


def test_what_may_be_left_out(tmp_path: Path) -> None:
    def drop(tables: dict[str, Any]) -> None:
        del tables["provenance"]
        # A fit on other bouts may never have met a sign.
        tables["call"]["sign"] = {"bias": -0.5, "a sign of its own": 1}

    got = read_parameters(changed(tmp_path, drop))
    assert got.fitted_on == ()
    assert got.get("call.sign", "bias") == -0.5


@pytest.mark.parametrize(
    ("edit", "problem"),
    [
        (lambda t: t.pop("beam"), "the table 'beam' is missing"),
        (lambda t: t["beam"].pop("width"), "the number 'beam.width' is missing"),
        (lambda t: t["call"]["sign"].pop("bias"), "the number 'call.sign.bias' is missing"),
        (lambda t: t["call"]["sign"].update(more="much"), "'call.sign.more' is no number"),
        (lambda t: t["call"]["sign"].update(mine=[1]), "'call.sign.mine' is no number"),
        (lambda t: t["uncalled"].update(burst=float("nan")), "'uncalled.burst' is no number"),
        (lambda t: t["uncalled"].update(burst=True), "'uncalled.burst' is no number"),
        (lambda t: t.update(beam=3), "'beam' is no table"),
        (lambda t: t["call"]["repeat"]["share"].pop(), "'call.repeat.share' is no list of 6 numbers"),
        (lambda t: t["call"]["repeat"].update(share=0.5), "'call.repeat.share' is no list of 6 numbers"),
    ],
)
def test_what_is_wrong_is_named(edit: Any, problem: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=problem):
        read_parameters(changed(tmp_path, edit))


@pytest.mark.parametrize(
    ("content", "problem"),
    [(b"[beam\n", "is not TOML"), (b"\xff\xfe", "is not TOML"), (None, "cannot be read")],
)
def test_no_parameter_file(content: bytes | None, problem: str, tmp_path: Path) -> None:
    path = tmp_path / "p.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(InputError, match=problem):
        read_parameters(path)
