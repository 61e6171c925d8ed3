"""Completion: the script for each shell, and what the program answers when a shell asks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.rules import edition_names

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the command ``saidscore`` of this tree."""
    folder = tmp_path_factory.mktemp("bin")
    command = folder / "saidscore"
    command.write_text(f"#!/bin/sh\nPYTHONPATH='{ROOT}' exec '{sys.executable}' -m extract \"$@\"\n")
    command.chmod(0o755)
    return folder


def asked(program: Path, shell: str, line: str) -> list[str]:
    """What is offered at the end of a line, by the protocol of a shell."""
    words = line.split(" ")
    env = {
        "bash": {"COMP_WORDS": "\n".join(words), "COMP_CWORD": str(len(words) - 1)},
        "fish": {"_TYPER_COMPLETE_ARGS": line, "_TYPER_COMPLETE_FISH_ACTION": "get-args"},
        "zsh": {"_TYPER_COMPLETE_ARGS": line},
    }[shell]
    env |= {"_SAIDSCORE_COMPLETE": f"complete_{shell}"}
    done = subprocess.run(
        [program / "saidscore"], env={**os.environ, **env}, capture_output=True, text=True, timeout=60
    )
    assert done.stderr == ""
    return [line for line in done.stdout.splitlines() if line]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("saidscore ex", {"export"}),
        ("saidscore dataset au", {"audit"}),
        ("saidscore log --ru", {"--rules"}),
        ("saidscore log --rules fr", {"freestyle"}),
        ("saidscore check --rules g", {"greco"}),
        ("saidscore session x.srt --rules sc", {"scholastic"}),
        ("saidscore dataset build x --rules co", {"collegiate"}),
        ("saidscore lexicon hear x --rules fo", {"foil"}),
        ("saidscore rules coll", {"collegiate"}),
        ("saidscore rules foil --edition ", set(edition_names("foil"))),
        ("saidscore export x.record.json --as cap", {"captions-vtt", "captions-srt"}),
        ("saidscore completion z", {"zsh"}),
        ("saidscore dataset build x --engine d", {"dask"}),
        ("saidscore rules nosuch --edition ", set()),
    ],
)
def test_what_is_offered(program: Path, line: str, offered: set[str]) -> None:
    assert set(asked(program, "bash", line)) == offered


def test_the_other_shells_are_offered_the_same(program: Path) -> None:
    assert [line.split("\t")[0] for line in asked(program, "fish", "saidscore exp")] == ["export"]
    assert '"export"' in "".join(asked(program, "zsh", "saidscore exp"))


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_of_each_shell(shell: str) -> None:
    done = CliRunner().invoke(app, ["completion", shell])
    assert done.exit_code == 0
    assert f"_SAIDSCORE_COMPLETE=complete_{shell}" in done.stdout
    assert done.stderr == ""


def test_another_shell_is_an_error_that_names_the_known() -> None:
    done = CliRunner().invoke(app, ["completion", "tcsh"])
    assert done.exit_code == 2
    assert all(f"'{shell}'" in done.output for shell in ("bash", "zsh", "fish"))


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash")
@pytest.mark.parametrize(
    ("words", "offered"),
    [
        (["saidscore", "log", "--rules", "coll"], ["collegiate"]),
        (["saidscore", "export", "x", "--as", "mark"], ["markers-csv"]),
        # Files are the shell's own affair: nothing is offered in their place.
        (["saidscore", "log", "mat"], []),
        (["saidscore", "log", "x", "--out", "rec"], []),
    ],
)
def test_in_bash(program: Path, tmp_path: Path, words: list[str], offered: list[str]) -> None:
    quoted = " ".join(f"'{word}'" for word in words)
    script = f"""
source <(saidscore completion bash)
complete -p saidscore | grep -q -- '-o default' || exit 9
COMP_WORDS=({quoted}); COMP_CWORD={len(words) - 1}
"$(complete -p saidscore | sed 's/.*-F \\([^ ]*\\).*/\\1/')" saidscore
printf '%s\\n' "${{COMPREPLY[@]}}"
"""
    env = {**os.environ, "PATH": f"{program}:{os.environ['PATH']}"}
    done = subprocess.run(
        ["bash", "--norc", "-c", script], cwd=tmp_path, env=env, capture_output=True, text=True, timeout=120
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.split() == offered
