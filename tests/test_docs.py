"""Every command and example of the README and of ``docs/`` runs, and prints what is shown there."""

from __future__ import annotations

import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from urllib.request import urlopen

import pytest

from tests.docs import (
    PAGES,
    README,
    Output,
    environment,
    lay_out,
    outputs,
    python_blocks,
    run,
    shell_commands,
    text_of,
)
from tests.foreground import foreground
from tests.warm import warm_saidscore

#: The set-up makes an environment of its own; .ci/run runs it as it stands.
SETUP = [command for command in shell_commands(text_of(README)) if ".venv" in command]
_OUTPUTS = [(page.name, output) for page in PAGES for output in outputs(text_of(page))]
_STATUS = {output.command: output.status for _, output in _OUTPUTS}
#: Each distinct command once, with the page that has it first.
_ALL: dict[str, str] = {}
for _page in PAGES:
    for _command in shell_commands(text_of(_page)):
        _ALL.setdefault(_command, _page.name)
COMMANDS = [
    (page, c) for c, page in _ALL.items() if c not in SETUP and not c.startswith("saidscore correct ")
]
#: What serves a page until Ctrl-C.
SERVING = [c for c in _ALL if c.startswith("saidscore correct ")]
_EXAMPLES = [(page.name, block) for page in PAGES for block in python_blocks(text_of(page))]

Once = Callable[[str], subprocess.CompletedProcess[str]]


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("docs")
    lay_out(folder)
    return folder


@pytest.fixture(scope="module")
def once(checkout: Path) -> Iterator[Once]:
    """Runs a command the first time that it is asked for: many stand on a page with their output. Those of the README
    start the program as it is installed, the others a fork of it. The record that the set-up makes is there from the
    start."""
    readme = {SETUP[0].rpartition("&& ")[2], *shell_commands(text_of(README))}
    installed = environment()
    with warm_saidscore(installed) as warm:
        kept: Once = cache(lambda command: run(command, checkout, installed if command in readme else warm))
        kept(SETUP[0].rpartition("&& ")[2])
        yield kept


def test_set_up_is_two_commands() -> None:
    assert len(SETUP) == 2
    assert "pip install" in SETUP[0]
    assert "pytest" in SETUP[1]


@pytest.mark.parametrize(("page", "command"), COMMANDS)
def test_command_runs(page: str, command: str, once: Once) -> None:
    done = once(command)
    # What does not agree is told by status 1.
    expected = _STATUS.get(command) or int(command.startswith("saidscore check "))
    assert done.returncode == expected, done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", SERVING)
def test_desk_opens(command: str, once: Once, checkout: Path) -> None:
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
        address = running.stdout.readline().removeprefix("Correction desk: ").strip()
        with urlopen(address, timeout=60) as page:
            assert "lantern-final" in page.read().decode()
        running.send_signal(signal.SIGINT)
        _, errors = running.communicate(timeout=60)
    finally:
        running.kill()
    assert (running.returncode, errors) == (0, "")


@pytest.mark.parametrize(("page", "output"), _OUTPUTS, ids=[f"{page}:{o.command}" for page, o in _OUTPUTS])
def test_output_is_what_is_shown(page: str, output: Output, once: Once) -> None:
    assert output.shown.strip(), "run: python -m tests.docs"
    done = once(output.command)
    assert output.cut(done.stdout) == output.shown
    assert done.returncode == (output.status or int(output.command.startswith("saidscore check ")))


@pytest.mark.parametrize(("page", "block"), _EXAMPLES)
def test_python_example_runs(page: str, block: str, checkout: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", block], cwd=checkout, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "points" in done.stdout
