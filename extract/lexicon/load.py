"""Loads the lexicon of a style: the shipped files, and a user's own over them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import cast

from extract.errors import InputError
from extract.lexicon.clashes import clash_fault, clashes, idle_drops
from extract.lexicon.data import FOLDERS, lexicon_names, lexicon_path, load_toml, read_lexicon
from extract.lexicon.entries import Entry, FileEntry, Meaning, Read, read_entries, rivals
from extract.lexicon.rows import PlacedRow, RowsRead, own_first, read_rows
from extract.lexicon.spelling import found_as
from extract.lexicon.styles import FOLDER as STYLES
from extract.lexicon.styles import load_styles, style_files
from extract.phrases import Row, Rows
from extract.transcript.decode import SourceText

#: The folder of the rows.
ROWS = "phrases"
#: Folders of entries beside that of the styles.
_FOLDERS = tuple(folder for folder in FOLDERS if folder not in (STYLES, ROWS))
#: Shipped files that hold plain sets of words and no entries.
_SETS = frozenset({"talk/small_words", "talk/cast", "talk/numbers", "talk/common_words"})


@dataclass(frozen=True, slots=True, eq=False)
class Lexicon:
    """All entries that hold for one style, each meaning once, in order of their meanings, and its ``rows``, the ways of
    saying. ``own`` are the user's files that are part of it. Two are the same only where they are one object."""

    style: str
    entries: tuple[Entry, ...]
    own: tuple[SourceText, ...] = ()
    rows: Rows = field(default_factory=lambda: Rows(()))

    def forms(self, role: str, value: str | None = None) -> Iterator[str]:
        """The forms of one role, and of one value of it where given."""
        for entry in self.entries:
            if entry.role == role and value in (None, entry.value):
                yield from entry.forms


@lru_cache(maxsize=256)
def small_words(name: str) -> frozenset[str]:
    """One of the sets of ``talk/small_words.toml``. Raises KeyError for an unknown name."""
    return frozenset(cast("list[str]", load_toml("talk/small_words")[name]))


def read_shipped() -> Iterator[Read]:
    """The entries of every shipped file, with what is wrong with them."""
    files = style_files()
    for name in lexicon_names(STYLES):
        source = read_lexicon(lexicon_path(name))
        yield read_entries(source, files, held_by=name.split("/")[1], tables=("style",))
    for folder in _FOLDERS:
        for name in lexicon_names(folder):
            if name not in _SETS:
                yield read_entries(read_lexicon(lexicon_path(name)), files)


@lru_cache(maxsize=1)
def shipped_entries() -> tuple[FileEntry, ...]:
    """All entries of the shipped files. Raises InputError when one is malformed."""
    return _sound(read_shipped())


def _sound(files: Iterable[Read]) -> tuple[FileEntry, ...]:
    out: list[FileEntry] = []
    for file in files:
        for fault in file.faults:
            raise fault
        out += file.entries
    return tuple(out)


def own_faults(own: Sequence[FileEntry]) -> Iterator[InputError]:
    """What the form of a user's entries does not show: meanings that clash, drops of what is not there."""
    styles = tuple(load_styles().values())
    yield from map(clash_fault, clashes(own, styles))
    for placed, form in idle_drops(own, shipped_entries(), styles):
        problem = f"no shipped {placed.entry.role} {placed.entry.value}".rstrip() + f" has {form!r}"
        yield placed.fault(problem, "take it out of drop", "drop", form)


@lru_cache(maxsize=8)
def own_entries(files: tuple[SourceText, ...]) -> tuple[FileEntry, ...]:
    """The entries of a user's files. Raises InputError for the first fault."""
    own = _sound(read_entries(source, style_files(), own=True) for source in files)
    for fault in own_faults(own):
        raise fault
    return own


def read_shipped_rows() -> Iterator[RowsRead]:
    """The rows of every shipped file, with what is wrong with them."""
    for name in lexicon_names(ROWS):
        yield read_rows(read_lexicon(lexicon_path(name)), style_files())


@lru_cache(maxsize=1)
def shipped_rows() -> tuple[PlacedRow, ...]:
    """All rows of the shipped files. Raises InputError when one is malformed."""
    return _sound_rows(read_shipped_rows())


