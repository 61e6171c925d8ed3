"""The record on disk: ``NAME.record.json`` and the tables beside it.

The CSV files are RFC 4180 in UTF-8 with a byte order mark. Spreadsheets need the mark to read accents, and pandas
ignores it. A text cell that a spreadsheet would take for a formula (it begins with ``=``, ``+``, ``-``, ``@``, their
full-width forms, a tab or a line break) gets an apostrophe before it. Broken characters and NUL become U+FFFD. The
JSON has every text as it was.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import os
import re
import shlex
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, cast

from extract.errors import InputError
from extract.record.decode import Mismatch, decode, key_of
from extract.record.model import SCHEMA, Record
from extract.record.plain import seen_json
from extract.record.tables import WRITTEN, Cell, Table
from extract.transcript.cue import hundredths

_FORMULA = re.compile(r"[=+\-@\t\r\n＝＋－＠]")
_UNWRITABLE = re.compile("[\x00\ud800-\udfff]")
_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False)
_REMEDY = "give a record as this program writes it"
#: A record has no whole number with more digits. The time to read one grows with the square of its digits.
_MOST_DIGITS = 400


def to_json(record: Record, *, one_line: bool = False) -> str:
    """The record as JSON text with a newline at its end. Keys stand in the order of the fields, each entry of a list
    has a line (or all is on one line), and numbers are rounded to two places. Raises ValueError for a number that is
    not finite.
    """
    tree: dict[str, Any] = {"schema": record.schema, **plain_tree(record)}
    return _dumps(tree) + "\n" if one_line else lined(tree)


def lined(tree: Mapping[str, Any]) -> str:
    """A JSON object as text in which each key, and each entry of a list, has a line."""
    parts = []
    for key, value in tree.items():
        if isinstance(value, list) and value:
            body = ",\n".join("  " + _dumps(item) for item in value)
            parts.append(f" {_dumps(key)}: [\n{body}\n ]")
        else:
            parts.append(f" {_dumps(key)}: {_dumps(value)}")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _dumps(value: Any) -> str:
    return seen_json(_ENCODER.encode(value))


def plain_tree(value: Any) -> Any:
    """A value of the record as JSON has it: numbers with two places at most, data types as objects."""
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, float):
        rounded = hundredths(value)
        # 81.0 and 81 are the same number: both are written as 81, and -0.0 as 0.
        return int(rounded) if rounded.is_integer() else rounded
    if isinstance(value, tuple):
        return [plain_tree(item) for item in value]
    if is_dataclass(value):
        return {
            key: plain_tree(held)
            for key, name, always in _keys(value.__class__)
            if (held := getattr(value, name)) is not None or always
        }
    return dict(value)


@cache
def _keys(wanted: type[Any]) -> tuple[tuple[str, str, bool], ...]:
    """The JSON keys of a data type in order, each with the name of its field, and whether it stands there even without a
    value."""
    return tuple(
        (key_of(field.name), field.name, not field.metadata.get("if_known")) for field in fields(wanted)
    )


def from_json(source: str | Path) -> Record:
    """The record in JSON text, or in the file at a ``Path``. Raises InputError, which says what is wrong."""
    name = str(source) if isinstance(source, Path) else "record"
    path = source if isinstance(source, Path) else None
    if isinstance(source, Path):
        try:
            source = source.read_text(encoding="utf-8-sig")
        except OSError as error:
            raise InputError(name, f"cannot be read ({error.strerror})", _REMEDY) from None
        except UnicodeDecodeError:
            raise _no_record(path, name, "is not UTF-8") from None
    try:
        tree = json.loads(source, parse_constant=_refuse_constant, parse_int=_whole)
    except json.JSONDecodeError as error:
        raise _no_record(path, name, f"is not JSON ({error.msg})", error.lineno) from None
    except (Mismatch, RecursionError) as error:
        raise _no_record(path, name, f"is not JSON ({error})") from None
    if not isinstance(tree, dict) or tree.get("schema") != SCHEMA:
        found = tree.get("schema") if isinstance(tree, dict) else None
        raise _no_record(path, name, f"has schema {found!r}, not {SCHEMA!r}")
    try:
        return cast(Record, decode(Record, tree))
    except Mismatch as error:
        raise InputError(name, str(error), _REMEDY) from None


def _no_record(path: Path | None, name: str, problem: str, line: int | None = None) -> InputError:
    """The error about what is no record. A transcript in its place is the likeliest slip."""
    from extract.transcript.read import is_transcript

    if path is not None and is_transcript(path):
        return InputError(
            name, "is a transcript", f"make its record first: saidscore log {shlex.quote(name)}"
        )
    return InputError(name, problem, _REMEDY, line)


def _whole(digits: str) -> int:
    if len(digits) > _MOST_DIGITS:
        raise Mismatch(f"a whole number of {len(digits.lstrip('-'))} digits is too large")
    return int(digits)


def _refuse_constant(word: str) -> None:
    raise Mismatch(f"{word} is no number")


#: What every table beside a record says at the end of each row, so that the tables of many bouts can be put together.
BOUT_COLUMNS = ("bout", "file", "red", "blue")


def to_csv(table: Table, record: Record, name: str) -> str:
    """One table of the record as CSV text, with a header row. ``name`` is that of the record's file."""
    which = (name, record.source.file, record.bout.red.name, record.bout.blue.name)
    header = (*(column.name for column in table.shown(record)), *BOUT_COLUMNS)
    return csv_text(header, ((*row, *which) for row in table.cells(record)))


