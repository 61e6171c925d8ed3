"""Cells of a table that are no text, or hold what no table can."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from extract.dataset.build import BuildRun
from extract.dataset.hand_over import hand_over
from extract.dataset.item import load
from extract.dataset.rows import table_items
from extract.dataset.settings import Settings
from extract.dataset.source import open_source
from extract.dataset.store import Store
from extract.dataset.work import read_item
from extract.errors import InputError
from extract.transcript.bout_file import Side, bout_file_in
from tests.dataset.corpus import Here

TALK = "[0:01] Two for red.\n[0:05] Two-nothing.\n"


def parquet(path: Path, **columns: Any) -> Path:
    pq.write_table(pa.table(columns), path)
    return path


def build(source: Path, out: Path) -> None:
    store = Store(out)
    with store.locked():
        BuildRun(store, Settings(), Here()).build(open_source(str(source), out))


def failures(out: Path) -> list[dict[str, Any]]:
    return pq.read_table(out / "failures").to_pylist()


@pytest.mark.parametrize("column", ["id", "text", "programme", "name", "red", "red_aliases", "rules"])
@pytest.mark.parametrize("odd", ["\ud800", "\x00"])
def test_half_a_character_in_a_row_is_one_failure(tmp_path: Path, column: str, odd: str) -> None:
    """JSON's escapes can bring in what UTF-8 cannot hold (RFC 8259, section 8.2)."""
    rows = [{"id": f"r{n}", "text": TALK} for n in range(3)]
    rows[1][column] = f"a{odd}b"
    source = tmp_path / "rows.jsonl"
    source.write_text("".join(json.dumps(row) + "\n" for row in rows))
    for _ in range(2):
        build(source, tmp_path / "out")
        (failure,) = failures(tmp_path / "out")
        assert (failure["file"], failure["line"]) == (str(source), 2)
        assert f"{column} holds U+{ord(odd):04X}" in failure["problem"]
        assert len(pq.read_table(tmp_path / "out" / "bouts")) == 2


def test_half_a_character_in_a_caption_is_read_as_in_any_recogniser_s_json(tmp_path: Path) -> None:
    source = tmp_path / "rows.jsonl"
    source.write_text(
        json.dumps({"id": "a", "start": 1, "end": 2, "text": "Two \ud83d", "speaker": "\ud800"})
    )
    (item,) = table_items(source)[1]()
    assert [cue.text for cue in read_item(load(item)).cues] == ["Two \ufffd"]


def test_a_name_of_bytes_that_are_no_text_does_not_end_the_run(tmp_path: Path) -> None:
    (tmp_path / "talk").mkdir()
    (tmp_path / "talk" / "good.txt").write_text(TALK)
    bad = bytes(tmp_path / "talk") + b"/\xff.srt"
    with open(bad, "wb") as file:
        file.write(b"no times\n")
    build(tmp_path / "talk", tmp_path / "out")
    (failure,) = failures(tmp_path / "out")
    assert failure["input"] == "\\xff.srt"
    assert failure["file"].endswith("\\udcff.srt")


@pytest.mark.parametrize(
    "cell", [["Slate", "Ivo"], "Slate|Ivo", [["Slate"], None, b"Ivo"], ["Slate", "", None, "Ivo"]]
)
def test_aliases_are_a_list_or_a_text(tmp_path: Path, cell: Any) -> None:
    if isinstance(cell, list) and b"Ivo" not in cell:
        source = parquet(tmp_path / "rows.parquet", text=[TALK], red=["Ivo Slate"], red_aliases=[cell])
    else:
        source = tmp_path / "rows.jsonl"
        row = {"text": TALK, "red": "Ivo Slate", "red_aliases": cell}
        source.write_text(json.dumps(row, default=bytes.decode))
    (item,) = table_items(source)[1]()
    bout = load(item).content.bout
    assert bout is not None
    assert bout_file_in(bout, source).red == Side("Ivo Slate", aliases=("Slate", "Ivo"))


