"""The commands of the README and of the pages of ``docs/``: which there are, and the output that is shown there.

``python -m tests.docs`` runs the commands named in ``<!-- output: … -->`` marks and writes what they print into the
pages. ``tests/test_docs.py`` runs every command and compares what it prints with what is shown.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
#: In the order in which their commands run, all in one folder: the README makes the record that the others start from.
PAGES = (README, *sorted((ROOT / "docs").glob("*.md")))
_SHELL = re.compile(r"^```sh\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_PYTHON = re.compile(r"^```python\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_FILE = re.compile(r"<!-- file: (.*?) -->\n```\w+\n(.*?)```", re.DOTALL)
_OUTPUT = re.compile(
    r"<!-- output(?:, lines (\d+)-(\d+))?(?:, status (\d))?: (.*?) -->\n```text\n(.*?)```\n<!-- end -->",
    re.DOTALL,
)


class Output(NamedTuple):
    """What a page shows of a command: its lines ``first`` to ``last``, counted from 1, or all where these are 0."""

    command: str
    first: int
    last: int
    status: int
    shown: str

    def cut(self, printed: str) -> str:
        """The lines that the page shows, of what the command printed."""
        lines = printed.splitlines(keepends=True)
        return "".join(lines[self.first - 1 : self.last] if self.first else lines)


def text_of(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def shell_commands(text: str) -> list[str]:
    """The commands of all shell blocks, those of the set-up included, in order."""
    return [line for block in _SHELL.findall(text) for line in block.splitlines() if line.strip()]


def python_blocks(text: str) -> list[str]:
    """The Python examples."""
    return [str(block) for block in _PYTHON.findall(text)]


def outputs(text: str) -> list[Output]:
    """Commands whose output stands on a page, with that output."""
    return [_output(match) for match in _OUTPUT.finditer(text)]


def _output(match: re.Match[str]) -> Output:
    first, last, status, command, shown = match.groups()
    return Output(command, int(first or 0), int(last or 0), int(status or 0), shown)


def lay_out(folder: Path) -> None:
    """Puts what the commands work on into a folder: the samples, and the files that the pages show."""
    shutil.copytree(ROOT / "sample_transcripts", folder / "sample_transcripts")
    for page in PAGES:
        for name, content in _FILE.findall(text_of(page)):
            (folder / name).write_text(content, encoding="utf-8")


def environment() -> dict[str, str]:
    """This environment, with its own ``saidscore`` first on the path."""
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}"
    return {**os.environ, "PATH": path, "COLUMNS": "110", "PYTHONPATH": ""}


def run(command: str, folder: Path, environment: Mapping[str, str]) -> subprocess.CompletedProcess[str]:
    """Runs a command in a folder."""
    return subprocess.run(
        ["bash", "-c", command],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def _filled(text: str, printed: Callable[[str], str]) -> str:
    """A page with what its commands print today."""

    def fill(match: re.Match[str]) -> str:
        output = _output(match)
        head = match[0].partition("```text\n")[0]
        return f"{head}```text\n{output.cut(printed(output.command))}```\n<!-- end -->"

    return _OUTPUT.sub(fill, text)


def _fill_pages() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        lay_out(folder)
        printed = cache(lambda command: run(command, folder, environment()).stdout)
        for page in PAGES:
            page.write_text(_filled(text_of(page), printed), encoding="utf-8")


if __name__ == "__main__":
    _fill_pages()
