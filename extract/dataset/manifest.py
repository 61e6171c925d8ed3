"""A list of transcripts: CSV with a path in each row and what is known of the bout in further columns."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path, PurePosixPath

from extract.dataset.fields import bout_file_of, check_columns
from extract.dataset.item import Content, Item, load_file, refused
from extract.errors import InputError
from extract.transcript.bout_file import BOUT_COLUMNS
from extract.transcript.decode import decode, delimiter_of, read_bytes

#: Columns of a list. ``transcript`` and ``sheet`` are paths from the list's own folder.
COLUMNS = ("transcript", "programme", "sheet", *BOUT_COLUMNS)
#: A list of a million transcripts takes less.
_LIMIT = 1024 * 1024 * 1024
_HEAD = 65536
_SHORTEN = "split the list, and make a dataset of each part"


@dataclass(frozen=True, slots=True)
class _ManifestRow:
    line: int
    cells: dict[str, str]


def is_manifest(path: Path) -> bool:
    """Whether a CSV file is a list of transcripts and not a transcript itself. Its first row decides."""
    with path.open("rb") as file:
        head = file.read(_HEAD)
    first = head.replace(b"\x00", b"").decode("utf-8", "replace").lstrip("\ufeff").partition("\n")[0]
    return any(cell.strip().strip('"') == "transcript" for cell in re.split(r"[\t;,]", first))


def manifest_items(path: Path) -> tuple[int, Callable[[], Iterator[Item]]]:
    """How many transcripts a list has, and the inputs in its order. Raises InputError, with the line, if it is not a
    list."""
    rows = list(_rows(path))
    return len(rows), partial(_items, path, rows)


def _key(row: _ManifestRow) -> str:
    text = row.cells["transcript"].strip().replace("\\", "/")
    return str(PurePosixPath(text)) if text else ""


def _rows(path: Path) -> Iterator[_ManifestRow]:
    text = decode(read_bytes(path, _LIMIT, _SHORTEN), str(path))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter_of(text))
    header: list[str] | None = None
    before = 0
    try:
        for cells in reader:
            line, before = before + 1, reader.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if header is None:
                header = [cell.strip() for cell in cells]
                check_columns(str(path), header, ("transcript",), COLUMNS)
            elif len(cells) > len(header) and any(cell.strip() for cell in cells[len(header) :]):
                problem = f"a row of {len(cells)} cells under {len(header)} columns"
                raise InputError(path, problem, "put text with the delimiter in it in quotation marks", line)
            else:
                yield _ManifestRow(
                    line, dict(zip(header, [*cells, *[""] * (len(header) - len(cells))], strict=False))
                )
    except csv.Error as error:
        raise InputError(
            path, f"a table that cannot be read ({error})", "save it again as CSV", before + 1
        ) from None


def _items(path: Path, rows: list[_ManifestRow]) -> Iterator[Item]:
    lines: dict[str, int] = {}
    for row in rows:
        key = _key(row)
        file = path.parent / key
        problem = ""
        if not key:
            problem, remedy = "a row without a transcript", "give its path, or take the row out"
        elif key in lines:
            problem, remedy = f"the transcript {key!r} stands in line {lines[key]}, too", "name each once"
        if problem:
            # The rest of the list is done all the same.
            error = InputError(path, problem, remedy, row.line)
            yield Item(
                f"{key} (row {row.line})".strip(), str(path), file.name, path.stem, partial(refused, error)
            )
            continue
        lines[key] = row.line
        folder = str(PurePosixPath(key).parent)
        programme = row.cells.get("programme", "").strip() or (path.stem if folder == "." else folder)
        load = partial(_load, path, row, file)
        yield Item(key, str(file), file.name, programme, load, (str(path), row.line))


def _load(path: Path, row: _ManifestRow, file: Path) -> Content:
    sheet = row.cells.get("sheet", "").strip()
    return load_file(file, bout_file_of(row.cells), path.parent / sheet if sheet else None)
