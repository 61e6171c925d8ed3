"""The README's commands: which there are, and the output that stands in it.

``python -m tests.readme`` writes the output of the commands named in its ``<!-- output: … -->`` marks into the README;
``tests/test_readme.py`` runs every command and holds the README to what they print.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
_SHELL = re.compile(r"^```sh\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_PYTHON = re.compile(r"^```python\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_FILE = re.compile(r"<!-- file: (.*?) -->\n```toml\n(.*?)```", re.DOTALL)
_OUTPUT = re.compile(r"<!-- output: (.*?) -->\n```text\n(.*?)```\n<!-- end -->", re.DOTALL)


def shell_commands(text: str) -> list[str]:
    """The commands of all shell blocks, those of the set-up included, in order."""
    return [line for block in _SHELL.findall(text) for line in block.splitlines() if line.strip()]


def python_blocks(text: str) -> list[str]:
    """The Python examples."""
    return [str(block) for block in _PYTHON.findall(text)]


def outputs(text: str) -> list[tuple[str, str]]:
    """Commands whose output stands in the README, with that output."""
    return [(str(command), str(output)) for command, output in _OUTPUT.findall(text)]


def lay_out(folder: Path, text: str) -> None:
    """Puts what the commands work on into a folder: the samples, and the files that the README shows."""
    shutil.copytree(ROOT / "sample_transcripts", folder / "sample_transcripts")
    for name, content in _FILE.findall(text):
        (folder / name).write_text(content, encoding="utf-8")


def environment() -> dict[str, str]:
    """This environment, with its own ``saidscore`` first on the path."""
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}"
    return {**os.environ, "PATH": path, "COLUMNS": "110", "PYTHONPATH": ""}


def run(command: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Runs a command in a folder with this environment's ``saidscore`` first on the path."""
    return subprocess.run(
        ["bash", "-c", command],
        cwd=folder,
        env=environment(),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def _filled(text: str, folder: Path) -> str:
    """The README with what its commands print today."""

    def fill(match: re.Match[str]) -> str:
        command = match[1]
        printed = run(command, folder).stdout
        return f"<!-- output: {command} -->\n```text\n{printed}```\n<!-- end -->"

    lay_out(folder, text)
    return _OUTPUT.sub(fill, text)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name:
        README.write_text(_filled(README.read_text(encoding="utf-8"), Path(name)), encoding="utf-8")
