"""What was told so far, kept on disk, so that a desk that is killed and started again says nothing twice."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from extract.live.changes import Change

#: What was told about so many things is kept in memory: far more than one bout has.
_MOST = 4000


class Told:
    """What was told last about each thing. ``path`` is the file that keeps it; None keeps nothing. A file that is there was
    left by a run that was broken off: this one goes on with it. ``until`` is how far that run had come, in seconds of the
    recording: what is heard before it is heard again."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self._last: dict[str, str] = {}
        self.until = 0.0
        self.goes_on = False
        if path is None:
            return
        for id, now in _kept(path):
            self.goes_on, self.until = True, max(self.until, now)
            self._note(id)
        path.parent.mkdir(parents=True, exist_ok=True)
        # A last line that was broken off is not to run into the next one.
        path.write_text(_lines((id, self.until) for id in self._last.values()), encoding="utf-8")

    @property
    def ids(self) -> frozenset[str]:
        """The ids of the changes that hold: the last one about each thing."""
        return frozenset(self._last.values())

    def keep(self, told: Iterable[Change]) -> None:
        """Keep what was told now."""
        new = [(change.id, change.now) for change in told]
        for id, _ in new:
            self._note(id)
        if self._path is not None and new:
            with self._path.open("a", encoding="utf-8") as file:
                file.write(_lines(new))

    def end(self) -> None:
        """The run has come to its end: the next one tells all."""
        if self._path is not None:
            with contextlib.suppress(OSError):
                self._path.unlink()

    def _note(self, id: str) -> None:
        about = id.partition("|")[0]
        self._last.pop(about, None)
        self._last[about] = id
        if len(self._last) > _MOST:
            del self._last[next(iter(self._last))]


def _lines(told: Iterable[tuple[str, float]]) -> str:
    return "".join(f"{json.dumps({'id': id, 'now': round(now, 3)})}\n" for id, now in told)


def _kept(path: Path) -> Iterator[tuple[str, float]]:
    """What a file keeps. A last line that was broken off when the desk was killed is passed over, and so is whatever else
    is not of this form."""
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except FileNotFoundError:
        return
    for line in text.splitlines():
        with contextlib.suppress(ValueError, KeyError, TypeError):
            kept = json.loads(line)
            yield str(kept["id"]), float(kept["now"])
