"""Bytes as they come, as lines."""

from __future__ import annotations

from collections.abc import Callable

from extract.live.letters import Letters

#: The most characters of a line. What comes after them up to the line's end is left out.
LONGEST_LINE = 65_536


class Lines:
    """Makes lines of bytes that come in pieces, wherever they are cut. ``tell`` is called with a sentence about what was
    broken. No more than one line is kept."""

    def __init__(self, tell: Callable[[str], None], longest: int = LONGEST_LINE) -> None:
        self._tell = tell
        self._longest = longest
        self._letters = Letters(tell)
        self._line = ""
        self._cut = False

    def take(self, data: bytes) -> list[str]:
        """The lines that the bytes end, without their line ends."""
        return self._split(self._letters.take(data))

    def end(self) -> list[str]:
        """The last lines, after which no byte comes. The very last one may have no line end."""
        lines = self._split(self._letters.end())
        if self._line or self._cut:
            lines.append(self._line)
        self._line, self._cut = "", False
        return lines

    def anew(self) -> str:
        """Forget the line that was begun, and return it: the bytes begin again."""
        begun, self._line, self._cut = self._line, "", False
        self._letters.anew()
        return begun

    def _split(self, text: str) -> list[str]:
        *ended, rest = text.split("\n")
        lines = []
        for part in ended:
            self._add(part)
            lines.append(self._line)
            self._line, self._cut = "", False
        self._add(rest)
        return lines

    def _add(self, part: str) -> None:
        room = self._longest - len(self._line)
        if len(part) > room and not self._cut:
            self._cut = True
            self._tell(f"A line of more than {self._longest:,} characters is cut there.")
        self._line += part[:room]
