"""The line of every table, key and value of a TOML text.

``tomllib`` gives values without places. This scanner goes over text that ``tomllib`` has taken, so it need not tell
what is legal: it only finds where things begin.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import lru_cache

_STRING = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\]|\\.)*"|\'[^\']*\'', re.DOTALL)
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")


@dataclass(slots=True)
class Lined:
    """A value and the line, from 1, on which it begins; of a table ``[[entry]]`` that is the line of its header.
    ``keys`` are the values of a table, ``items`` those of an array."""

    line: int
    keys: dict[str, Lined] = field(default_factory=dict)
    items: list[Lined] = field(default_factory=list)

    def line_of(self, *path: str | int) -> int:
        """The line of what stands at a path of keys and positions; where it ends early, that of the last found."""
        node = self
        for step in path:
            if isinstance(step, str) and step in node.keys:
                node = node.keys[step]
            elif isinstance(step, int) and step < len(node.items):
                node = node.items[step]
            else:
                break
        return node.line


@lru_cache(maxsize=32)
def lines_of(text: str) -> Lined:
    """The lines of all that is in a legal TOML text. Treat it as read only."""
    return _Scanner(text).document()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self._ends = [match.start() for match in re.finditer("\n", text)]

    def document(self) -> Lined:
        root = Lined(1)
        table = root
        while self._peek():
            if self._peek() == "[":
                table = self._header(root)
            else:
                self._assign(table)
        return root

    def _peek(self) -> str:
        """The next character that is neither blank nor comment; "" at the end."""
        self.at = _BLANK.match(self.text, self.at).end()  # type: ignore[union-attr]  # it matches nothing too
        return self.text[self.at : self.at + 1]

    def _line(self) -> int:
        return bisect_right(self._ends, self.at - 1) + 1

    def _take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        assert match is not None
        self.at = match.end()
        return match[0]

    def _header(self, root: Lined) -> Lined:
        line = self._line()
        of_array = self.text.startswith("[[", self.at)
        self.at += 1 + of_array
        *path, last = self._key()
        self._peek()
        self.at += 1 + of_array
        node = _inside(root, path, line)
        if of_array:
            node.keys.setdefault(last, Lined(line)).items.append(Lined(line))
        return _inside(node, [last], line)

    def _assign(self, table: Lined) -> None:
        self._peek()
        line = self._line()
        *path, last = self._key()
        self.at += 1
        node = _inside(table, path, line)
        value = self._value()
        # A list of tables written in line has the line of its key; its items have their own.
        node.keys[last] = Lined(line, value.keys, value.items)

    def _key(self) -> list[str]:
        """A key with its dots; the next character then is what ends it."""
        names = []
        while True:
            quote = self._peek()
            if quote == '"':
                names.append(str(tomllib.loads(f"key = {self._take(_STRING)}")["key"]))
            else:
                names.append(self._take(_STRING)[1:-1] if quote == "'" else self._take(_BARE_KEY))
            if self._peek() != ".":
                return names
            self.at += 1

    def _value(self) -> Lined:
        first = self._peek()
        node = Lined(self._line())
        if first in ('"', "'"):
            self._take(_STRING)
        elif first == "[":
            self.at += 1
            while self._peek() != "]":
                node.items.append(self._value())
                self._comma()
            self.at += 1
        elif first == "{":
            self.at += 1
            while self._peek() != "}":
                self._assign(node)
                self._comma()
            self.at += 1
        else:
            self._take(_SCALAR)
        return node

    def _comma(self) -> None:
        if self._peek() == ",":
            self.at += 1


def _inside(node: Lined, path: list[str], line: int) -> Lined:
    """The table at a path; of a list of tables the last one."""
    for key in path:
        node = node.keys.setdefault(key, Lined(line))
        if node.items:
            node = node.items[-1]
    return node
