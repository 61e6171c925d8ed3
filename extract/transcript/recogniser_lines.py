"""Finds the line of one item in a JSON text, for messages. The json module does not say where it has read an item."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from itertools import islice

_BLANK = re.compile(r"[ \t\n]*")
_DECODER = json.JSONDecoder(strict=False)


def line_of_item(text: str, key: str | None, k: int) -> int:
    """The line, from 1, of item ``k`` of the list at ``key`` of the object in ``text``. If ``key`` is None, ``text``
    is the list itself. ``text`` must be JSON that has that item.

    >>> line_of_item('{"segments": [1,\\n2]}', "segments", 1)
    2
    """
    return next(islice(lines_of_items(text, key), k, None))


def lines_of_items(text: str, key: str | None) -> Iterator[int]:
    """The lines of the items of such a list, one after the other. There are no more than it has items."""
    at = _skip(text, 0) + 1
    if key is not None:
        at = _list_at(text, at, key) + 1
    line, seen = 1, 0
    while True:
        at = _skip(text, at)
        line += text.count("\n", seen, at)
        seen = at
        yield line
        _, at = _DECODER.raw_decode(text, at)
        # Over the comma.
        at = _skip(text, at) + 1


def _list_at(text: str, at: int, key: str) -> int:
    """The last list at ``key``: if a key is given twice, the json module keeps the last."""
    found = at
    at = _skip(text, at)
    while text[at] == '"':
        name, at = _DECODER.raw_decode(text, at)
        at = _skip(text, _skip(text, at) + 1)
        if name == key and text[at] == "[":
            found = at
        _, at = _DECODER.raw_decode(text, at)
        at = _skip(text, at)
        if text[at] == ",":
            at = _skip(text, at + 1)
    return found


def _skip(text: str, at: int) -> int:
    match = _BLANK.match(text, at)
    return match.end() if match is not None else at
