"""The bout sheet: a table of the bouts that were planned for a session."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from extract.errors import InputError
from extract.rules import UnknownRules, get_ruleset, ruleset_named
from extract.transcript.bout_file import ALIAS_MARK, BOUT_COLUMNS, BoutFile, Side, same_name
from extract.transcript.decode import decode, delimiter_of, read_bytes
from extract.transcript.known import BadResult, Known, known_result, under_rules
from extract.transcript.plain import seen

_LIMIT = 1024 * 1024
_KNOWN = ("label", *BOUT_COLUMNS)


@dataclass(frozen=True, slots=True)
class SheetBout:
    """One row of a bout sheet: the two sides and what else is known, as in a bout file. ``label`` is what the bout is
    called ("125 lb", "Bout 14"). ``line`` is its line in the file."""

    red: Side
    blue: Side
    rules: str | None = None
    edition: str | None = None
    date: str | None = None
    age_group: str | None = None
    label: str | None = None
    line: int = 0
    known: Known | None = None

    def bout_file(self, file: str = "") -> BoutFile:
        """What the row says, as a bout file. ``file`` is named in messages about it."""
        return BoutFile(
            self.rules, self.edition, self.date, self.red, self.blue, self.age_group, file, self.known
        )


@dataclass(frozen=True, slots=True)
class Sheet:
    """The bouts of a session in the planned order, and the file they were read from."""

    bouts: tuple[SheetBout, ...]
    file: str = ""


def read_sheet(path: str | Path) -> Sheet:
    """The bout sheet (CSV with a header row) at ``path``.

    Its columns are named as the keys of a bout file: ``red``, ``red_team``, ``red_aliases`` (separated by ``|``),
    ``red_colour``, the same for blue, ``rules``, ``edition``, ``date``, ``age_group``, ``winner``, ``by``, ``score``,
    ``periods``, and ``label``. Only ``red`` and ``blue`` are needed. Raises InputError, with the line, for an unknown or
    missing column, a row without a name or with one name on both sides, an unknown ruleset, an impossible date or result,
    and a sheet without a bout.
    """
    return sheet_in(read_bytes(path, _LIMIT), path)


def sheet_in(data: bytes, path: str | Path) -> Sheet:
    """The bout sheet in bytes that were read from ``path``. Raises InputError as ``read_sheet``."""
    text = decode(data, str(path))
    reader = csv.reader(io.StringIO(text), delimiter=delimiter_of(text), strict=True)
    header: list[str] | None = None
    bouts: list[SheetBout] = []
    try:
        for row in reader:
            cells = [seen(cell) for cell in row]
            if not any(cells):
                continue
            if header is None:
                header = [cell.casefold().replace(" ", "_") for cell in cells]
                _check_header(path, header, reader.line_num)
                continue
            bouts.append(_bout(path, header, cells, reader.line_num))
    except csv.Error as error:
        remedy = "close each quotation mark in the cell where it opens"
        raise InputError(path, f"no table that can be read ({error})", remedy, reader.line_num) from None
    if not bouts:
        raise InputError(path, "no bout on the sheet", "give a header row and a row for each bout")
    return Sheet(tuple(bouts), str(path))


def _check_header(path: str | Path, header: list[str], line: int) -> None:
    for column in ("red", "blue"):
        if column not in header:
            raise InputError(path, f"no column {column!r}", "head the columns of names red and blue", line)
    for n, column in enumerate(header):
        if column and column not in _KNOWN:
            from extract.lexicon.entries import nearest

            raise InputError(path, f"unknown column {column!r}", nearest(column, _KNOWN), line)
        if column and column in header[:n]:
            raise InputError(path, f"column {column!r} comes twice", "take one of them out", line)


def _bout(path: str | Path, header: list[str], cells: list[str], line: int) -> SheetBout:
    if len(cells) > len(header) and any(cells[len(header) :]):
        problem = f"{len(cells)} cells under {len(header)} columns"
        raise InputError(path, problem, "put a cell that has the delimiter in it in quotation marks", line)
    given = {column: cell for column, cell in zip(header, cells, strict=False) if column and cell}
    for corner in ("red", "blue"):
        if corner not in given:
            raise InputError(path, f"no name in {corner}", "give both names, or take the row out", line)
    if same_name(given["red"], given["blue"]):
        problem = f"the same name on both sides, {given['red']!r}"
        raise InputError(path, problem, "give each side the name of its own athlete", line)
    day = given.get("date")
    if day is not None:
        try:
            day = date.fromisoformat(day).isoformat()
        except ValueError:
            raise InputError(path, f"date {day!r} is no day", "write it as 2026-03-21", line) from None
    rules = given.get("rules")
    if rules is not None:
        try:
            rules = ruleset_named(rules)
        except UnknownRules as error:
            raise InputError(path, error.problem, error.remedy, line) from None
    rest = (rules, given.get("edition"), day, given.get("age_group"), given.get("label"))
    red, blue = _side(given, "red"), _side(given, "blue")
    try:
        result = (given.get("winner"), given.get("by"), given.get("score"))
        known = known_result(*result, red, blue, periods=given.get("periods"), cells=True)
        if rules is not None and known is not None:
            # An edition that there is not is refused with the bout.
            with suppress(UnknownRules):
                under_rules(known, get_ruleset(rules, given.get("edition"), day, given.get("age_group")))
    except BadResult as bad:
        raise InputError(path, bad.problem, bad.remedy, line) from None
    return SheetBout(red, blue, *rest, line, known)


def _side(given: Mapping[str, str], corner: str) -> Side:
    aliases = given.get(f"{corner}_aliases", "").split(ALIAS_MARK)
    return Side(
        given[corner],
        given.get(f"{corner}_team"),
        tuple(alias.strip() for alias in aliases if alias.strip()),
        given.get(f"{corner}_colour"),
    )
