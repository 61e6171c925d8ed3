"""Where a key stands in a TOML file, for messages. The parser of the standard library does not say."""

from __future__ import annotations

import re
from collections.abc import Iterable


def line_of_key(lines: Iterable[str], key: str, table: str | None) -> int | None:
    """The line of a key in a table (None: of the whole file). If it is not written in one of the usual ways, the line
    of the table's head.

    >>> line_of_key(["[beam]", "width = 64"], "width", "beam")
    2
    """
    inside: str | None = None
    opened = None
    name = rf"[\"']?{re.escape(key)}[\"']?"
    for number, line in enumerate(lines, 1):
        if head := re.match(r"\s*\[+\s*[\"']?([^\]\"']+?)[\"']?\s*\]", line):
            inside = head[1]
            if inside == (table or key):
                opened = number
                if table is None and inside == key:
                    return number
        elif inside == table and re.match(rf"\s*{name}\s*[=.]", line):
            return number
        elif table is not None and inside is None and re.match(rf"\s*{re.escape(table)}\s*[=.]", line):
            opened = number
            if re.search(rf"[{{,.]\s*{name}\s*=", line):
                return number
    return opened
