"""A table that holds the transcripts themselves: Parquet or JSON Lines, with a transcript or a caption in each
row."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby
from pathlib import Path
from typing import Any

from extract.dataset.fields import bout_file_of, check_columns, tellable
from extract.dataset.item import Content, Item, refused
from extract.errors import InputError
from extract.rules.base import CORNERS
from extract.transcript.bout_file import ALIAS_MARK, BOUT_COLUMNS, side_column
from extract.transcript.decode import unreadable

#: Columns of a table. ``text`` is a whole transcript as it would stand in a file. With a column ``start`` (seconds
#: from the recording's start) it is one caption, and the rows of one ``id`` stand together. ``name`` is the file name
#: that the transcript had (its ending may tell the format).
COLUMNS = ("id", "text", "name", "programme", "start", "end", "speaker", *BOUT_COLUMNS)
_ALIASES = frozenset(side_column(corner, "aliases") for corner in CORNERS)
_BATCH = 256
_LONGEST_LINE = 256 * 1024 * 1024

Row = tuple[int, Mapping[str, Any]]


def table_items(path: Path) -> tuple[int, Callable[[], Iterator[Item]]]:
    """How many inputs a table has, and the inputs in its order. Raises InputError if it lacks a column or cannot be
    read."""
    rows = partial(_parquet_rows if path.name.lower().endswith(".parquet") else _json_rows, path)
    captions = False
    total, before = 0, ""
    for line, row in rows(text=False):
        if not total:
            check_columns(str(path), row, ("text",), COLUMNS)
            captions = "start" in row
            if captions and "id" not in row:
                raise InputError(
                    path, "captions without a column 'id'", "give the id of the recording in each row"
                )
        key = _key(line, row)
        total += not captions or key != before
        before = key
    return total, partial(_items, path, rows, captions)


def _key(line: int, row: Mapping[str, Any]) -> str:
    found = (_text(row.get("id")) or "").strip()
    # A key that is not text is a failure and stands in that table.
    return tellable(found) if found else f"row-{line}"


def _items(path: Path, rows: Callable[..., Iterable[Row]], captions: bool) -> Iterator[Item]:
    """A row (a group of captions) at a time: the table may be larger than the memory."""
    seen: dict[str, int] = {}
    grouped = groupby(rows(text=True), key=(lambda row: _key(*row)) if captions else (lambda row: row[0]))
    for _, group in grouped:
        held = list(group)
        line, first = held[0]
        key = _key(line, first)
        fault = _fault(path, key, held, captions, seen)
        if fault is not None:
            # The rest of the table is done all the same.
            yield Item(f"{key} (row {line})", str(path), path.name, path.stem, partial(refused, fault))
            continue
        name = "captions.json" if captions else Path(_text(first.get("name")) or key).name or "transcript"
        programme = (_text(first.get("programme")) or "").strip() or path.stem
        seen[key] = line
        content = Content(_recogniser(held) if captions else _talk(first), bout_file_of(_strings(first)))
        yield Item(key, str(path), name, programme, partial(_given, content), (str(path), line))


def _fault(
    path: Path, key: str, held: Sequence[Row], captions: bool, seen: Mapping[str, int]
) -> InputError | None:
    """What is wrong with a row, or with captions that stand together."""
    for number, row in held:
        for column, value in row.items():
            if column in COLUMNS and (what := _wrong(column, value, captions)):
                remedy = "write it anew as text, each letter whole"
                return InputError(path, f"{column} {what}", remedy, number)
    line, first = held[0]
    if key in seen:
        remedy = "sort the rows by id" if captions else "give each transcript an id of its own"
        return InputError(path, f"the id {key!r} stands in row {seen[key]}, too", remedy, line)
    if captions and not (_text(first.get("id")) or "").strip():
        return InputError(path, "a caption without an id", "give the id of its recording", line)
    for number, row in held[1:]:
        for column, value in _strings(row).items():
            if value and value != _strings(first)[column]:
                problem = f"{column} is {value!r}, in row {line} of the same id {_strings(first)[column]!r}"
                return InputError(path, problem, "say the same in each row of a recording", number)
    return None


def _given(content: Content) -> Content:
    return content


def _recogniser(rows: Iterable[Row]) -> bytes:
    """Captions as the segments of a recogniser's JSON."""
    segments = []
    for _, row in rows:
        segment = {"start": row.get("start"), "end": row.get("end"), "text": _text(row.get("text")) or ""}
        if speaker := _text(row.get("speaker")):
            segment["speaker"] = speaker
        segments.append({name: value for name, value in segment.items() if value is not None})
    return json.dumps({"segments": segments}, ensure_ascii=True, default=str).encode()


