"""Keys from the terminal, one at a time, while standard input may bring captions."""

from __future__ import annotations

import contextlib
import os
import queue
import select
import sys
import threading
from collections.abc import Iterator
from types import TracebackType

try:
    import termios
    import tty
except (
    ImportError
):  # A system without terminals of this sort shows the screen, and the page takes the answers.
    termios = tty = None  # type: ignore[assignment]

_TERMINAL = "/dev/tty"
_ESCAPE = "\x1b"


class Keys:
    """The keys that are pressed, as characters, while the context lasts. After it the terminal is as it was before.

    They are read from the terminal itself and not from standard input. Ctrl-C still interrupts; Ctrl-Z does nothing, as it
    would leave the shell with a terminal that shows no typing.
    """

    def __init__(self) -> None:
        self._pressed: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._fd: int | None = None
        self._saved: list[int | list[bytes | int]] = []
        self._stop: tuple[int, int] | None = None
        self._thread: threading.Thread | None = None

    @property
    def there(self) -> bool:
        """Whether there is a terminal to read keys from."""
        return self._fd is not None

    def __enter__(self) -> Keys:
        self._fd = _terminal() if termios is not None else None
        if self._fd is not None:
            self._saved = termios.tcgetattr(self._fd)
            self._stop = os.pipe()
            tty.setcbreak(self._fd)
            quiet = termios.tcgetattr(self._fd)
            quiet[6][termios.VSUSP] = b"\0"
            termios.tcsetattr(self._fd, termios.TCSANOW, quiet)
            self._thread = threading.Thread(target=self._read, daemon=True, name="keys")
            self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._fd is None or self._stop is None or self._thread is None:
            return
        os.write(self._stop[1], b"x")
        self._thread.join()
        with contextlib.suppress(termios.error):
            # What was typed and not read is not for the shell.
            termios.tcsetattr(self._fd, termios.TCSAFLUSH, self._saved)
        for fd in (self._fd, *self._stop):
            os.close(fd)
        self._fd = None

    def pressed(self) -> Iterator[str]:
        """The keys since the last time."""
        with contextlib.suppress(queue.Empty):
            while True:
                yield self._pressed.get_nowait()

    def _read(self) -> None:
        assert self._fd is not None
        assert self._stop is not None
        while True:
            ready, _, _ = select.select([self._fd, self._stop[0]], [], [])
            if self._stop[0] in ready:
                return
            try:
                read = os.read(self._fd, 64)
            except OSError:
                return
            if not read:
                return
            for key in keys_of(read):
                self._pressed.put(key)


def keys_of(read: bytes) -> Iterator[str]:
    """The keys in what a terminal sent at once. What begins with Escape and goes on is an arrow or another key without a
    meaning here.

    >>> list(keys_of(b"rq")), list(keys_of(b"\\x1b")), list(keys_of(b"\\x1b[A"))
    (['r', 'q'], ['\\x1b'], [])
    """
    text = read.decode(errors="ignore")
    if not text.startswith(_ESCAPE) or text == _ESCAPE:
        yield from text


def _terminal() -> int | None:
    """The terminal of this process, to be closed."""
    with contextlib.suppress(OSError):
        return os.open(_TERMINAL, os.O_RDONLY | os.O_NOCTTY)
    with contextlib.suppress(OSError, ValueError):
        if sys.stdin.isatty():
            return os.dup(sys.stdin.fileno())
    return None
