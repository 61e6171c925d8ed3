"""The tables of a dataset as CSV: the same rows, whole or not at all, and checked."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from typer.testing import CliRunner, Result

from extract.cli.app import app
from extract.dataset import csv_files
from extract.dataset.store import DRAFT
from extract.dataset.tables import dataset_tables
from tests.dataset.corpus import talk, tree, write_corpus


def run(*args: object) -> Result:
    return CliRunner().invoke(app, ["dataset", *map(str, args)])


def build(folder: Path, *args: str) -> Result:
    return run(folder / "talk", "--out", folder / "out", "--jobs", "1", "--recordings", "bout", *args)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_corpus(tmp_path / "talk", 4)
    (tmp_path / "talk" / "=bad.srt").write_bytes(b"")
    return tmp_path


def test_every_table_has_the_same_rows_and_columns_as_its_parquet(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(csv_files, "_ROWS", 3)
    assert build(folder, "--csv").exit_code == 3
    out = folder / "out"
    assert {path.name for path in (out / "csv").iterdir()} == {f"{name}.csv" for name in dataset_tables()}
    for name in dataset_tables():
        content = (out / "csv" / f"{name}.csv").read_bytes()
        assert content.startswith(b"\xef\xbb\xbf")
        wanted = pd.read_parquet(out / name).astype(object)
        found = pd.read_csv(out / "csv" / f"{name}.csv", dtype=str, keep_default_na=False)
        assert list(found.columns) == list(wanted.columns)
        for column in found:
            assert list(map(as_text, wanted[column])) == [cell.removeprefix("'") for cell in found[column]]
    assert len(pd.read_csv(out / "csv" / "bouts.csv")) == 4
    assert run("check", out).exit_code == 0


def as_text(value: Any) -> str:
    return "" if pd.isna(value) else str(value)


def test_without_the_option_there_are_none_and_the_rest_is_the_same(folder: Path) -> None:
    build(folder)
    plain = tree(folder / "out")
    assert not (folder / "out" / "csv").exists()
    build(folder, "--csv")
    for name, content in plain.items():
        assert name == "datapackage.json" or (folder / "out" / name).read_bytes() == content


def test_a_later_run_keeps_them_up_to_date_and_redo_takes_them_out(folder: Path) -> None:
    build(folder, "--csv")
    before = (folder / "out" / "csv" / "bouts.csv").read_bytes()
    (folder / "talk" / "more.srt").write_text(talk(99))
    build(folder)
    assert len(pd.read_csv(folder / "out" / "csv" / "bouts.csv")) == 5
    assert (folder / "out" / "csv" / "bouts.csv").read_bytes() != before
    assert run("check", folder / "out").exit_code == 0
    build(folder, "--redo")
    assert not (folder / "out" / "csv").exists()
    assert run("check", folder / "out").exit_code == 0


@pytest.mark.parametrize("failing", ["write", "rename"])
def test_a_failure_leaves_the_earlier_files_or_the_new_and_says_that_it_is_not_whole(
    folder: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    build(folder, "--csv")
    csv = folder / "out" / "csv"
    before = tree(csv)
    (folder / "talk" / "more.srt").write_text(talk(99))
    with monkeypatch.context() as patch:
        if failing == "write":
            lines = csv_files._lines

            def full(store: Any, name: str) -> Any:
                if name == "events":
                    raise OSError(28, "No space left on device")
                return lines(store, name)

            patch.setattr(csv_files, "_lines", full)
        else:
            replace = os.replace

            def broken(source: Path, target: Path) -> None:
                if Path(target).name == "events.csv":
                    raise OSError(5, "Input/output error", str(target))
                replace(source, target)

            patch.setattr(csv_files.os, "replace", broken)
        done = build(folder)
    assert done.exit_code == 2
    assert "it goes on from here" in done.output
    now = tree(csv)
    assert set(now) == set(before)
    assert now["events.csv"] == before["events.csv"]
    assert not any(name.startswith(DRAFT) for name in now)
    assert "not finished" in run("check", folder / "out").output
    build(folder)
    assert len(pd.read_csv(csv / "bouts.csv")) == 5
    assert run("check", folder / "out").exit_code == 0


@pytest.mark.parametrize(
    ("harm", "told"),
    [
        (lambda csv: (csv / "events.csv").unlink(), "csv/events.csv: is missing"),
        (lambda csv: (csv / "events.csv").write_text("a,b\n"), "csv/events.csv: hash is sha256:"),
        (lambda csv: (csv / "mine.csv").write_text("a\n"), "csv/mine.csv: is not in datapackage.json"),
        (
            lambda csv: ((csv / "events.csv").unlink(), (csv / "events.csv").mkdir()),
            "csv/events.csv: cannot be read",
        ),
    ],
)
def test_what_is_wrong_with_them_is_told(folder: Path, harm: Any, told: str) -> None:
    build(folder, "--csv")
    harm(folder / "out" / "csv")
    done = run("check", folder / "out")
    assert done.exit_code == 1
    assert told in done.output