def _talk(row: Mapping[str, Any]) -> bytes:
    """The transcript in a row. If it is bytes, it may be in any encoding that a file may have."""
    value = row.get("text")
    return value if isinstance(value, bytes) else (_text(value) or "").encode()


def _wrong(column: str, value: Any, captions: bool) -> str | None:
    """Why a cell cannot be used."""
    if isinstance(value, dict):
        return "is an object, where text is wanted"
    if isinstance(value, list):
        if column not in _ALIASES:
            return "is a list, where text is wanted"
        return next((what for each in value if (what := _wrong(column, each, captions))), None)
    if isinstance(value, bytes) and (column != "text" or captions):
        try:
            value = value.decode()
        except UnicodeDecodeError:
            return "is no UTF-8 text"
    # Words of captions are left to the reader of a recogniser's JSON.
    if isinstance(value, str) and not (captions and column in ("text", "speaker")):
        odd = unreadable(value)
        return f"holds U+{ord(odd):04X}, which is no character" if odd else None
    return None


def _strings(row: Mapping[str, Any]) -> dict[str, str | None]:
    """The cells of the bout's columns as text. A list of aliases becomes one text with its mark between them."""
    return {
        name: ALIAS_MARK.join(_leaves(row.get(name))) if name in _ALIASES else _text(row.get(name))
        for name in BOUT_COLUMNS
    }


def _leaves(value: Any) -> Iterator[str]:
    """The texts in a cell, be it a list of them."""
    if isinstance(value, list):
        for each in value:
            yield from _leaves(each)
    elif (text := _text(value)) is not None:
        yield text


def _text(value: Any) -> str | None:
    if value is None or (isinstance(value, float) and value != value):
        return None
    if isinstance(value, bytes):
        return value.decode(errors="backslashreplace")
    return value if isinstance(value, str) else str(value)


def _parquet_rows(path: Path, *, text: bool) -> Iterator[Row]:
    """The rows, counted from 1. Without ``text`` the text of each is not read."""
    from extract.dataset.arrow import pa, pq

    try:
        with pq.ParquetFile(path) as file:
            names = file.schema_arrow.names
            wanted = [name for name in names if name in COLUMNS and (text or name != "text")]
            # The check of the columns sees that this column was not read.
            blank = {name: None for name in names if name not in wanted} if not text else {}
            line = 0
            for batch in file.iter_batches(_BATCH, columns=wanted or names[:1]):
                for row in batch.to_pylist():
                    line += 1
                    yield line, {**blank, **row}
    except (pa.ArrowException, OSError, ValueError) as error:
        said = str(error).splitlines()[0] if str(error) else "not Parquet"
        raise InputError(path, f"cannot be read as Parquet ({said})", "write it again") from None


def _json_rows(path: Path, *, text: bool) -> Iterator[Row]:
    remedy = 'write one object a line, {"id": "...", "text": "..."}'
    try:
        with path.open("rb") as file:
            line = 0
            while raw := file.readline(_LONGEST_LINE):
                line += 1
                if not raw.strip():
                    continue
                try:
                    row = json.loads(raw.decode("utf-8-sig" if line == 1 else "utf-8"))
                except (ValueError, RecursionError) as error:
                    raise InputError(path, f"is no JSON ({error})", remedy, line) from None
                if not isinstance(row, dict):
                    raise InputError(path, "a line that is no object", remedy, line)
                yield line, row
    except OSError as error:
        raise InputError(path, f"cannot be read ({error.strerror})", "give a file that can be read") from None
