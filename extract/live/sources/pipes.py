"""Standard input and named pipes."""

from __future__ import annotations

import os
import select
import time

from extract.live.sources.model import News

_MOST = 65_536
#: A pipe to which nobody writes is always ready to be read. It is asked again after this many seconds.
_PAUSE_S = 0.05


class PipeSource:
    """The bytes of a file descriptor. A pipe that is our ``own`` is closed at the end, and waits for its first writer."""

    def __init__(self, descriptor: int, name: str, *, own: bool = False) -> None:
        self.name = name
        self._descriptor = descriptor
        self._own = own
        self._waiting = own
        self._closed = False

    def read(self, timeout_s: float) -> bytes | None:
        until = time.monotonic() + timeout_s
        while not self._closed:
            try:
                ready, _, _ = select.select([self._descriptor], [], [], max(until - time.monotonic(), 0.0))
                data = os.read(self._descriptor, _MOST) if ready else None
            except BlockingIOError:
                data = None
            except OSError:
                return None
            if data:
                self._waiting = False
                return data
            if data is not None and not self._waiting:
                return None
            if time.monotonic() >= until:
                return b""
            if data is not None:
                time.sleep(min(_PAUSE_S, timeout_s))
        return None

    def news(self) -> list[News]:
        return []

    def close(self) -> None:
        if self._own and not self._closed:
            os.close(self._descriptor)
        self._closed = True