def test_columns_of_bytes_are_read_as_files_are(tmp_path: Path) -> None:
    texts = [
        TALK.encode(),
        b"\xff\xfe" + TALK.encode("utf-16-le"),
        TALK.replace(".", "\u2026").encode("cp1252"),
    ]
    source = parquet(tmp_path / "rows.parquet", id=[b"a", b"b", b"c"], text=texts)
    items = list(table_items(source)[1]())
    assert [item.key for item in items] == ["a", "b", "c"]
    for item in items:
        assert [cue.start for cue in read_item(load(item)).cues] == [1.0, 5.0]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ({"text": ["a", "b"]}, "text is a list"),
        ({"text": {"a": 1}}, "text is an object"),
        ({"text": TALK, "red": ["Ivo Slate"]}, "red is a list"),
        ({"text": TALK, "red_aliases": [{"a": 1}]}, "red_aliases is an object"),
        ({"text": TALK, "programme": {}}, "programme is an object"),
        ({"text": TALK, "id": []}, "id is a list"),
    ],
)
def test_cell_of_another_type_is_told_by_its_line(tmp_path: Path, row: dict[str, Any], told: str) -> None:
    source = tmp_path / "rows.jsonl"
    source.write_text(json.dumps({"id": "first", "text": TALK}) + "\n" + json.dumps(row) + "\n")
    items = list(table_items(source)[1]())
    load(items[0])
    with pytest.raises(InputError, match=rf"rows\.jsonl:2: {told}"):
        load(items[1])


def test_bytes_that_are_no_text_are_told_by_their_line(tmp_path: Path) -> None:
    source = parquet(tmp_path / "rows.parquet", text=[TALK], red=[b"\xff\xfe\xff"])
    (item,) = table_items(source)[1]()
    with pytest.raises(InputError, match=r"rows\.parquet:1: red is no UTF-8 text"):
        load(item)


def test_an_id_that_no_file_can_have_is_one_line_of_doubtful(tmp_path: Path) -> None:
    source = tmp_path / "rows.jsonl"
    source.write_text(json.dumps({"id": "a\x00b", "text": TALK}) + "\n")
    given = open_source(str(source), tmp_path / "out")
    (handed,) = hand_over({"a\x00b": "0" * 64}, given, Settings(), tmp_path / "desk")
    assert handed.fault is not None
    assert handed.fault.problem == "is not in the source any more"


def test_a_bout_that_cannot_be_handed_over_has_one_remedy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk is no reason to make the dataset anew."""
    source = tmp_path / "rows.jsonl"
    source.write_text(json.dumps({"id": "a", "text": TALK}) + "\n")

    def full(path: Path, content: bytes, option: str = "") -> None:
        raise InputError(path, "cannot be written (No space left on device)", "make room")

    monkeypatch.setattr("extract.dataset.hand_over.write_whole", full)
    given = open_source(str(source), tmp_path / "out")
    digest = hashlib.sha256(TALK.encode()).hexdigest()
    (handed,) = hand_over({"a": digest}, given, Settings(), tmp_path / "desk")
    assert (
        str(handed.fault) == f"a: {tmp_path}/desk/a: cannot be written (No space left on device); make room"
    )


def test_a_column_has_the_boards_of_the_periods_and_a_bad_one_is_a_failure(tmp_path: Path) -> None:
    rows = [{"id": "a", "text": TALK, "periods": "2-0 2-1"}, {"id": "b", "text": TALK, "periods": "2-0 1-1"}]
    source = tmp_path / "rows.jsonl"
    source.write_text("".join(json.dumps(row) + "\n" for row in rows))
    build(source, tmp_path / "out")
    (failure,) = failures(tmp_path / "out")
    assert "the score falls from 2-0 to 1-1" in failure["problem"]
    assert failure["line"] == 2