@lru_cache(maxsize=8)
def own_rows(files: tuple[SourceText, ...]) -> tuple[PlacedRow, ...]:
    """The rows of a user's files. Raises InputError for the first fault."""
    return _sound_rows(read_rows(source, style_files()) for source in files)


def _sound_rows(files: Iterable[RowsRead]) -> tuple[PlacedRow, ...]:
    read = tuple(files)
    for fault in row_faults(read):
        raise fault
    return tuple(placed for file in read for placed in file.rows)


def row_faults(files: Iterable[RowsRead]) -> Iterator[InputError]:
    """What is wrong with the rows of some files, those with one id in two files too."""
    seen: dict[str, PlacedRow] = {}
    for file in files:
        yield from file.faults
        for placed in file.rows:
            other = seen.setdefault(placed.row.id, placed)
            if other is not placed:
                problem = f"{placed.row.id!r} is a row of {other.source.file} too"
                yield placed.fault(problem, "give it another id", "id")


def row_places(files: Sequence[str | Path] = ()) -> dict[str, str]:
    """Where each row stands, by its id: file and line. The shipped ones are named from the project's folder, those of a
    user's ``files`` as these are given. Raises InputError as ``load_lexicon``."""
    own = own_rows(tuple(dict.fromkeys(map(read_lexicon, files))))
    shipped = ((placed, f"lexicons/{ROWS}/{placed.source.name}") for placed in shipped_rows())
    mine = ((placed, placed.source.file) for placed in own)
    return {placed.row.id: f"{file}:{placed.line()}" for placed, file in (*shipped, *mine)}


def rows_of(style: str, shipped: Sequence[PlacedRow], own: Sequence[PlacedRow]) -> Iterator[Row]:
    """The rows that hold in a style."""
    holds = load_styles()[style].holds
    yield from (placed.row for placed in own_first(shipped, own) if holds(placed.row.styles))


def load_lexicon(style: str, extra: tuple[str | Path, ...] = ()) -> Lexicon:
    """The lexicon for a style (``freestyle``, say): the shipped one with a user's files ``extra`` over it.

    The forms of ``extra`` are added; where a shipped entry gives such a form another meaning, that gives way, and what
    an entry of ``extra`` drops is left out. The same files give the same object. Raises InputError when a file is
    malformed.
    """
    return _load(style, tuple(dict.fromkeys(map(read_lexicon, extra))))


@lru_cache(maxsize=16)
def _load(style: str, files: tuple[SourceText, ...]) -> Lexicon:
    rows = Rows(rows_of(style, shipped_rows(), own_rows(files)))
    return Lexicon(style, merged(style, shipped_entries(), own_entries(files)), files, rows)


def merged(style: str, shipped: Iterable[FileEntry], own: Iterable[FileEntry]) -> tuple[Entry, ...]:
    """One entry for each meaning, with the forms that have it in a style."""
    holds = load_styles()[style].holds
    meanings: dict[Meaning, dict[str, None]] = {}
    mine = [placed for placed in own if holds(placed.entry.styles)]
    for placed in (placed for placed in shipped if holds(placed.entry.styles)):
        meanings.setdefault(placed.entry.meaning, {}).update(dict.fromkeys(placed.entry.forms))
    for placed in mine:
        meaning = placed.entry.meaning
        for other, forms in meanings.items():
            if other[:2] == meaning[:2]:
                _take_out(other.role, forms, placed.drop)
            if rivals(meaning, other):
                _take_out(other.role, forms, placed.entry.forms)
    for placed in mine:
        meanings.setdefault(placed.entry.meaning, {}).update(dict.fromkeys(placed.entry.forms))
    return tuple(
        Entry(m.role, m.value, tuple(forms), m.strength, m.scope, particles=m.particles)
        for m, forms in sorted(meanings.items(), key=lambda pair: pair[0])
        if forms
    )


def _take_out(role: str, forms: dict[str, None], unwanted: Iterable[str]) -> None:
    """Takes out of ``forms`` all that are found where an unwanted one is."""
    spelled = {spelling for form in unwanted for spelling in found_as(role, form)}
    for form in [form for form in forms if not spelled.isdisjoint(found_as(role, form))] if spelled else ():
        del forms[form]
