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
    """The bytes of an input. ``bout`` is a bout file, ``sheet`` a bout sheet; None where there is none. ``bout_file`` is
    where the first was read, empty where a row of a list or a table was made into it. ``decisions`` are the files of
    decisions, each with the number of the bout in the recording that they are on (0: of the one bout that it holds)."""

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
    """An input before it is read. ``key`` names it in the dataset and stays the same from run to run; ``file`` is where
    it lies, for messages; ``name`` the file name that its transcript has (its ending may tell the format). ``row`` is the
    list or the table that names it, and the line there. ``load`` reads it, and raises InputError where it cannot."""

    key: str
    file: str
    name: str
    programme: str
    load: Callable[[], Content]
    row: tuple[str, int] | None = None


@dataclass(frozen=True, slots=True)
class Loaded:
    """An input that has been read, on its way to whoever works on it; the rest as in Item."""

    key: str
    file: str
    name: str
    programme: str
    row: tuple[str, int] | None
    content: Content
    sha256: str


def load_file(path: Path, bout: bytes | None = None, sheet: Path | None = None) -> Content:
    """A transcript with what lies beside it under its name. ``bout`` and ``sheet`` go before that. Raises InputError."""
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
    """Stands for the loading of an input that is known to be none. Raises ``error``."""
    raise error


def load(item: Item) -> Loaded:
    """The input with its bytes. Raises InputError where it cannot be read."""
    content = item.load()
    return Loaded(item.key, item.file, item.name, item.programme, item.row, content, content.sha256)
