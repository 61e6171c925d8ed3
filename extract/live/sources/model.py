"""What a source of bytes is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class News:
    """Something about a source, told once: ``kind`` is that of a notice. With ``anew`` the bytes read next begin again, so
    a line that was begun will not go on."""

    kind: str
    text: str
    anew: bool = False


class Source(Protocol):
    """Where the bytes of a stream come from. ``name`` is what messages call it."""

    name: str

    def read(self, timeout_s: float) -> bytes | None:
        """The bytes that have come, at the latest after so many seconds. ``b""``: none came in that time. None: the stream
        is over."""

    def news(self) -> list[News]:
        """What there is to tell since the last call. It is about what comes before the bytes that were read last."""

    def close(self) -> None:
        """Read no more. A ``read`` that waits in another thread returns soon."""
