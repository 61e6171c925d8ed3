"""Parameter files: written by the fit, read by --parameters."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extract.bout import extract_bout
from extract.errors import InputError
from extract.labelled import LabelledBout
from extract.labelled.fit import fit
from extract.labelled.parameter_file import write_parameters
from extract.log import default_parameters
from extract.log.parameters import prior_parameters, read_parameters
from extract.log.ranges import _ranges, ranges_of
from extract.transcript import read_transcript


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
    ("table", "key", "value", "problem"),
    [
        ("beam", "margin", -1, r"'beam.margin' is -1: a log probability is from 0 to 100; give a number"),
        ("beam", "readings", 0, r"'beam.readings' is 0: a number of readings is from 1 to 100000 and whole"),
        ("beam", "readings", 0.5, r"'beam.readings' is 0.5: .* and whole"),
        (
            "call.points",
            "contradicts",
            1e308,
            r"'call.points.contradicts' is 1e\+308: a share is from 0 to 1",
        ),
        (
            "score.spread",
            "wild_decay",
            1e308,
            r"'score.spread.wild_decay' is 1e\+308: a share is from 0 to 1",
        ),
        ("score.spread", "noise_small", 0, r"'score.spread.noise_small' is 0: .* from 1 to 1e\+06"),
        (
            "call.sign",
            "a sign of its own",
            400.0,
            r"is 400: a weight in a logistic function is from -30 to 30",
        ),
        ("call.points", "order", [0.5, -0.1, 0.1, 0.1], r"'call.points.order' is -0.1: a share"),
        ("call.repeat", "within", [2.0, 6.0, 6.0, 25.0, 60.0, 150.0], r"within' does not rise"),
        ("uncalled.kind", "of another sport", "some", r"'uncalled.kind.of another sport' is no number"),
    ],
)
def test_a_number_out_of_its_range_is_told_with_its_line(
    table: str, key: str, value: Any, problem: str, tmp_path: Path
) -> None:
    def edit(tables: dict[str, Any]) -> None:
        for part in table.split("."):
            tables = tables[part]
        tables[key] = value

    path = changed(tmp_path, edit)
    with pytest.raises(InputError, match=problem) as told:
        read_parameters(path)
    assert told.value.line is not None
    assert key in path.read_text(encoding="utf-8").splitlines()[told.value.line - 1]


def places(tables: dict[str, Any], path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The places of all numbers of a file of parameters."""
    for key, value in tables.items():
        if isinstance(value, dict):
            if (*path, key) != ("provenance",):
                yield from places(value, (*path, key))
        else:
            yield (*path, key)


#: Numbers within most ranges, at their ends, and far outside.
NUMBERS = st.one_of(
    st.sampled_from([0, 1, 0.5, -1, 2, 30, -30, 100, 3600, 1e308, -1e308, 1e-308]),
    st.floats(0, 1),
    st.floats(-40, 4000),
    st.integers(-5, 2000),
)
TALK = """1
00:00:01,000 --> 00:00:03,000
Whistle, and we go. Takedown, two for red!

2
00:00:20,000 --> 00:00:23,000
Blue challenges. Two-nothing red, one minute twenty left.

3
00:01:10,000 --> 00:01:14,000
The challenge is lost, so it's three-one. No, sorry, three-nothing. Red by three.
"""


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_with_what_is_accepted_a_bout_is_read(data: st.DataObject, tmp_path: Path) -> None:
    every = sorted(places(default_parameters().tables))
    chosen = data.draw(st.lists(st.sampled_from(every), min_size=1, max_size=4, unique=True))
    drawn = {place: data.draw(NUMBERS) for place in chosen}

    def edit(tables: dict[str, Any]) -> None:
        for (*path, key), value in drawn.items():
            table = tables
            for part in path:
                table = table[part]
            table[key] = [value] * len(table[key]) if isinstance(table[key], list) else value

    path = changed(tmp_path, edit)
    (tmp_path / "talk.srt").write_text(TALK, encoding="utf-8")
    try:
        parameters = read_parameters(path)
    except InputError:
        return
    for rules in ("freestyle", "collegiate"):
        assert extract_bout(read_transcript(tmp_path / "talk.srt"), rules=rules, parameters=parameters).events


def test_each_number_has_a_range_and_each_range_a_number() -> None:
    found = {next(ranges_of(".".join(place))) for place in places(default_parameters().tables)}
    assert found == set(_ranges())


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