def csv_text(header: Iterable[str] | None, rows: Iterable[Iterable[Cell]]) -> str:
    """Rows as CSV text that is safe to open in a spreadsheet. They go on from others where there is no header."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    if header is not None:
        writer.writerow(header)
    writer.writerows(map(_csv_cell, row) for row in rows)
    return out.getvalue()


def _csv_cell(cell: Cell) -> Cell:
    if not isinstance(cell, str):
        return cell
    cell = _UNWRITABLE.sub("\ufffd", cell)
    return "'" + cell if _FORMULA.match(cell) else cell


def record_name(path: Path) -> str:
    """The name of a bout by the file of its record: NAME of ``NAME.record.json``."""
    return path.name.removesuffix(".json").removesuffix(".record")


def record_paths(out_dir: Path, name: str, *, page: bool = False) -> tuple[Path, ...]:
    """The files that ``write_record`` writes: the record first, the page of the report last if there is one."""
    tables = (out_dir / f"{name}.{table.name}.csv" for table in WRITTEN)
    pages = (out_dir / f"{name}.report.html",) if page else ()
    return (out_dir / f"{name}.record.json", *tables, *pages)


def obstacle(paths: Iterable[Path]) -> InputError | None:
    """The error about the first file whose place is taken by a folder. None if there is no such file."""
    for path in paths:
        if path.is_dir():
            remedy = "move it away, or choose another folder with --out"
            return InputError(path, "is a folder where a file is to be written", remedy)
    return None


def write_record(record: Record, out_dir: Path, name: str, page: str | None = None) -> tuple[Path, ...]:
    """Write ``NAME.record.json`` and its tables into ``out_dir``, which is made if need be, and the ``page`` of the
    report as ``NAME.report.html``. Return their paths. Raises InputError as ``write_files``."""
    contents = record_contents(record, out_dir, name, page)
    write_files(out_dir, contents)
    return tuple(contents)


def record_contents(record: Record, out_dir: Path, name: str, page: str | None = None) -> dict[Path, bytes]:
    """What ``write_record`` writes, the record first, by path."""
    contents = [to_json(record).encode("utf-8")]
    contents += [to_csv(table, record, name).encode("utf-8-sig") for table in WRITTEN]
    if page is not None:
        contents.append(page.encode("utf-8", errors="replace"))
    return dict(zip(record_paths(out_dir, name, page=page is not None), contents, strict=True))


def write_files(out_dir: Path, contents: Mapping[Path, bytes]) -> None:
    """Write files into ``out_dir``, which is made if need be.

    All are written under other names first and then renamed, and no folder may stand in the place of any. So a
    failure leaves the earlier files whole. Raises InputError, which names what cannot be written.
    """
    drafts = [path.with_name(f".{path.name}.{os.getpid()}.part") for path in contents]
    if blocked := obstacle(contents):
        raise blocked
    at = out_dir
    try:
        out_dir.mkdir(parents=True, exist_ok=True)
        for (path, content), draft in zip(contents.items(), drafts, strict=True):
            at = path
            draft.write_bytes(content)
        for path, draft in zip(contents, drafts, strict=True):
            at = path
            os.replace(draft, path)
    except OSError as error:
        problem = f"cannot be written ({error.strerror})"
        raise InputError(at, problem, "choose a folder that can be written with --out") from error
    finally:
        for draft in drafts:
            with contextlib.suppress(OSError):
                draft.unlink()
