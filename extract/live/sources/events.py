"""Server-sent events (WHATWG HTML, 9.2): from the bytes of a response to the data of its events."""

from __future__ import annotations

import re

_LINE_END = re.compile(rb"\r\n|\r|\n")
#: The most bytes of one event.
_LONGEST = 1 << 20


class Events:
    """Takes apart a ``text/event-stream``. ``last_id`` is the identifier to send when asking again, and ``retry_s`` how
    long to wait before, if the server said so."""

    def __init__(self) -> None:
        self.last_id = b""
        self.retry_s: float | None = None
        self.anew()

    def anew(self) -> None:
        """A new response begins. An event that was not ended is none."""
        self._buffer = b""
        self._first = True
        self._data: list[bytes] = []
        self._size = 0
        self._id = self.last_id

    def take(self, piece: bytes) -> bytes:
        """The data of the events that these bytes end, each with a line end. Data of several lines are a block, and a
        blank line follows them."""
        self._buffer += piece
        if self._first:
            if len(self._buffer) < 3 and b"\xef\xbb\xbf".startswith(self._buffer):
                return b""
            self._buffer = self._buffer.removeprefix(b"\xef\xbb\xbf")
            self._first = False
        # A carriage return at the end may be the first half of a line end.
        held = 1 if self._buffer.endswith(b"\r") else 0
        whole, rest = self._buffer[: len(self._buffer) - held], self._buffer[len(self._buffer) - held :]
        *lines, begun = _LINE_END.split(whole)
        self._buffer = (begun + rest)[-_LONGEST:]
        return b"".join(self._line(line) for line in lines)

    def _line(self, line: bytes) -> bytes:
        if not line:
            return self._dispatch()
        name, _, value = line.partition(b":")
        value = value.removeprefix(b" ")
        if name == b"data" and self._size + len(value) <= _LONGEST:
            self._data.append(value)
            self._size += len(value)
        elif name == b"id" and b"\0" not in value:
            self._id = value
        elif name == b"retry" and value.isdigit() and len(value) < 8:
            self.retry_s = int(value) / 1000
        return b""

    def _dispatch(self) -> bytes:
        self.last_id = self._id
        data, self._data, self._size = self._data, [], 0
        if not any(data):
            return b""
        return b"\n".join(data) + (b"\n\n" if len(data) > 1 else b"\n")
