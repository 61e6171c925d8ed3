"""The names that people use for a ruleset, and a slip of the pen in them, wherever one is named."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.errors import InputError
from extract.session import read_sheet
from tests.session.session_samples import PEBBLE

TALK = """[0:05] Orla Fenwick in red against Tamsin Quill in blue.
[0:20] Takedown Fenwick.
[0:24] Fenwick leads by the takedown.
[0:50] Escape Quill, one point.
[1:40] And that is the end of it. Fenwick wins.
"""
HINT = "unknown ruleset 'folkstlye'; did you mean folkstyle? use one of collegiate, foil, freestyle, greco"


def run(*args: object) -> str:
    done = CliRunner().invoke(app, [str(arg) for arg in args])
    assert done.exception is None or isinstance(done.exception, SystemExit)
    return done.output


def by_option(folder: Path, name: str) -> str:
    said = run("log", folder / "match.txt", "--rules", name, "--json")
    return _rules(said)


def by_bout_file(folder: Path, name: str) -> str:
    (folder / "match.bout.toml").write_text(f'rules = "{name}"')
    return _rules(run("log", folder / "match.txt", "--json"))


def by_session(folder: Path, name: str) -> str:
    return _rules(run("session", PEBBLE, "--rules", name, "--json"))


def by_sheet(folder: Path, name: str) -> str:
    sheet = folder / "card.csv"
    sheet.write_text(f"red,blue,rules\nOrla Fenwick,Tamsin Quill,{name}\n")
    try:
        return str(read_sheet(sheet).bouts[0].rules)
    except InputError as error:
        return str(error)


def by_list_of_a_dataset(folder: Path, name: str) -> str:
    (folder / "list.csv").write_text(f"transcript,rules\nmatch.txt,{name}\n")
    said = run("dataset", folder / "list.csv", "--out", folder / "out", "--jobs", "1")
    return _dataset(folder, said)


def by_option_of_a_dataset(folder: Path, name: str) -> str:
    (folder / "list.csv").write_text("transcript\nmatch.txt\n")
    said = run("dataset", folder / "list.csv", "--out", folder / "out", "--rules", name, "--jobs", "1")
    return _dataset(folder, said)


def by_the_command_rules(folder: Path, name: str) -> str:
    said = run("rules", name)
    return said.split(",")[0].casefold() if ", edition" in said else said


def _rules(said: str) -> str:
    """The rulesets of the records that are printed, or what is said in their place."""
    decoder, named = json.JSONDecoder(), set()
    rest = said
    while rest.startswith("{"):
        record, end = decoder.raw_decode(rest)
        named.add(record["bout"]["rules"])
        rest = rest[end:].lstrip()
    return " ".join(named) or said


def _dataset(folder: Path, said: str) -> str:
    table = folder / "out" / "bouts"
    rules = set(pd.read_parquet(table)["rules"]) if table.exists() else set()
    return next(iter(rules)) if rules else said


PLACES = (
    by_option,
    by_bout_file,
    by_session,
    by_sheet,
    by_list_of_a_dataset,
    by_option_of_a_dataset,
    by_the_command_rules,
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "match.txt").write_text(TALK)
    return tmp_path


@pytest.mark.processes
@pytest.mark.parametrize("place", PLACES)
def test_a_name_that_people_use_is_understood(place: Callable[[Path, str], str], folder: Path) -> None:
    assert place(folder, "NCAA Folk-Style") == "collegiate"


@pytest.mark.processes
@pytest.mark.parametrize("place", PLACES)
def test_a_misspelling_is_answered_in_the_same_way(place: Callable[[Path, str], str], folder: Path) -> None:
    assert HINT in place(folder, "folkstlye").replace("\n", " ")


def test_the_lexicon_of_a_name_that_people_use() -> None:
    called = run("lexicon", "hear", "Near fall, three.", "--rules", "High School")
    assert called == run("lexicon", "hear", "Near fall, three.", "--rules", "scholastic")
    assert HINT in run("lexicon", "hear", "Near fall, three.", "--rules", "folkstlye")
