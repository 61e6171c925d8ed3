"""Every command and example of the README runs, and prints what the README shows."""

from __future__ import annotations

import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from urllib.request import urlopen

import pytest

from tests.foreground import foreground
from tests.readme import README, environment, lay_out, outputs, python_blocks, run, shell_commands

TEXT = README.read_text(encoding="utf-8")
#: The set-up makes an environment of its own; .ci/run runs it as it stands.
SETUP = [c for c in shell_commands(TEXT) if ".venv" in c]
#: What serves a page until Ctrl-C.
SERVING = [c for c in shell_commands(TEXT) if c.startswith("saidscore review ")]
COMMANDS = [c for c in shell_commands(TEXT) if ".venv" not in c and c not in SERVING]


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("readme")
    lay_out(folder, TEXT)
    return folder


@pytest.fixture(scope="module")
def once(checkout: Path) -> Callable[[str], subprocess.CompletedProcess[str]]:
    """Runs a command there the first time that it is asked for: many stand in the README with their output."""
    return cache(lambda command: run(command, checkout))


def test_set_up_is_two_commands() -> None:
    assert len(SETUP) == 2
    assert "pip install" in SETUP[0]
    assert "pytest" in SETUP[1]


@pytest.mark.parametrize("command", COMMANDS)
def test_command_runs(command: str, once: Callable[[str], subprocess.CompletedProcess[str]]) -> None:
    done = once(command)
    assert done.returncode == (1 if command.startswith("saidscore check ") else 0), done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", SERVING)
def test_desk_opens(command: str, checkout: Path) -> None:
    # The browser that it opens is a command of our choice here.
    name, *args = shlex.split(command)
    running = subprocess.Popen(
        foreground([shutil.which(name, path=environment()["PATH"]) or name, *args]),
        cwd=checkout,
        env={**environment(), "BROWSER": "true"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert running.stdout is not None
        address = running.stdout.readline().removeprefix("Review desk: ").strip()
        with urlopen(address, timeout=60) as page:
            assert "lantern-final" in page.read().decode()
        running.send_signal(signal.SIGINT)
        _, errors = running.communicate(timeout=60)
    finally:
        running.kill()
    assert (running.returncode, errors) == (0, "")


@pytest.mark.parametrize(("command", "shown"), outputs(TEXT))
def test_output_is_what_the_readme_shows(
    command: str, shown: str, once: Callable[[str], subprocess.CompletedProcess[str]]
) -> None:
    assert shown.strip(), "run: python -m tests.readme"
    assert once(command).stdout == shown


@pytest.mark.parametrize("block", python_blocks(TEXT))
def test_python_example_runs(block: str, checkout: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", block], cwd=checkout, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "points" in done.stdout
