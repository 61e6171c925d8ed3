"""A file, also while it is written."""

from __future__ import annotations

import os
import threading
import time
from typing import BinaryIO

from extract.live.sources.model import News

_MOST = 65_536
#: A file that may have grown is looked at this often, seconds.
_LOOK_S = 0.1
#: The first bytes of a file, by which it is known again.
_HEAD = 64


class FileSource:
    """The bytes of a file. With ``follow`` it is read on as it grows, and from its beginning if it is replaced or made
    shorter; it may also come later. Raises OSError if it cannot be opened."""

    def __init__(self, path: str, *, follow: bool) -> None:
        self.name = path
        self._follow = follow
        self._file: BinaryIO | None = None
        self._head = b""
        self._news: list[News] = []
        self._over = threading.Event()
        if not follow or os.path.lexists(path):
            self._file = open(path, "rb")  # noqa: SIM115

    def read(self, timeout_s: float) -> bytes | None:
        until = time.monotonic() + timeout_s
        while not self._over.is_set():
            data = self._more()
            if data:
                return data
            if not self._follow:
                return None
            left = until - time.monotonic()
            if left <= 0:
                return b""
            self._over.wait(min(left, _LOOK_S))
        return None

    def news(self) -> list[News]:
        told, self._news = self._news, []
        return told

    def close(self) -> None:
        self._over.set()

    def _more(self) -> bytes:
        if self._file is not None and self._follow and self._is_another():
            self._file.close()
            self._file = None
            self._news.append(
                News("restarted", "The file was written anew; it is read from its beginning.", True)
            )
        if self._file is None:
            try:
                self._file = open(self.name, "rb")  # noqa: SIM115
            except OSError:
                return b""
            self._head = b""
        data = self._file.read(_MOST)
        if len(self._head) < _HEAD:
            self._head += data[: _HEAD - len(self._head)]
        return data

    def _is_another(self) -> bool:
        """Whether the file at this path is no more the one that was read so far."""
        assert self._file is not None
        try:
            found = os.stat(self.name)
        except OSError:
            # It may be about to be put in its place.
            return False
        own = os.fstat(self._file.fileno())
        if (found.st_ino, found.st_dev) != (own.st_ino, own.st_dev) or found.st_size < self._file.tell():
            return True
        return os.pread(self._file.fileno(), len(self._head), 0) != self._head
