"""The help of every command: it fits the terminal, is cut nowhere, and shows a call that works."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from extract.cli.app import app

ROOT = typer.main.get_command(app)


def commands(command: Any = ROOT, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    yield path
    for name, below in getattr(command, "commands", {}).items():
        yield from commands(below, (*path, name))


def command_at(words: list[str]) -> tuple[Any, list[str]]:
    """The command that a call names, and the rest of the call. As on the command line, ``dataset SOURCE`` builds."""
    found: Any = ROOT
    while hasattr(found, "commands") and words and not words[0].startswith("-"):
        if words[0] not in found.commands:
            return found.commands["build"], words
        found, words = found.commands[words[0]], words[1:]
    return found, words


def help_of(path: tuple[str, ...]) -> str:
    done = CliRunner().invoke(app, [*path, "--help"], env={"COLUMNS": "80", "TERMINAL_WIDTH": "80"})
    assert done.exit_code == 0
    return done.output


def examples(text: str) -> list[str]:
    return [line.strip() for line in re.split(r"\nExamples?:\n", text)[1].splitlines()]


@pytest.mark.parametrize("path", list(commands()), ids=" ".join)
def test_the_help_fits_and_nothing_is_cut(path: tuple[str, ...]) -> None:
    text = help_of(path)
    assert max(map(len, text.splitlines())) <= 80
    usage, _, rest = text.partition("\n\n")
    assert usage.startswith("Usage: ")
    assert "..." not in rest
    assert "…" not in rest
    for pythonic in ("<", "{", "Path", "list["):
        assert pythonic not in text
    assert text.isascii(), "a pipe or an old terminal may not have more"


@pytest.mark.parametrize("path", list(commands()), ids=" ".join)
def test_the_examples_are_calls_of_the_command(path: tuple[str, ...]) -> None:
    given = examples(help_of(path))
    assert given
    for example in given:
        words = shlex.split(example.split(">")[0])
        assert words.pop(0) == "saidscore"
        assert tuple(words[: len(path)]) == path or path == ("dataset", "build")
        command, rest = command_at(words)
        known = {opt for param in command.get_params(typer.Context(command)) for opt in param.opts}
        assert {word for word in rest if word.startswith("-")} <= known
        arguments = [p for p in command.params if p.param_type_name == "argument" and p.required]
        assert len([word for word in rest if not word.startswith("-")]) >= len(arguments)


@pytest.mark.parametrize("path", [path for path in commands() if path], ids=" ".join)
def test_the_list_of_commands_has_the_whole_first_sentence(path: tuple[str, ...]) -> None:
    command, _ = command_at(list(path))
    sentence = command.help.split(". ")[0].split(".\n")[0].rstrip(".") + "."
    assert len(sentence) <= 60
    assert re.search(rf"^  {path[-1]} +{re.escape(sentence)}$", help_of(path[:-1]), re.MULTILINE)


def test_the_options_stand_in_groups() -> None:
    text = help_of(("log",))
    heads = [line for line in text.splitlines() if re.fullmatch(r"[A-Z][a-z ]+:", line)]
    assert heads == [
        "Arguments:",
        "What is known:",
        "How it is read:",
        "What comes out:",
        "Options:",
        "Example:",
    ]
    known = text.split("What is known:")[1].split("\n\n")[0]
    assert "--rules NAME" in known
    assert "--out" not in known


def test_the_defaults_and_what_must_be_given_are_told() -> None:
    text = " ".join(help_of(("dataset", "build")).split())
    assert "The dataset's folder. [required]" in text
    assert "--engine local|dask" in text
    assert "[default: local]" in text


def test_the_version_in_both_ways() -> None:
    short, long = (CliRunner().invoke(app, [option]) for option in ("-V", "--version"))
    assert short.exit_code == long.exit_code == 0
    assert short.output == long.output
    assert short.output.startswith("saidscore ")
