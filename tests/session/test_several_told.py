"""A recording of several bouts that is read as one is told; one of a single bout never is."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from tests.samples import FOLDER, NAMES
from tests.session.session_samples import PEBBLE, pebble_truth


@pytest.mark.parametrize("command", [["log", "--out", "out"], ["log", "--out", "out", "--quiet"], ["check"]])
def test_a_session_is_told_in_one_line_that_names_the_command(
    command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, [command[0], str(PEBBLE), *command[1:]])
    (line,) = [line for line in done.stderr.splitlines() if "saidscore session" in line]
    assert f"{PEBBLE}: seems to hold {len(pebble_truth())} bouts and is read as one" in line


def test_no_single_bout_is_told(tmp_path: Path) -> None:
    files = [str(FOLDER / name) for name in NAMES]
    done = CliRunner().invoke(app, ["log", *files, "--out", str(tmp_path), "--quiet"])
    assert done.exit_code == 0
    assert "saidscore session" not in done.stderr
