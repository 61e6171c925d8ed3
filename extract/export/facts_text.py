"""The fact sheet as plain text of 80 columns."""

from __future__ import annotations

from io import StringIO

from rich.console import Console
from rich.table import Table
from rich.text import Text

from extract.export.facts import Fact, FactSheet

WIDTH = 80


def facts_text(sheet: FactSheet) -> str:
    """The sheet, wrapped to 80 columns as a terminal counts them, without styles."""
    out = StringIO()
    # It goes through Text with no guessing. Else rich would read square brackets and colons as markup and emoji.
    console = Console(
        file=out, width=WIDTH, force_terminal=False, color_system=None, highlight=False, emoji=False
    )
    console.print(Text(sheet.title))
    console.print()
    console.print(_grid([(f"{heading}:", text) for heading, text in sheet.head]))
    console.print()
    console.print(Text(sheet.note))
    console.print()
    console.print(Text(sheet.counts[:1].upper() + sheet.counts[1:]))
    if sheet.facts:
        console.print()
        console.print(_grid([(fact.time, fact.verdict, _lines(fact)) for fact in sheet.facts]))
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())


def _grid(rows: list[tuple[str, ...]]) -> Table:
    grid = Table.grid(padding=(0, 2, 0, 0))
    for _ in rows[0][:-1]:
        grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    for row in rows:
        grid.add_row(*map(Text, row))
    return grid


def _lines(fact: Fact) -> str:
    said = f'"{fact.words}": {fact.says}'
    if fact.verdict == "right" and fact.says == fact.score:
        return f"{said}, right"
    return "\n".join(line for line in (said, f"should be {fact.score}", fact.correction) if line)
