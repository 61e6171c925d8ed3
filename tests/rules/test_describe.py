"""The rules in words: each value with its source, and the command that prints them."""

from __future__ import annotations

import re

import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.rules.describe import CRITERIA_WORDS, describe, documents_of, in_force
from extract.rules.edition import Edition, find_edition, load_documents, load_editions
from extract.rules.olympic import CRITERIA

ALL = [edition for editions in load_editions().values() for edition in editions]


def run(*args: str) -> tuple[int, str, str]:
    result = CliRunner().invoke(app, ["rules", *args])
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.parametrize("edition", ALL, ids=lambda e: f"{e.style}-{e.name}")
def test_every_value_is_described_with_its_source(edition: Edition) -> None:
    sections = {section.heading: section.rows for section in describe(edition)}
    rows = [row for rows in sections.values() for row in rows]
    assert all(row.source and row.says for row in rows)
    assert {row.what for row in sections["Points"]} >= {kind.replace("_", " ") for kind in edition.points}
    assert len(sections["Victories"]) == len(edition.victories)
    assert len(sections.get("Level score", ())) >= len(edition.level_score_criteria)
    assert not any(row.source.startswith("as ") for row in rows)
    assert set(documents_of(edition)) <= set(load_documents())


def test_every_criterion_has_words() -> None:
    assert set(CRITERIA) <= set(CRITERIA_WORDS)


def test_the_ladders_in_words() -> None:
    said = {
        row.what: row.says
        for section in describe(find_edition("collegiate", "2015-16"))
        for row in section.rows
    }
    assert said["stalling"] == "warning, 1, 1, 1, then disqualification"
    assert said["periods"] == "3:00, 2:00, 2:00"
    assert said["near fall"].startswith("2 or 4:")
    freestyle = {
        row.what: row.says for section in describe(find_edition("freestyle", "2018")) for row in section.rows
    }
    assert "a score of either wrestler ends it" in freestyle["activity clock"]
    assert freestyle["periods"] == "2 x 3:00"


def test_when_an_edition_is_in_force() -> None:
    assert in_force(find_edition("collegiate", "2019-20")) == "2019-08-01 to 2021-07-31"
    assert in_force(find_edition("greco", "2025-trial")).endswith("on trial at some competitions")
    # A test of some months does not end the edition that it departs from.
    assert in_force(find_edition("greco", "2023")) == "2023-01-01 to 2025-12-31"


def test_the_command_prints_an_edition() -> None:
    status, out, _ = run("greco", "--edition", "2021")
    assert status == 0
    assert out.startswith("greco, edition 2021 (2021-02-01 to 2022-01-26)")
    assert "A21" in out
    assert "Sources" in out
    assert max(map(len, out.splitlines())) <= 130


def test_the_command_takes_a_date_and_other_names() -> None:
    assert run("Women's freestyle", "--date", "2022-01-26")[1].startswith("freestyle, edition 2018-04 ")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["freestile"], "did you mean freestyle?"),
        (["greco", "--edition", "2020"], "unknown edition of greco '2020'"),
        (["greco", "--date", "1999-01-01"], "no edition of greco is known for 1999-01-01"),
        (["greco", "--date", "soon"], "no date"),
        (
            ["greco", "--edition", "2021", "--date", "2022-05-05"],
            "an edition is named as well; give one of the two",
        ),
        (["--edition", "2022"], "no ruleset is named"),
    ],
)
def test_bad_usage_gets_one_line(args: list[str], told: str) -> None:
    status, out, err = run(*args)
    assert (status, out) == (2, "")
    assert told in err
    assert len(err.splitlines()) == 1


def test_the_list_has_the_other_names_of_each_ruleset() -> None:
    status, out, _ = run()
    assert status == 0
    assert re.search(r"^collegiate +folkstyle, college, ncaa, ", out, re.MULTILINE)
    assert re.search(r"^scholastic +high school, nfhs, ", out, re.MULTILINE)
