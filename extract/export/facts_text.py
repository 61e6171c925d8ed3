"""The fact sheet as plain text of 80 columns."""

from __future__ import annotations

from collections.abc import Sequence
from io import StringIO

from rich.console import Console
from rich.padding import Padding
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

    def lines(*texts: str) -> None:
        for text in texts:
            console.print(Text(text, overflow="fold"))

    names = [f"{s.name} ({', '.join(filter(None, (s.corner, s.more)))})" for s in sheet.sides]
    lines(sheet.title, "", sheet.counts, "")
    head = (("Bout", " against ".join(names)), ("Result as computed", sheet.result), *sheet.head)
    console.print(_grid([(f"{heading}:", text) for heading, text in head]))
    lines("", sheet.note)
    for heading, facts, should in (
        ("Wrong", sheet.wrong, "should be"),
        ("Unclear", sheet.unclear, "computed"),
    ):
        if facts:
            lines("", heading)
        for fact in facts:
            lines("", f"{fact.place}: {fact.head.upper()}{f' (confidence {fact.sure})' if fact.sure else ''}")
            for text in _about(fact, should):
                console.print(Padding(Text(text, overflow="fold"), (0, 0, 0, 2)))
    if sheet.right:
        lines("", "Right", "")
        console.print(_grid([(f.time, f.says, f'"{f.spoken.words}"') for f in sheet.right]))
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())


def _about(fact: Fact, should: str) -> Sequence[str]:
    s = fact.spoken
    line = f'{f"{s.speaker}: " if s.speaker else ""}"{s.before}{s.words}{s.after}"' if s.words else ""
    values = f"said {fact.says}; {should} {fact.should_be}" if fact.says and fact.should_be else ""
    return [text for text in (line, fact.again, values, fact.why, fact.correction) if text]


def _grid(rows: list[tuple[str, ...]]) -> Table:
    grid = Table.grid(padding=(0, 2, 0, 0))
    for n in range(len(rows[0])):
        grid.add_column(no_wrap=n == 0, overflow="fold")
    for row in rows:
        grid.add_row(*map(Text, row))
    return grid
