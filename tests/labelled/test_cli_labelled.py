"""The commands measure and fit, and the option --parameters."""

from __future__ import annotations

import json
import re
import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.labelled import LabelledBout
from extract.labelled.measures import MEASURES
from extract.labelled.report import MeasureReport, to_text
from extract.labelled.validate import measure_bouts
from tests.labelled.hand_made import SAMPLES


def run(*args: object) -> Any:
    return CliRunner().invoke(app, [str(arg) for arg in args])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two of the sample's bouts in a folder of their own."""
    out = tmp_path / "labelled"
    out.mkdir()
    for path in (*SAMPLES.glob("shed-notes.*"), *SAMPLES.glob("tallow-quarter.*")):
        shutil.copy(path, out)
    return out


def test_measure_prints_plain_tables_into_a_pipe(folder: Path) -> None:
    done = run("measure", folder)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("2 labelled bouts, shipped parameters\n")
    assert "\x1b" not in done.stdout
    lines = done.stdout.splitlines()
    [header] = [line for line in lines if line.split() == list(MEASURES)]
    rows = [line.split()[0] for line in lines[lines.index(header) + 1 :][:2]]
    assert rows == ["shed-notes", "tallow-quarter"]
    assert re.search(r"^= all +\d\.\d\d", done.stdout, re.M)
    assert re.search(r"^all +scores +\d\.\d\d \d\.\d\d-\d\.\d\d +\d+/\d+ +\d+/\d+$", done.stdout, re.M)
    assert "expected calibration error" in done.stdout


def test_measure_fits_a_terminal(samples: list[LabelledBout]) -> None:
    report = MeasureReport(measure_bouts(samples[3:]), "some parameters", (), False, True, 50)
    shown = to_text(report, 80)
    assert "\x1b[1m" in shown
    assert max(len(re.sub(r"\x1b\[[\d;]*m", "", line)) for line in shown.splitlines()) <= 80


def test_measure_as_json_is_one_document(folder: Path) -> None:
    done = run("measure", folder, "--json", "--resamples", "100")
    tree = json.loads(done.stdout)
    assert tree["schema"] == "saidscore.measures/1"
    assert (tree["resamples"], tree["cross_validated"], tree["bout_files"]) == (100, False, True)
    assert list(tree["bouts"]) == ["shed-notes", "tallow-quarter"]
    assert list(tree["totals"]) == ["all", "freestyle", "csv", "vtt"]
    for name in MEASURES:
        whole = tree["totals"]["all"][name]
        parts = [bout["measures"][name] for bout in tree["bouts"].values()]
        for key in ("found", "labelled", "right", "given"):
            if key in whole:
                assert whole[key] == sum(part[key] for part in parts)
    assert set(tree["totals"]["all"]["calls"]) == {
        "figure", "found", "labelled", "right", "given", "interval",
    }  # fmt: skip
    assert "right" not in tree["totals"]["all"]["kinds"]
    low, high = tree["totals"]["all"]["scores"]["interval"]
    assert low <= tree["totals"]["all"]["scores"]["figure"] <= high
    assert tree["totals"]["csv"]["scores"]["interval"] is None
    events = tree["calibration"]["events"]
    assert events["cases"] == sum(b["cases"] for b in events["bins"])
    assert 0 <= events["expected_error"] <= 1
    assert run("measure", folder, "--json", "--resamples", "100").stdout == done.stdout


def test_cross_validation_and_no_bout_file_are_told(folder: Path) -> None:
    done = run("measure", folder, "--cross-validate", "--no-bout-file", "--resamples", "0")
    assert done.exit_code == 0
    assert done.stdout.splitlines()[0] == (
        "2 labelled bouts, each with parameters fitted on all the others, without bout files"
    )
    assert "95 % intervals" not in done.stdout


def test_fit_writes_a_file_that_measure_and_log_take(folder: Path, tmp_path: Path) -> None:
    new = tmp_path / "new.toml"
    done = run("fit", folder, "--out", new)
    assert (done.exit_code, done.stdout) == (0, f"Written: {new}, fitted on 2 labelled bouts\n")
    provenance = tomllib.loads(new.read_text())["provenance"]
    assert provenance["source"] == "labelled"
    assert provenance["bouts"] == ["shed-notes", "tallow-quarter"]
    assert provenance["command"] == "saidscore fit labelled"
    assert re.fullmatch(r"saidscore \d+\.\d+\.\d+.*", provenance["program"])
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", provenance["date"])

    tree = json.loads(run("measure", folder, "--parameters", new, "--json").stdout)
    assert tree["parameters"] == f"parameters of {new}"
    assert tree["fitted_on_measured"] == ["shed-notes", "tallow-quarter"]
    told = run("measure", folder, "--parameters", new).stdout.splitlines()[1]
    assert told == "The parameters were fitted on 2 of these bouts: see --cross-validate."
    assert run("log", folder / "shed-notes.csv", "--parameters", new, "--json").exit_code == 0


