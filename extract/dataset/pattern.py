"""The files that a pattern names, as in the standard library's glob. Each file comes once, whatever links there
are."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from fnmatch import fnmatch
from pathlib import Path

from extract.errors import InputError
from extract.paths import real

#: Stands for any number of nested folders.
_ANY_DEPTH = "**"


def stop(error: OSError, folder: str | Path) -> InputError:
    """The error for a folder that may not be read. Without it its files would be missing in silence."""
    return InputError(
        error.filename or folder, f"cannot be read ({error.strerror})", "give a folder that can be read"
    )


def matches(
    base: Path, parts: Sequence[str], enter: Callable[[Path], bool] = lambda folder: True
) -> list[Path]:
    """The files below ``base`` whose path from there fits the parts of a pattern. If a file has several such paths,
    one with the fewest links. Folders that ``enter`` refuses are left out. Raises InputError for a folder that cannot
    be read."""
    found = sorted((linked, path) for linked, path in _walk(base, parts, enter))
    once: dict[Path, Path] = {}
    for _, path in found:
        once.setdefault(real(path), path)
    return sorted(once.values())


def _walk(base: Path, parts: Sequence[str], enter: Callable[[Path], bool]) -> Iterator[tuple[int, Path]]:
    """The files, each with the number of links on its way. Folders behind more links come later, so a file that can
    be reached without links is found that way. A folder that was seen before at the same place of the pattern is
    skipped, so the walk ends."""
    seen: set[tuple[Path, frozenset[int]]] = set()
    waiting = deque([(0, base, _open(parts, {0}))])
    while waiting:
        links, folder, at = waiting.popleft()
        if (real(folder), at) in seen:
            continue
        seen.add((real(folder), at))
        try:
            with os.scandir(folder) as entries:
                inside = sorted(entries, key=lambda entry: entry.name)
        except NotADirectoryError:
            continue
        except OSError as error:
            raise stop(error, folder) from None
        plain: list[tuple[int, Path, frozenset[int]]] = []
        for entry in inside:
            then = _after(parts, at, entry.name)
            path, behind = folder / entry.name, links + entry.is_symlink()
            if entry.is_dir():
                if then - {len(parts)} and enter(path):
                    (plain if behind == links else waiting).append((behind, path, then))
            elif len(parts) in then:
                yield behind, path
        waiting.extendleft(reversed(plain))


def _after(parts: Sequence[str], at: frozenset[int], name: str) -> frozenset[int]:
    """The places in a pattern that a path may have come to, from ``at``, with one more name. Hidden names fit only a
    part that begins with a dot."""
    come = set()
    for place in at - {len(parts)}:
        part = parts[place]
        if part == _ANY_DEPTH:
            come |= {place} if name[0] != "." else set()
        elif fnmatch(name, part) and (name[0] != "." or part[0] == "."):
            come.add(place + 1)
    return _open(parts, come)


def _open(parts: Sequence[str], places: set[int]) -> frozenset[int]:
    """The places, and those after them that can be reached without a name."""
    come = set(places)
    for place in sorted(places):
        while place < len(parts) and parts[place] == _ANY_DEPTH:
            place += 1
            come.add(place)
    return frozenset(come)
