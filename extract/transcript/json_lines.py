"""JSON Lines: a segment of a speech recogniser a line, as programs write them while they listen."""

from __future__ import annotations

import json
from typing import Any


def segment_in(line: str) -> dict[str, Any] | None:
    """The segment that a line is: an object with ``start`` and ``text``. None if it is none.

    >>> segment_in('{"start": 1, "end": 3, "text": "Two."}')["text"]
    'Two.'
    """
    if not line.lstrip().startswith("{"):
        return None
    try:
        found = json.loads(line, strict=False)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) and "start" in found and "text" in found else None


def is_json_lines(text: str) -> bool:
    """Whether the first line of a text that is not empty is a segment by itself."""
    return segment_in(text.lstrip().split("\n", 1)[0]) is not None


def as_list(text: str) -> str:
    """JSON Lines as one list, with each segment on the line where it stands."""
    lines = text.split("\n")
    filled = [i for i, line in enumerate(lines) if line.strip()]
    for i in filled[:-1]:
        lines[i] += ","
    return "[" + "\n".join(lines) + "]"
