"""The fields of a bout file as columns of a list or a table, and a row of them as a bout file."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping

from extract.errors import InputError
from extract.rules.base import CORNERS
from extract.transcript.bout_file import ALIAS_MARK, PLAIN_KEYS, SIDE_KEYS, side_column
from extract.transcript.known import RESULT_KEYS


def tellable(text: str) -> str:
    """A text that every table can hold. Halves of surrogate pairs, which a JSON escape or a file's name can bring in,
    become escapes."""
    return text.encode("utf-8", "backslashreplace").decode()


def check_columns(file: str, found: Iterable[str], needed: Iterable[str], known: Iterable[str]) -> None:
    """Check that a table has the columns it needs and none twice. Raises InputError. Columns that are not ``known``
    may hold anything. But a column that begins like those of a corner, or is nearly a known one, is a slip of the
    pen."""
    from rapidfuzz import process

    names, known = list(found), tuple(known)
    for name in needed:
        if name not in names:
            raise InputError(
                file, f"has no column {name!r}", f"give it one; known columns are {', '.join(known)}", 1
            )
    for name in names:
        if name and names.count(name) > 1:
            raise InputError(file, f"has the column {name!r} twice", "name each column once", 1)
        if name in known or not name:
            continue
        low = name.lower().replace(".", "_").replace(" ", "_")
        corner = next((corner for corner in CORNERS if low.startswith(f"{corner}_")), None)
        nearest = process.extractOne(low, known, score_cutoff=0 if corner else 84)
        if nearest is not None:
            meant = corner if corner and low == f"{corner}_name" else nearest[0]
            problem = f"has a column {name!r}, which says nothing here"
            raise InputError(file, problem, f"did you mean {meant!r}? Else give it another name", 1)


def bout_file_of(row: Mapping[str, str | None]) -> bytes | None:
    """What a row says of its bout, as a bout file. None if it says nothing."""
    lines = [f"{key} = {_quoted(row[key])}" for key in PLAIN_KEYS if _said(row.get(key))]
    for corner in CORNERS:
        side = []
        for key in SIDE_KEYS:
            value = row.get(side_column(corner, key))
            if value is None or not value.strip():
                continue
            if key == "aliases":
                side.append(
                    f"aliases = [{', '.join(_quoted(each) for each in value.split(ALIAS_MARK) if each.strip())}]"
                )
            else:
                side.append(f"{key} = {_quoted(value)}")
        if side:
            lines += [f"[{corner}]", *side]
    if result := [f"{key} = {_quoted(row[key])}" for key in RESULT_KEYS if _said(row.get(key))]:
        lines += ["[result]", *result]
    return "\n".join([*lines, ""]).encode() if lines else None


def _said(value: str | None) -> bool:
    return value is not None and bool(value.strip())


def _quoted(value: str | None) -> str:
    """A TOML string. Its escapes are those of JSON, and one for DEL (TOML 1.0, section String)."""
    return json.dumps((value or "").strip(), ensure_ascii=False).replace("\x7f", "\\u007F")
