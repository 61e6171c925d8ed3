"""What was told so far, kept on disk, so that a desk that is killed and started again says nothing twice."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path

from extract.live.changes import Change


class Told:
    """The ids of what was told. ``path`` is the file that keeps them, a JSON text a line; None keeps nothing. What an
    earlier run told counts only where this one ``goes_on`` with it."""

    def __init__(self, path: Path | None = None, *, goes_on: bool = False) -> None:
        self._path = path
        self._before: dict[str, set[str]] = {}
        if path is None:
            return
        if goes_on and path.exists():
            for id in _kept(path):
                self._before.setdefault(id.partition("|")[0], set()).add(id)
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(b"")

    @property
    def ids(self) -> frozenset[str]:
        """What was told before the restart and is not to be told again."""
        return frozenset(id for ids in self._before.values() for id in ids)

    def keep(self, told: Iterable[Change]) -> None:
        """Keep what was told now. What was told before about the same holds no more: it would be news again."""
        ids = []
        for change in told:
            self._before.pop(change.about, None)
            ids.append(change.id)
        if self._path is not None and ids:
            with self._path.open("a", encoding="utf-8") as file:
                file.write("".join(f"{json.dumps(id)}\n" for id in ids))


def _kept(path: Path) -> Iterable[str]:
    """The ids in a file. A last line that was broken off when the desk was killed is no id."""
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            id = json.loads(line)
        except ValueError:
            continue
        if isinstance(id, str):
            yield id
