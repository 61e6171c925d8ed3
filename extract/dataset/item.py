"""One input of a dataset: a transcript and what goes with it, as bytes that can travel to any machine."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from extract.errors import InputError
from extract.paths import beside
from extract.transcript.decode import check_plain, read_bytes


@dataclass(frozen=True, slots=True)
class Content:
    """The bytes of an input. ``bout`` is a bout file and ``sheet`` a bout sheet, or None. ``bout_file`` is where the
    bout file was read. It is empty if a row of a list or a table was made into one. ``decisions`` are the files of
    decisions, each with the number of its bout in the recording (0: the only bout)."""

    transcript: bytes
    bout: bytes | None = None
    sheet: bytes | None = None
    decisions: tuple[tuple[int, bytes], ...] = ()
    bout_file: str = ""

    def _parts(self) -> Iterator[tuple[str, bytes]]:
        yield "transcript", self.transcript
        if self.bout is not None:
            yield "bout", self.bout
        if self.sheet is not None:
            yield "sheet", self.sheet
        for number, made in self.decisions:
            yield f"decisions {number}", made

    @property
    def sha256(self) -> str:
        """The SHA-256 over all parts, each with its name and length before it, in hexadecimal digits."""
        digest = hashlib.sha256()
        for name, part in self._parts():
            digest.update(f"{name} {len(part)}\n".encode())
            digest.update(part)
        return digest.hexdigest()

    @property
    def size(self) -> int:
        """Bytes of all parts together."""
        return sum(len(part) for _, part in self._parts())


@dataclass(frozen=True, slots=True)
class Item:
    """An input before it is read. ``key`` names it in the dataset and stays the same from run to run. ``file`` is
    where it lies, for messages. ``name`` is the file name of its transcript (its ending may tell the format). ``row``
    is the list or the table that names it, and the line there. ``load`` reads it, and raises InputError if it
    cannot."""

    key: str
    file: str
    name: str
    programme: str
    load: Callable[[], Content]
    row: tuple[str, int] | None = None


@dataclass(frozen=True, slots=True)
class Loaded:
    """An input that has been read, on its way to a worker. The other fields are as in Item."""

    key: str
    file: str
    name: str
    programme: str
    row: tuple[str, int] | None
    content: Content
    sha256: str


def load_file(path: Path, bout: bytes | None = None, sheet: Path | None = None) -> Content:
    """A transcript with what lies beside it under its name. ``bout`` and ``sheet`` override that. Raises
    InputError."""
    decisions = beside(path, "decisions.jsonl")
    bout_file = beside(path, "bout.toml") if bout is None else None
    sheet = sheet or beside(path, "sheet.csv")
    for each in (path, bout_file, sheet, decisions):
        if each is not None:
            check_plain(each, again=True)
    return Content(
        read_bytes(path),
        read_bytes(bout_file) if bout_file is not None else bout,
        read_bytes(sheet) if sheet is not None else None,
        ((0, read_bytes(decisions)),) if decisions is not None else (),
        str(bout_file or ""),
    )


def refused(error: InputError) -> Content:
    """Takes the place of the loading of an input that is known to be unusable. Raises ``error``."""
    raise error


def load(item: Item) -> Loaded:
    """The input with its bytes. Raises InputError if it cannot be read."""
    content = item.load()
    return Loaded(item.key, item.file, item.name, item.programme, item.row, content, content.sha256)
