"""The tables on disk and as data frames hold what the record holds."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from record_example import make_event, make_record, make_statement

from extract.errors import InputError
from extract.record import Record, from_json, record_paths, write_record
from extract.record.frames import frames

WRITTEN = ("events", "statements", "clock", "flags")


def read_back(path: Path, like: pd.DataFrame) -> pd.DataFrame:
    """The CSV file as pandas reads it, an empty cell being no value."""
    text = [name for name, dtype in like.dtypes.items() if str(dtype) in ("string", "category")]
    return pd.read_csv(path, dtype=dict.fromkeys(text, "string"), keep_default_na=False, na_values=[""])


def plain(value: Any) -> Any:
    return (
        None if value is pd.NA or (isinstance(value, float) and math.isnan(value)) or value == "" else value
    )


@pytest.fixture
def record() -> Record:
    text = 'said "two, one";\n  naïve \r NA [bold]'
    return make_record(statements=(make_statement(1, 60.126, text=text), *make_record().statements[1:]))


def test_csv_read_back_by_pandas_equals_the_frames(record: Record, tmp_path: Path) -> None:
    write_record(record, tmp_path, "match")
    expected = frames(record)
    for name in WRITTEN:
        found = read_back(tmp_path / f"match.{name}.csv", expected[name])
        # Which bout it is stands behind the facts, where it is in nobody's way.
        assert list(found.columns) == [*expected[name].columns, "bout", "file", "red", "blue"]
        assert len(found) == len(expected[name]) > 0
        for column in expected[name].columns:
            assert [plain(v) for v in found[column]] == [plain(v) for v in expected[name][column]], column


def test_the_tables_of_many_bouts_can_be_put_together(tmp_path: Path) -> None:
    first, second = make_record(), make_record()
    second = replace(
        second,
        source=replace(second.source, file="=other.srt"),
        bout=replace(second.bout, blue=replace(second.bout.blue, name=None)),
    )
    write_record(first, tmp_path, "one")
    write_record(second, tmp_path, "two.en")
    for table in WRITTEN:
        put = pd.concat([pd.read_csv(tmp_path / f"{name}.{table}.csv") for name in ("one", "two.en")])
        rows = len(frames(first)[table])
        assert list(put["bout"]) == ["one"] * rows + ["two.en"] * rows
        assert list(put["file"]) == [first.source.file] * rows + ["'=other.srt"] * rows
        assert set(put["red"]) == {first.bout.red.name}
        assert put["blue"].isna().tolist() == [False] * rows + [True] * rows


def test_frames_equal_the_record() -> None:
    record = make_record()
    found = frames(record)
    assert set(found) == {"events", "statements", "clock", "challenges", "board", "riding_time", "flags"}
    events = found["events"]
    assert list(events["points"]) == [event.points for event in record.events]
    assert list(events["after_red"]) == [0, 2, 3, 3]
    assert (events["t_earliest"][1], events["t_latest"][1]) == (37.25, 41.25)
    assert events["evidence"][1] == "two for Varnholt"
    assert events["evidence_at"][1] == "4:0-16"
    assert events["clock_s"].isna().tolist() == [False, False, False, True]
    assert list(found["statements"]["said_red"].isna()) == [False, False, True]
    assert list(found["board"].itertuples(index=False, name=None)) == [(0, 0, 0), (40.25, 2, 0), (95, 3, 0)]
    assert found["challenges"]["events"][0] == "e3"
    assert list(found["riding_time"].loc[0, ["leader", "seconds"]]) == ["red", 41.5]
    flags = found["flags"]
    assert (flags["said_red"][0], flags["said_blue"][0], flags["refs"][0]) == (3, 1, "s2 e4")
    assert flags["said"].isna().tolist() == [True, False, False, False]
    assert flags["computed"].isna().tolist() == [True, False, False, True]
    assert (flags["said"][1], flags["computed"][1]) == ("blue", "red")


def test_frames_have_their_types_even_when_empty() -> None:
    record = make_record(
        events=(), statements=(), clock=(), challenges=(), board=(), riding_time=(), flags=()
    )
    for full, empty in zip(frames(make_record()).values(), frames(record).values(), strict=True):
        assert len(empty) == 0
        assert full.dtypes.equals(empty.dtypes)
    events = frames(record)["events"]
    assert (str(events["points"].dtype), str(events["t"].dtype)) == ("Int64", "Float64")
    assert list(events["corner"].dtype.categories) == ["red", "blue"]


# The characters that OWASP, "CSV Injection", names as the beginning of a formula.
@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"])
def test_text_that_would_be_a_formula_is_guarded(first: str, tmp_path: Path) -> None:
    hostile = f"{first}HYPERLINK(A1)"
    record = make_record(statements=(make_statement(1, 5.0, text=hostile, why=f"x{first}"),))
    write_record(record, tmp_path, "m")
    row = read_back(tmp_path / "m.statements.csv", frames(record)["statements"]).iloc[0]
    assert row["text"] == "'" + hostile
    assert row["why"] == f"x{first}"
    assert frames(record)["statements"]["text"][0] == hostile
    assert from_json(tmp_path / "m.record.json") == record


def test_numbers_are_not_guarded(tmp_path: Path) -> None:
    record = make_record(events=(make_event(1, -0.5, clock_s=-1.0),))
    write_record(record, tmp_path, "m")
    assert pd.read_csv(tmp_path / "m.events.csv")["t"].tolist() == [-0.5]


def test_broken_characters_do_not_stop_the_tables(tmp_path: Path) -> None:
    record = make_record(statements=(make_statement(1, 5.0, text="two \ud83d one \x00"),))
    write_record(record, tmp_path, "m")
    assert pd.read_csv(tmp_path / "m.statements.csv")["text"].tolist() == ["two \ufffd one \ufffd"]
    assert from_json(tmp_path / "m.record.json") == record


def test_broken_characters_do_not_stop_the_frames() -> None:
    record = make_record(statements=(make_statement(1, 5.0, text="two \ud83d one", id="\udfff"),))
    assert frames(record)["statements"]["text"].tolist() == ["two \ufffd one"]


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_files_written(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "folder"
    paths = write_record(make_record(), folder, "match.en")
    assert paths == record_paths(folder, "match.en")
    assert sorted(contents(folder)) == sorted(
        ["match.en.record.json", *(f"match.en.{name}.csv" for name in WRITTEN)]
    )
    assert from_json(paths[0]) == make_record()


@pytest.mark.parametrize("failing", range(5))
def test_failure_in_mid_write_leaves_earlier_files_whole(
    failing: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_record(make_record(), tmp_path, "match")
    before = contents(tmp_path)
    real, calls = Path.write_bytes, []

    def write_half(path: Path, data: bytes) -> int:
        calls.append(path)
        if len(calls) <= failing:
            return real(path, data)
        real(path, data[: len(data) // 2])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", write_half)
    with pytest.raises(InputError, match="No space left"):
        write_record(make_record(events=(), statements=()), tmp_path, "match")
    assert len(calls) == failing + 1
    assert contents(tmp_path) == before


def test_number_that_cannot_be_written_leaves_earlier_files_whole(tmp_path: Path) -> None:
    write_record(make_record(), tmp_path, "match")
    before = contents(tmp_path)
    with pytest.raises(ValueError, match="JSON compliant"):
        write_record(make_record(events=(make_event(1, math.inf),)), tmp_path, "match")
    assert contents(tmp_path) == before


def test_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(InputError, match=r"cannot be written.*--out"):
        write_record(make_record(), tmp_path / "file" / "sub", "match")
