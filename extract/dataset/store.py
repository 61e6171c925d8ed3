"""A dataset's folder: its tables in parts, and the results that wait for their part.

    DIR/datapackage.json      what the dataset is; stands only where it is whole
    DIR/TABLE/part-*.parquet  one part a chunk and table; that of ``inputs`` is written last, and says that it is whole
    DIR/csv/TABLE.csv         whole tables, if --csv asks for them
    DIR/.work/                what it is made with, the lock, and results that wait; none do when the dataset is whole

Everything is written beside its place, brought to the disk and then renamed. So a crash leaves the old or the new,
never half.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import zipfile
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from extract.dataset.arrow import pa, pc, pq
from extract.dataset.pack import Tables, schema, unpack
from extract.dataset.tables import dataset_tables
from extract.errors import InputError

PACKAGE = "datapackage.json"
SETTINGS = "settings.json"
WORK = ".work"
#: The folder of the tables as CSV.
CSV = "csv"
_LOCK, _STAGED = "lock", "staged"
_LEDGER = "inputs"
#: How the name of a file begins that is not whole.
DRAFT = ".draft"

#: The inputs of a place (a part, or results that wait): key and hash of each.
Held = Mapping[str, str]


def is_begun(folder: Path) -> bool:
    """Whether a folder holds a dataset, finished or not."""
    return (folder / WORK / SETTINGS).is_file()


class Store:
    """The folder of one dataset."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._work = folder / WORK
        self._staged = self._work / _STAGED

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Keep other runs out of the folder. Raises InputError if there is another run, or if the folder is not a
        dataset's."""
        import portalocker

        if self.folder.exists() and not self.folder.is_dir():
            raise InputError(self.folder, "is no folder", "give a folder with --out")
        try:
            if self.folder.is_dir() and any(self.folder.iterdir()) and not self._is_ours():
                problem = "holds other things and is no dataset of this program"
                raise InputError(self.folder, problem, "give a new or an empty folder with --out")
            for path in (self._staged, *(self.folder / name for name in dataset_tables())):
                path.mkdir(parents=True, exist_ok=True)
            with (self._work / _LOCK).open("a") as file:
                try:
                    portalocker.lock(file, portalocker.LOCK_EX | portalocker.LOCK_NB)
                except portalocker.LockException:
                    problem = "another run is at work on it"
                    raise InputError(self.folder, problem, "wait for it, or give another folder") from None
                yield
        except OSError as error:
            # A full disk or a lost share: what is done stays, and the next run goes on from there.
            remedy = "mend that and give the same command again: it goes on from here"
            problem = f"cannot be written ({error.strerror or error})"
            raise InputError(error.filename or self.folder, problem, remedy) from None

    def _is_ours(self) -> bool:
        return (self.folder / PACKAGE).is_file() or self._work.is_dir()

    def settings(self) -> dict[str, Any] | None:
        """What the dataset was made with. None for a new one."""
        try:
            found = json.loads((self._work / SETTINGS).read_text(encoding="utf-8"))
        except FileNotFoundError:
            return None
        except ValueError:
            return {}
        return found if isinstance(found, dict) else {}

    def keep_settings(self, made_with: Mapping[str, Any]) -> None:
        """Write down what the dataset is made with."""
        self.write(self._work / SETTINGS, (json.dumps(made_with, indent=2, sort_keys=True) + "\n").encode())

    def clear(self) -> None:
        """Take out all that an earlier run has made."""
        self.open_up()
        for name in dataset_tables():
            for path in self._parts(name):
                path.unlink()
        for path in (self._staged, self.folder / CSV):
            shutil.rmtree(path, ignore_errors=True)
        self._staged.mkdir(parents=True, exist_ok=True)

    def open_up(self) -> None:
        """Say that the dataset is not whole: something in it is about to change."""
        (self.folder / PACKAGE).unlink(missing_ok=True)

    def tidy(self, wanted: Collection[str]) -> None:
        """Take out drafts that a crash has left, parts that are not ``wanted`` any more, and results that waited."""
        for name in sorted(dataset_tables(), key=lambda name: name != _LEDGER):
            for path in list((self.folder / name).iterdir()):
                if path.suffix == ".parquet" and path.stem not in wanted:
                    self.open_up()
                    path.unlink()
                elif path.name.startswith(DRAFT):
                    path.unlink()
        for path in list(self._staged.iterdir()):
            path.unlink()

    def _parts(self, table: str) -> list[Path]:
        return sorted((self.folder / table).glob("part-*.parquet"))

    def parts(self) -> list[str]:
        """The names of the parts that are whole."""
        return [path.stem for path in self._parts(_LEDGER)]

    def is_readable(self, name: str) -> bool:
        """Whether each table of a part is there and has its end, where Parquet keeps its description."""
        try:
            for table in dataset_tables():
                pq.read_metadata(self.part(table, name))
        except (OSError, pa.ArrowException):
            return False
        return True

    def part(self, table: str, name: str) -> Path:
        """The file of a part of a table."""
        return self.folder / table / f"{name}.parquet"

    def held_by_part(self, name: str) -> Held:
        """The inputs of a part. None of them if it cannot be read."""
        try:
            return held_by(pq.read_table(self.part(_LEDGER, name), columns=["input", "input_sha256"]))
        except (OSError, pa.ArrowException):
            return {}

    def staged(self) -> Iterator[tuple[Path, Held]]:
        """The files of results that wait, with the inputs of each. Half a file is removed."""
        for path in sorted(self._staged.iterdir()):
            try:
                held = held_by(unpack(path.read_bytes(), [_LEDGER])[_LEDGER])
            except (OSError, zipfile.BadZipFile, pa.ArrowException, KeyError):
                path.unlink()
                continue
            yield path, held

    def stage(self, packed: bytes) -> Path:
        """Keep results until their part is written."""
        path = self._staged / hashlib.sha256(packed).hexdigest()[:32]
        self.write(path, packed)
        return path

    def write(self, path: Path, content: bytes) -> None:
        """Write a file whole or not at all, and to the disk."""
        draft = path.with_name(f"{DRAFT}-{path.name}")
        with draft.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, path)

    def read_table(self, table: str, name: str, columns: list[str] | None = None) -> pa.Table:
        """A table of a part, or some columns of it. Raises InputError if it cannot be read."""
        path = self.part(table, name)
        try:
            return pq.read_table(path, columns=columns)
        except (OSError, pa.ArrowException) as error:
            said = str(error).splitlines()[0] if str(error) else type(error).__name__
            remedy = "take the file away and make the dataset again: what stood in it is done anew"
            raise InputError(path, f"cannot be read ({said})", remedy) from None

    def read_part(self, name: str) -> Tables:
        """All tables of a part. Raises InputError if one cannot be read."""
        return {table: self.read_table(table, name) for table in dataset_tables()}

    def write_part(self, name: str, tables: Tables) -> None:
        """Put the tables of a chunk in their place. The ledger comes last, so where it is, all of them are."""
        drafts = []
        order = sorted(tables, key=lambda table: table == _LEDGER)
        for table in order:
            path = self.part(table, name)
            draft = path.with_name(f"{DRAFT}-{path.name}")
            pq.write_table(tables[table], draft, compression="zstd", row_group_size=1 << 17)
            with draft.open("rb") as file:
                os.fsync(file.fileno())
            drafts.append((draft, path))
        for draft, path in drafts:
            os.replace(draft, path)

    def take_back(self, name: str) -> None:
        """Say that a part is not whole."""
        self.part(_LEDGER, name).unlink(missing_ok=True)

    def drop_staged(self, path: Path) -> None:
        """Remove results that are in their part now."""
        path.unlink(missing_ok=True)


def held_by(ledger: pa.Table) -> Held:
    """The inputs of a table ``inputs``: key and hash of each, in order."""
    columns = ledger.column("input").to_pylist(), ledger.column("input_sha256").to_pylist()
    return dict(zip(*columns, strict=True))


def of_inputs(table: pa.Table, keys: Collection[str]) -> pa.Table:
    """The rows of some inputs."""
    return table.filter(pc.is_in(table.column("input"), value_set=pa.array(sorted(keys), pa.string())))


def in_order(name: str, tables: list[pa.Table], keys: list[str]) -> pa.Table:
    """Tables joined into one. Its rows are in the order of their inputs, and keep their order within an input."""
    whole = (
        pa.concat_tables([table.cast(schema(name)) for table in tables])
        if tables
        else schema(name).empty_table()
    )
    place = pc.index_in(whole.column("input"), value_set=pa.array(keys, pa.string()))
    return whole.take(pc.sort_indices(place)).combine_chunks()
