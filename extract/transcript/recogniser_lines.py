"""Finds the line of one item in a JSON text, for messages; the json module tells no lines of what it has read."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from itertools import islice

_BLANK = re.compile(r"[ \t\n]*")
_DECODER = json.JSONDecoder(strict=False)


def line_of_item(text: str, key: str | None, k: int) -> int:
    """The line, from 1, of item ``k`` of the list at ``key`` of the object in ``text``, or of the list that
    ``text`` is where ``key`` is None. ``text`` must be JSON that has that item.

    >>> line_of_item('{"segments": [1,\\n2]}', "segments", 1)
    2
    """
    return next(islice(lines_of_items(text, key), k, None))


def lines_of_items(text: str, key: str | None) -> Iterator[int]:
    """The lines of the items of such a list one after the other, as many as it has; asked for no more."""
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
    """The last list at ``key``: of keys given twice the json module keeps the last."""
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