def test_same_input_gives_the_same_file_but_for_the_date(folder: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    run("fit", folder, "--out", one)
    run("fit", folder, folder / ".", "--out", two)

    def undated(path: Path) -> str:
        return re.sub(r'^date = ".*"$', "", path.read_text(), flags=re.M)

    assert undated(one) == undated(two)


def test_parameters_reach_the_log_and_the_check(folder: Path, tmp_path: Path) -> None:
    new = tmp_path / "deaf.toml"
    run("fit", folder, "--out", new)
    # With a number said so unlikely to be a score, none is taken for one.
    new.write_text(re.sub(r"(\[score\.sign\]\nbias = ).*", r"\g<1>-30.0", new.read_text()))
    file = folder / "shed-notes.csv"
    shipped = json.loads(run("log", file, "--json").stdout)["statements"]
    deaf = json.loads(run("log", file, "--json", "--parameters", new).stdout)["statements"]
    assert len([s for s in deaf if s["said"]]) < len([s for s in shipped if s["said"]])
    assert run("check", file, "--parameters", new).stdout != run("check", file).stdout


@pytest.mark.parametrize("command", [("measure",), ("fit", "--out", "new.toml")])
@pytest.mark.parametrize(
    ("spoil", "problem"),
    [
        (lambda f: [path.unlink() for path in f.glob("*.truth.json")], "no label file"),
        (lambda f: shutil.rmtree(f), "no label file"),
        (lambda f: (f / "shed-notes.csv").unlink(), "no transcript beside it"),
        (lambda f: (f / "shed-notes.truth.json").write_text("{\n1"), "shed-notes.truth.json:2: is not JSON"),
        (lambda f: (f / "shed-notes.truth.json").write_text("{}"), "id: missing"),
        (lambda f: (f / "shed-notes.csv").write_text(""), "shed-notes.csv"),
    ],
)
def test_bad_labels_end_the_command(
    command: tuple[str, ...], spoil: Any, problem: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder.parent)
    spoil(folder)
    done = run(command[0], folder, *command[1:])
    assert (done.exit_code, done.stdout) == (2, "")
    assert problem in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert not (folder.parent / "new.toml").exists()


@pytest.mark.parametrize("command", ["log", "check", "measure"])
def test_bad_parameters_end_the_command_before_any_work(
    command: str, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    bad = tmp_path / "bad.toml"
    bad.write_text("[beam]\nwidth = 3\n")
    done = run(command, folder, "--parameters", bad)
    assert (done.exit_code, done.stdout) == (2, "")
    assert re.fullmatch(r"saidscore: .*bad\.toml: .* is missing; .*\n", done.stderr)
    assert run(command, folder, "--parameters", tmp_path / "absent.toml").exit_code == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bad.toml", "labelled"]


def test_wrong_calls(folder: Path, tmp_path: Path) -> None:
    for path in folder.glob("tallow-*"):
        path.unlink()
    alone = run("measure", folder, "--cross-validate")
    assert (alone.exit_code, alone.stdout) == (2, "")
    assert "one labelled bout only" in alone.stderr
    both = run("measure", folder, "--cross-validate", "--parameters", "x.toml")
    assert both.exit_code == 2
    assert "does not go with --cross-validate" in both.stderr
    assert run("measure", folder, "--resamples", "-1").exit_code == 2
    assert run("fit", folder).exit_code == 2


def test_fit_overwrites_no_label(folder: Path) -> None:
    sheet = folder / "tallow-quarter.bout.toml"
    before = sheet.read_bytes()
    done = run("fit", folder, "--out", sheet)
    assert done.exit_code == 2
    assert "would be overwritten" in done.stderr
    assert sheet.read_bytes() == before
    for target in (folder, folder / "absent" / "p.toml"):
        assert run("fit", folder, "--out", target).exit_code == 2
