"""The text of a note whose parts stand in several cells of a row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from string import Formatter
from typing import NamedTuple

from extract.transcript.columns import NotesColumn
from extract.transcript.names import listed, wording

#: What stands between two things of a row, such as an award and the score, and between the points of the two
#: athletes.
_BREAK, _BESIDE = "; ", ", "
#: What these cells say is one phrase.
_TOGETHER = frozenset({"who", "action", "points"})


class RowText(NamedTuple):
    """The text of a row. Also, for each place in it and for its end, the place in the row's own text. That is the
    values of its cells without blanks at their ends, in the order of ``columns.ORDER``, joined by a blank."""

    text: str
    origin: list[int]


def row_text(
    columns: Sequence[NotesColumn], row: Sequence[str], period: int | None, *, new_period: bool
) -> RowText:
    """The text that the columns make of a row. The words that heads of columns stand for are added. ``period`` is the
    number of the row's period if it is known. ``new_period`` says that it is the first row of that period."""
    cells = {c: row[c.place].strip() for c in columns if len(row) > c.place and row[c.place].strip()}
    ordinals = listed("say", "ordinals")
    ordinal = ordinals[period - 1] if period is not None else ""
    text, origin, at, before = "", list[int](), 0, ""
    for column, cell in cells.items():
        said = _said(column, cell, cells, ordinal, new_period=new_period)
        if said:
            if text:
                joint = _joint(before, column.role)
                text, origin = text + joint, origin + [at - 1] * len(joint)
            before = column.role
        for piece in said:
            own = piece is cell
            text += piece
            origin += range(at, at + len(piece)) if own else [at] * len(piece)
            at += len(piece) if own else 0
        at += 1 if cell in said else len(cell) + 1
    return RowText(text, [*origin, max(at - 1, 0)])


def _joint(before: str, role: str) -> str:
    if before in _TOGETHER and role in _TOGETHER:
        return " "
    return _BESIDE if before == role == "running" else _BREAK


def _said(
    column: NotesColumn, cell: str, cells: Mapping[NotesColumn, str], ordinal: str, *, new_period: bool
) -> list[str]:
    """What stands for a cell: the value itself, which is the same object, and added words. Nothing if other cells
    have said it."""
    if column.role == "clock":
        return _worded("clock_in" if ordinal else "clock", cell, ordinal)
    if column.role == "period":
        clocked = any(c.role == "clock" for c in cells)
        if not new_period or (ordinal and clocked):
            return []
        return _worded("period", cell, ordinal) if ordinal else [cell]
    if column.role == "points":
        code = next((value for c, value in cells.items() if c.role == "action"), "")
        if not cell.strip("+0") or code[-1:] == cell.lstrip("+"):
            return []
        return _worded("points", cell, "") if cell.isdecimal() else [cell]
    if column.role in ("side", "running"):
        return [f"{column.head} ", cell]
    return [cell]


def _worded(key: str, cell: str, ordinal: str) -> list[str]:
    """A wording of ``names.toml`` with the value and the ordinal in their places."""
    out = []
    for literal, field, _, _ in Formatter().parse(wording("say", key)):
        out += [literal] if literal else []
        out += [cell if field == "value" else ordinal] if field else []
    return out
