"""What was told so far, kept on disk, so that a desk that is killed and started again says nothing twice."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from extract.live.changes import Change

#: What was told about so many things is kept in memory: far more than one bout has.
_MOST = 4000


class Told:
    """What was told last about each thing. ``path`` is the file that keeps it, the id of a change a line, as JSON; None
    keeps nothing. What an earlier run told counts only where this one ``goes_on`` with it."""

    def __init__(self, path: Path | None = None, *, goes_on: bool = False) -> None:
        self._path = path
        self._last: dict[str, str] = {}
        if path is None:
            return
        if goes_on and path.exists():
            for id in _kept(path):
                self._note(id)
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(b"")

    @property
    def ids(self) -> frozenset[str]:
        """The ids of the changes that hold: the last one about each thing."""
        return frozenset(self._last.values())

    def keep(self, told: Iterable[Change]) -> None:
        """Keep what was told now."""
        ids = [change.id for change in told]
        for id in ids:
            self._note(id)
        if self._path is not None and ids:
            with self._path.open("a", encoding="utf-8") as file:
                file.write("".join(f"{json.dumps(id)}\n" for id in ids))

    def _note(self, id: str) -> None:
        about = id.partition("|")[0]
        self._last.pop(about, None)
        self._last[about] = id
        if len(self._last) > _MOST:
            del self._last[next(iter(self._last))]


def _kept(path: Path) -> Iterator[str]:
    """The ids in a file. A last line that was broken off when the desk was killed is no id."""
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            id = json.loads(line)
        except ValueError:
            continue
        if isinstance(id, str):
            yield id
