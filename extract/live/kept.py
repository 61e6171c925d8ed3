"""The file in which the captions of a stream are kept as they come."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import accumulate
from pathlib import Path
from typing import BinaryIO


class Kept:
    """Writes captions to the file at ``path`` as they come. Only what has changed is written. If the file cannot be
    written, ``tell`` is called once with a sentence, and nothing more is kept. Raises nothing."""

    def __init__(self, path: Path, tell: Callable[[str], None]) -> None:
        self.path = path
        self._tell = tell
        self._file: BinaryIO | None = None
        self._header = ""
        # Where the captions begin in the file, bytes; the last is the end.
        self._places = [0]
        self._failed = False

    def write(self, header: str, raws: Sequence[str], first: int, end: str = "") -> None:
        """Keep the captions ``raws`` under their header. Those before the position ``first`` are as they were. ``end``
        comes after the last one, until there is another."""
        if self._failed:
            return
        try:
            self._write(header, raws, first, end)
        except OSError as error:
            self._failed = True
            self._tell(f"The captions are no longer kept: {self.path} cannot be written ({error.strerror}).")

    def _write(self, header: str, raws: Sequence[str], first: int, end: str) -> None:
        if self._file is None or header != self._header:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            if self._file is None:
                self._file = open(self.path, "r+b" if self.path.exists() else "w+b")  # noqa: SIM115
            head = header.encode("utf-8", "replace")
            self._header, self._places, first = header, [len(head)], 0
            self._file.seek(0)
            self._file.write(head)
        first = min(first, len(self._places) - 1)
        new = [raw.encode("utf-8", "replace") for raw in raws[first:]]
        self._file.seek(self._places[first])
        self._file.write(b"".join(new) + end.encode())
        self._file.truncate()
        self._file.flush()
        self._places[first:] = accumulate(map(len, new), initial=self._places[first])

    def close(self) -> None:
        """Close the file."""
        if self._file is not None:
            self._file.close()
            self._file = None
            self._failed = True
