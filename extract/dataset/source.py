"""What a dataset is made from: a folder, a pattern, a list of transcripts or a table that holds them."""

from __future__ import annotations

import glob
import hashlib
import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path, PurePosixPath

from extract.dataset.item import Content, Item, load_file
from extract.dataset.manifest import is_manifest, manifest_items
from extract.dataset.pattern import matches, stop
from extract.dataset.rows import table_items
from extract.dataset.store import is_begun
from extract.errors import InputError
from extract.paths import DESK_MARK, real
from extract.transcript.decode import check_plain, read_bytes
from extract.transcript.read import ENDINGS, goes_with_transcript, is_named_transcript, is_transcript

_DECISIONS = ".decisions.jsonl"
_LONGEST = 180


@dataclass(frozen=True, slots=True)
class SourceOf:
    """The inputs of a dataset, in the order in which they stand in it. ``kind`` is folder, pattern, list or table.
    ``name`` is its last part, which says in the dataset what it was made from. ``total`` counts the inputs. ``left``
    counts, by ending, the files of a folder whose names are not those of transcripts."""

    kind: str
    name: str
    total: int
    items: Callable[[], Iterator[Item]]
    left: Counter[str]


def open_source(given: str, out: Path, decisions: Path | None = None) -> SourceOf:
    """What SOURCE on the command line names. ``out`` is the dataset's own folder, which is never read as input.
    ``decisions`` is the folder of a review of such a dataset. Its decisions override those beside the transcripts.
    Raises InputError if there is no such source, or no transcript in it."""
    found = _open(given, out)
    if found.total == 0:
        remedy = f"give one that has files ending in {', '.join(ENDINGS)}"
        raise InputError(given, "no transcript in it", remedy)
    if decisions is None:
        return found
    if not decisions.is_dir():
        raise InputError(
            decisions, "is no folder", "give the folder in which they were corrected with --decisions"
        )
    return replace(found, items=partial(_decided, found.items, decisions))


def _open(given: str, out: Path) -> SourceOf:
    path = Path(given)
    name = real(path).name or "source"
    if path.is_dir():
        files, left = _walk(path, out)
        return _files("folder", name, files, left)
    if path.exists():
        check_plain(path, again=True)
        lower = path.name.lower()
        if lower.endswith((".parquet", ".jsonl", ".ndjson")):
            total, items = table_items(path)
            return SourceOf("table", path.name, total, items, Counter())
        listed = lower.endswith(".csv") and is_manifest(path)
        if lower.endswith(".csv") and not listed and not is_transcript(path):
            problem = "is neither a list with a column 'transcript' nor notes with a time in each row"
            raise InputError(
                path, problem, "head the column that has the paths of the transcripts with transcript", 1
            )
        if lower.endswith(ENDINGS) and not listed:
            return _files("file", path.name, [(_key(Path(path.name)), path)], Counter(), path.stem)
        if lower.endswith(".csv"):
            total, items = manifest_items(path)
            return SourceOf("list", path.name, total, items, Counter())
        remedy = "give a folder, a pattern in quotation marks, a list (.csv) or a table (.parquet, .jsonl)"
        raise InputError(path, "is none of the things a dataset is made from", remedy)
    if glob.has_magic(given):
        base, files, left = _match(given, out)
        return _files("pattern", PurePosixPath(Path(given).as_posix()).name, files, left, base)
    raise InputError(
        given, "no such file or folder", "give a folder, a pattern, a list or a table of transcripts"
    )


def _files(
    kind: str, name: str, files: list[tuple[str, Path]], left: Counter[str], base: str | None = None
) -> SourceOf:
    top = base if base is not None else name

    def items() -> Iterator[Item]:
        for key, path in files:
            folder = str(PurePosixPath(key).parent)
            programme = top if folder == "." else folder
            yield Item(key, str(path), path.name, programme, partial(load_file, path))

    return SourceOf(kind, name, len(files), items, left)


def _walk(folder: Path, out: Path) -> tuple[list[tuple[str, Path]], Counter[str]]:
    """The transcripts of a folder and of the folders inside, by name, sorted by key; and what is left out."""
    own = real(out)
    found: list[tuple[str, Path]] = []
    left: Counter[str] = Counter()

    def halt(error: OSError) -> None:
        raise stop(error, folder)

    for where, folders, names in os.walk(folder, onerror=halt):
        folders[:] = [each for each in folders if each[0] != "." and not _is_made(Path(where, each), own)]
        for name in names:
            path = Path(where, name)
            if name[0] == "." or goes_with_transcript(path) or (path.exists() and not path.is_file()):
                continue
            if is_named_transcript(path):
                found.append((_key(path.relative_to(folder)), path))
            else:
                left[path.suffix.lower() or "nothing"] += 1
    return sorted(found), left


def _is_made(folder: Path, out: Path) -> bool:
    """Whether a folder holds what this program has made: a dataset, or copies for the correction desk. Raises InputError
    if the folder may not be entered."""
    try:
        return real(folder) == out or is_begun(folder) or (folder / DESK_MARK).exists()
    except OSError as error:
        raise stop(OSError(error.errno, error.strerror, str(folder)), folder) from None


def _match(pattern: str, out: Path) -> tuple[str, list[tuple[str, Path]], Counter[str]]:
    """The files that a pattern matches. Their keys begin after the last folder before the first wild card."""
    parts = Path(pattern).parts
    fixed = next(n for n, part in enumerate(parts) if glob.has_magic(part))
    base = Path(*parts[:fixed]) if fixed else Path()
    own = real(out)
    found = []
    made: dict[Path, bool] = {}
    for path in matches(base, parts[fixed:], lambda folder: not _is_made(folder, own)):
        for folder in real(path).parents:
            if folder not in made:
                made[folder] = _is_made(folder, own)
        ours = any(made[folder] for folder in real(path).parents)
        if path.is_file() and not goes_with_transcript(path) and not ours:
            found.append((_key(path.relative_to(base)), path))
    return real(base).name, sorted(found), Counter()


def _key(path: Path) -> str:
    """A relative path as text that every table can hold, whatever bytes its name has."""
    return path.as_posix().encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def desk_name(key: str, number: int = 0) -> str:
    """The name that an input, or a bout of one that holds several, has in a folder for the correction desk."""
    name = key.replace("/", "__")
    if len(name.encode()) > _LONGEST:
        # A file system takes names of 255 bytes, and endings are still to be added.
        digest = hashlib.sha256(key.encode()).hexdigest()[:16]
        name = f"{name.encode()[: _LONGEST - 17].decode(errors='ignore')}~{digest}"
    return name + (f"-{number:02}" if number else "")


def _decided(items: Callable[[], Iterable[Item]], folder: Path) -> Iterator[Item]:
    """The items, with the decisions that a review has on them."""
    made = {path.name.removesuffix(_DECISIONS): path for path in folder.glob(f"*{_DECISIONS}")}
    of_bouts: dict[str, list[tuple[int, Path]]] = {}
    for name, path in sorted(made.items()):
        stem, _, number = name.rpartition("-")
        if number.isascii() and number.isdigit():
            of_bouts.setdefault(stem, []).append((int(number), path))
    for item in items():
        name = desk_name(item.key)
        found = [(0, made[name])] if name in made else of_bouts.get(name, [])
        yield replace(item, load=partial(_with_decisions, item.load, found)) if found else item


def _with_decisions(load: Callable[[], Content], made: Iterable[tuple[int, Path]]) -> Content:
    return replace(load(), decisions=tuple((number, read_bytes(path)) for number, path in made))
