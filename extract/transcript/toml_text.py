"""TOML that a person has written: its tables, or where it goes wrong."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from extract.errors import InputError

_PLACE = re.compile(r" \(at (?:line ([0-9]+), column [0-9]+|end of document)\)$")

#: The most dots with a key after them on one line. The time that tomllib takes for a key grows with the square of its
#: parts.
_MOST_DOTS = 200
_DOT = re.compile(r"\.[ \t]*+[\w\"'-]")


def parse_toml(path: str | Path, text: str) -> dict[str, Any]:
    """The tables in ``text``, which was read from ``path``. Raises InputError, with the line where it is known."""
    import tomllib

    _check_keys(path, text)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _unparsed(path, text, str(error)) from None
    except (RecursionError, ValueError):
        raise InputError(path, "TOML that does not parse", "write it again") from None


def _check_keys(path: str | Path, text: str) -> None:
    """Refuse what may be a key of very many parts."""
    for number, line in enumerate(text.split("\n"), 1):
        # Dots in quotation marks count too: only the parser knows where those begin and end.
        if line.count(".") > _MOST_DOTS and sum(1 for _ in _DOT.finditer(line)) > _MOST_DOTS:
            problem = f"a line with more than {_MOST_DOTS} dots before letters"
            raise InputError(path, problem, 'write key = "value", and long text on several lines', number)


def _unparsed(path: str | Path, text: str, said: str) -> InputError:
    place = _PLACE.search(said)
    line = None
    if place is not None:
        said = said[: place.start()]
        line = int(place[1]) if place[1] else text.rstrip("\n").count("\n") + 1
    return InputError(path, f"TOML that does not parse ({said})", 'write it as key = "value"', line)
