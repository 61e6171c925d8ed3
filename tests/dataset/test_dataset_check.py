"""What a check finds: each fault is put into a sound dataset, and has to be told."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from typer.testing import CliRunner

from extract.cli.app import app
from extract.dataset import build, chunks
from extract.dataset.build import BuildRun
from extract.dataset.settings import Settings
from extract.dataset.store import Store
from extract.dataset.validate import faults
from tests.dataset.corpus import Here, source_of, talk, write_corpus

Row = dict[str, Any]


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("check")
    write_corpus(folder / "talk", 6)
    args = ["dataset", str(folder / "talk"), "--out", str(folder / "out"), "--recordings", "bout", "-q"]
    assert CliRunner().invoke(app, args).exit_code == 0
    return folder / "out"


def _changed(rows: list[Row], column: str, value: object) -> list[Row]:
    return [{**rows[0], column: value}, *rows[1:]]


FAULTS: list[tuple[str, Callable[[list[Row]], list[Row]], str]] = [
    (
        "events",
        lambda rows: _changed(rows, "confidence", 1.5),
        "confidence: 1.5 fails less_than_or_equal_to(1)",
    ),
    ("events", lambda rows: _changed(rows, "corner", "green"), "corner: 'green' fails isin"),
    ("events", lambda rows: _changed(rows, "t", None), "t: "),
    ("events", lambda rows: _changed(rows, "points", -1), "points: -1 fails greater_than_or_equal_to(0)"),
    ("events", lambda rows: [rows[0], *rows], "fails"),
    ("events", lambda rows: _changed(rows, "bout_id", "nowhere"), "bout_id: 'nowhere' is not in bouts"),
    ("statements", lambda rows: _changed(rows, "input", "nowhere"), "input: 'nowhere' is not in inputs"),
    ("flags", lambda rows: _changed(rows, "refs", "s1 e999"), "refs: 'e999' of"),
    ("bouts", lambda rows: rows[1:], "is not in bouts"),
]


@pytest.mark.parametrize(("table", "change", "told"), FAULTS)
def test_a_row_that_is_wrong_is_told(
    sound: Path, tmp_path: Path, table: str, change: Callable[[list[Row]], list[Row]], told: str
) -> None:
    out = tmp_path / "out"
    shutil.copytree(sound, out)
    path = max((out / table).iterdir(), key=lambda path: pq.read_metadata(path).num_rows)
    before = pq.read_table(path)
    pq.write_table(pa.Table.from_pylist(change(before.to_pylist()), before.schema), path)
    result = CliRunner().invoke(app, ["dataset", "check", str(out)])
    assert result.exit_code == 1
    assert told in result.output
    assert f"{table}/{path.name}: hash is" in result.output


def test_files_that_are_missing_added_or_broken_are_told(sound: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    shutil.copytree(sound, out)
    (clock,) = (out / "clock").iterdir()
    clock.unlink()
    (board,) = (out / "board").iterdir()
    board.write_bytes(b"PAR1")
    shutil.copy(next((out / "flags").iterdir()), out / "flags" / "part-more.parquet")
    result = CliRunner().invoke(app, ["dataset", "check", str(out)])
    assert result.exit_code == 1
    for told in (
        f"clock/{clock.name}: is missing",
        "part-more.parquet: is not in",
        f"board/{board.name}: cannot be read",
    ):
        assert told in result.output


def test_a_sound_one_is_in_order(sound: Path) -> None:
    result = CliRunner().invoke(app, ["dataset", "check", str(sound)])
    assert result.exit_code == 0
    assert "in order" in result.output


def test_rows_that_do_not_fit_their_schema_never_get_into_a_dataset(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from extract.dataset import work

    def mad(*args: Any, **named: Any) -> Row:
        row = dict(rightly(*args, **named))
        return {**row, "score_red": -4} if row["file"] == "b.srt" else row

    rightly = work._bout_row
    monkeypatch.setattr(work, "_bout_row", mad)
    store = Store(tmp_path / "out")
    contents = {f"{name}.srt": talk(n) for n, name in enumerate("abc")}
    with store.locked():
        tally = BuildRun(store, Settings(recordings="bout"), Here()).build(source_of(contents))
    assert (tally.done, tally.failed) == (3, 1)
    (part,) = store.parts()
    tables = store.read_part(part)
    assert list(faults(tables)) == []
    assert tables["bouts"].column("bout_id").to_pylist() == ["a.srt", "c.srt"]
    (failure,) = tables["failures"].to_pylist()
    assert failure["input"] == "b.srt"
    assert "bouts.score_red: -4 fails" in failure["problem"]
    assert chunks.USUAL > 3
    assert build.faults is faults
