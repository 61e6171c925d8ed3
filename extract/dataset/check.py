"""Checks a dataset on the disk: files against the description, rows against the data dictionary."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from extract.dataset.arrow import pc
from extract.dataset.csv_files import csv_facts
from extract.dataset.package import file_facts, read_package
from extract.dataset.store import Store
from extract.dataset.tables import dataset_tables
from extract.dataset.validate import faults
from extract.errors import InputError


@dataclass(frozen=True, slots=True)
class FileProblem:
    """What is wrong with a file of a dataset."""

    file: str
    problem: str


def check_dataset(folder: Path) -> Iterator[FileProblem]:
    """Everything that is wrong with a dataset, a part at a time. Raises InputError if there is no dataset."""
    about = read_package(folder)["saidscore"]
    described = {fact["path"]: fact for fact in about["files"]}
    store = Store(folder)
    yield from _files(store, described)
    # A dataset of an earlier program says nothing of them.
    yield from _csv_files(store, {fact["path"]: fact for fact in about.get("csv", ())})
    seen: dict[str, str] = {}
    for part in store.parts():
        try:
            tables = store.read_part(part)
        except InputError as error:
            yield FileProblem(str(Path(error.file).relative_to(folder)), error.problem)
            continue
        for fault in faults(tables):
            where = f"{fault.table}/{part}.parquet"
            row = f" (input {fault.input})" if fault.input is not None else ""
            yield FileProblem(
                where, f"{fault.column}: {fault.problem}{row}" if fault.column else fault.problem
            )
        # If an input is in one part only, so are its bouts.
        for key in pc.unique(tables["inputs"].column("input")).to_pylist():
            if key in seen:
                yield FileProblem(f"inputs/{part}.parquet", f"input: {key!r} stands in {seen[key]}, too")
            seen[key] = part


def _csv_files(store: Store, described: dict[str, dict[str, Any]]) -> Iterator[FileProblem]:
    try:
        found = {facts["path"]: facts for facts in csv_facts(store)}
    except InputError as error:
        yield FileProblem(str(Path(error.file).relative_to(store.folder)), error.problem)
        return
    for name in sorted(described.keys() | found.keys()):
        if name not in found:
            yield FileProblem(name, "is missing")
        elif name not in described:
            yield FileProblem(name, "is not in datapackage.json")
        elif found[name]["hash"] != described[name]["hash"]:
            problem = f"hash is {found[name]['hash']}, in datapackage.json {described[name]['hash']}"
            yield FileProblem(name, f"{problem}: it was changed since")


def _files(store: Store, described: dict[str, dict[str, Any]]) -> Iterator[FileProblem]:
    found: dict[str, tuple[str, str]] = {}
    for table in dataset_tables():
        for path in sorted((store.folder / table).glob("*.parquet")):
            found[f"{table}/{path.name}"] = table, path.stem
    for name in sorted(described.keys() - found.keys()):
        yield FileProblem(name, "is missing")
    for name in sorted(found.keys() - described.keys()):
        yield FileProblem(name, "is not in datapackage.json")
    for name in sorted(found.keys() & described.keys()):
        try:
            facts = file_facts(store, *found[name])
        except InputError as error:
            yield FileProblem(name, error.problem)
            continue
        for key in ("hash", "rows"):
            if facts[key] != described[name].get(key):
                described_as = described[name].get(key)
                yield FileProblem(
                    name, f"{key} is {facts[key]}, in datapackage.json {described_as}: it was changed since"
                )
                break
