"""What a dataset is, for people and programs: ``datapackage.json`` and the data dictionary.

The first follows the Data Package standard, version 2 (Frictionless Data; https://datapackage.org), with its Table Schema
for the columns. Beyond the standard it has ``saidscore``: what the dataset was made with, and of each file its rows, bytes
and SHA-256; ``csv`` are the files of the tables as CSV, if there are any.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from extract.dataset.arrow import pa, pq
from extract.dataset.csv_files import csv_facts
from extract.dataset.store import PACKAGE, WORK, Store
from extract.dataset.tables import DatasetColumn, DatasetTable, dataset_tables
from extract.errors import InputError
from extract.record.model import NOTE

DICTIONARY = "dictionary.md"
_PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
_TYPES = {"text": "string", "int": "integer", "float": "number"}
_BLOCK = 1 << 20


def write_package(store: Store, name: str, made_with: Mapping[str, Any]) -> None:
    """Describe a dataset that is whole. ``told`` is what it was made with. The description goes last: where it stands,
    the dataset is whole."""
    store.write(store.folder / DICTIONARY, _dictionary().encode())
    resources = [_resource(store, table) for table in dataset_tables().values()]
    tree = {
        "$schema": _PROFILE,
        "name": _slug(name),
        "title": f"Bouts read from {name}",
        "description": f"Made by {made_with['program']} from timed transcripts of commentary. {NOTE}",
        "resources": resources,
        "saidscore": {"made_with": dict(made_with), "files": list(_files(store)), "csv": csv_facts(store)},
    }
    store.write(store.folder / PACKAGE, (json.dumps(tree, indent=1) + "\n").encode())


def read_package(folder: Path) -> dict[str, Any]:
    """The description of a dataset. Raises InputError where the folder holds none that is whole."""
    path = folder / PACKAGE
    try:
        tree = json.loads(path.read_text(encoding="utf-8"))
        if isinstance(tree["resources"], list) and isinstance(tree["saidscore"]["files"], list):
            return dict(tree)
        raise KeyError
    except FileNotFoundError:
        if (folder / WORK).is_dir():
            problem = "holds a dataset that is not finished"
            raise InputError(folder, problem, "give the command that makes it again: it goes on") from None
        raise InputError(folder, "holds no dataset", "give the folder that saidscore dataset wrote") from None
    except OSError as error:
        raise InputError(
            path, f"cannot be read ({error.strerror})", "give a folder that can be read"
        ) from None
    except (ValueError, KeyError, TypeError):
        raise InputError(path, "is no description of a dataset", "make the dataset anew") from None


def file_facts(store: Store, table: str, part: str) -> dict[str, Any]:
    """What the description says of one file. Raises InputError where it cannot be read."""
    path = store.part(table, part)
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while block := file.read(_BLOCK):
                digest.update(block)
        rows = pq.read_metadata(path).num_rows
    except (OSError, pa.ArrowException) as error:
        raise InputError(path, f"cannot be read as Parquet ({error})", "make the dataset anew") from None
    return {
        "path": f"{table}/{path.name}",
        "rows": rows,
        "bytes": path.stat().st_size,
        "hash": f"sha256:{digest.hexdigest()}",
    }


def _files(store: Store) -> Iterator[dict[str, Any]]:
    parts = store.parts()
    for table in dataset_tables():
        for part in parts:
            yield file_facts(store, table, part)


def _resource(store: Store, table: DatasetTable) -> dict[str, Any]:
    shape: dict[str, Any] = {"fields": [_field(column) for column in table.columns]}
    if table.key:
        shape["primaryKey"] = list(table.key)
    if table.links:
        shape["foreignKeys"] = [
            {"fields": [column], "reference": {"resource": other, "fields": [column]}}
            for column, other in table.links
        ]
    return {
        "name": table.name.replace("_", "-"),
        "type": "table",
        "path": [f"{table.name}/{part}.parquet" for part in store.parts()],
        "description": table.about,
        "format": "parquet",
        "mediatype": "application/vnd.apache.parquet",
        "schema": shape,
    }


def _field(column: DatasetColumn) -> dict[str, Any]:
    constraints: dict[str, Any] = {}
    if column.required:
        constraints["required"] = True
    if column.words:
        constraints["enum"] = list(column.words)
    for name in ("minimum", "maximum"):
        if (value := getattr(column, name)) is not None:
            constraints[name] = value
    field = {"name": column.name, "type": _TYPES[column.type], "description": column.about}
    return {**field, "constraints": constraints} if constraints else field


def _slug(name: str) -> str:
    """A name as the standard wants it: small letters, digits, and . _ - between them."""
    kept = "".join(c if c.isascii() and (c.isalnum() or c in "._-") else "-" for c in name.lower()).strip(
        "-._"
    )
    return f"bouts-{kept}" if kept else "bouts"


def _dictionary() -> str:
    lines = [
        "# Data dictionary",
        "",
        f"{NOTE} Every value is what the talk lets one conclude; `confidence` says how surely.",
        "",
        "Times are seconds from the recording's start. Each folder is one table, in files that are read together.",
    ]
    for table in dataset_tables().values():
        lines += ["", f"## {table.name}", "", table.about]
        if table.key:
            lines.append(f"A row is named by {' and '.join(f'`{key}`' for key in table.key)}.")
        lines += ["", "| column | type | values | meaning |", "|---|---|---|---|"]
        lines += [
            f"| `{c.name}` | {_TYPES[c.type]} | {_values(c)} | {c.about.replace('|', '&#124;')} |"
            for c in table.columns
        ]
    return "\n".join(lines) + "\n"


def _values(column: DatasetColumn) -> str:
    words = ", ".join(column.words)
    if column.minimum is not None:
        words = (
            f"{column.minimum:g} to {column.maximum:g}"
            if column.maximum is not None
            else f"{column.minimum:g} and up"
        )
    return f"{words}{'' if column.required else (', ' if words else '') + 'may be empty'}"
