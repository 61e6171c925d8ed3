"""A file, also while it is written."""

from __future__ import annotations

import hashlib
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
    """The bytes of a file. With ``follow`` it is read on as it grows, and from its beginning if it is replaced by
    another or made shorter; it may also come later. Raises OSError if it cannot be opened."""

    def __init__(self, path: str, *, follow: bool) -> None:
        self.name = path
        self._follow = follow
        self._file: BinaryIO | None = None
        self._head = b""
        self._hash = hashlib.sha256()
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
        if self._file is None or (self._follow and self._is_another()):
            self._open()
        if self._file is None:
            return b""
        data = self._file.read(_MOST)
        self._head += data[: _HEAD - len(self._head)]
        self._hash.update(data)
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

    def _open(self) -> None:
        """Open the file that is now at this path. A program may write all anew at each caption, so it goes on where it was
        if what was read is the same."""
        try:
            file = open(self.name, "rb")  # noqa: SIM115
            head = file.read(len(self._head))
        except OSError:
            return
        if self._file is not None:
            if not head:
                # It has been emptied, and what will be written is not known yet.
                file.close()
                return
            at = self._file.tell()
            self._file.close()
            self._file = file
            if self._is_same(at):
                return
            told = (
                ""
                if self._head.startswith(head)
                else "The file was written anew; it is read from its beginning."
            )
            self._news.append(News("restarted", told, True))
        file.seek(0)
        self._file, self._head, self._hash = file, b"", hashlib.sha256()

    def _is_same(self, at: int) -> bool:
        """Whether the file begins with what was read, of so many bytes. It then stands behind that."""
        assert self._file is not None
        self._file.seek(0)
        digest, left = hashlib.sha256(), at
        while left and (data := self._file.read(min(left, _MOST))):
            digest.update(data)
            left -= len(data)
        return not left and digest.digest() == self._hash.digest()
