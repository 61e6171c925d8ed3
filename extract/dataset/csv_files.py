"""A dataset's tables as CSV too, for those without Parquet: ``DIR/csv/TABLE.csv``, whole tables with the same columns.

They are written like the tables beside a record: RFC 4180 in UTF-8 with a byte order mark, safe to open in a spreadsheet.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from extract.dataset.store import CSV, DRAFT, Store
from extract.dataset.tables import dataset_tables
from extract.errors import InputError
from extract.record.files import csv_text

_BOM = "\ufeff"
_BLOCK = 1 << 20
#: So many rows are held as text at a time.
_ROWS = 10_000


def has_csv(store: Store) -> bool:
    """Whether an earlier run has written them. Then they are kept up to date."""
    return (store.folder / CSV).is_dir()


def write_csv(store: Store) -> None:
    """Write every table of a dataset whose parts are whole. All are drafted first, so a failure leaves the earlier
    ones."""
    # Until the description is written anew, it would be wrong about them.
    store.open_up()
    folder = store.folder / CSV
    folder.mkdir(exist_ok=True)
    for left in folder.glob(f"{DRAFT}*"):
        left.unlink()
    drafts = []
    with ExitStack() as undo:
        for name in dataset_tables():
            draft = folder / f"{DRAFT}-{name}.csv"
            undo.callback(draft.unlink, missing_ok=True)
            with draft.open("w", encoding="utf-8", newline="") as file:
                file.writelines(_lines(store, name))
                file.flush()
                os.fsync(file.fileno())
            drafts.append((draft, folder / f"{name}.csv"))
        for draft, path in drafts:
            os.replace(draft, path)


def _lines(store: Store, name: str) -> Iterator[str]:
    columns = [column.name for column in dataset_tables()[name].columns]
    yield _BOM + csv_text(columns, ())
    for part in store.parts():
        table = store.read_table(name, part, columns)
        for batch in table.to_batches(_ROWS):
            yield csv_text(None, zip(*(column.to_pylist() for column in batch.columns), strict=True))


def csv_facts(store: Store) -> list[dict[str, Any]]:
    """What the description says of each file. Raises InputError where one cannot be read."""
    paths = sorted((store.folder / CSV).glob("*.csv"))
    return [_facts(path) for path in paths if not path.name.startswith(DRAFT)]


def _facts(path: Path) -> dict[str, Any]:
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while block := file.read(_BLOCK):
                digest.update(block)
        size = path.stat().st_size
    except OSError as error:
        problem = f"cannot be read ({error.strerror})"
        raise InputError(path, problem, "make the dataset again with --csv") from None
    return {"path": f"{CSV}/{path.name}", "bytes": size, "hash": f"sha256:{digest.hexdigest()}"}
