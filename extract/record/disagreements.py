"""The disagreements of a record in the form of a compiler's messages, one a line."""

from __future__ import annotations

from extract.checks.sides import Sides
from extract.checks.understood import NOTHING, SEVERAL
from extract.checks.words import clock_text
from extract.record.bout_words import short_sides
from extract.record.flag_words import value_text
from extract.record.model import Flag, Record, Statement
from extract.record.plain import printable, stated
from extract.transcript.cue import Order


def disagreements(record: Record) -> tuple[Statement | Flag, ...]:
    """What was said and does not fit the log, by time.

    These are the statements that disagree, the other flags above a note that compare something said with something
    computed, and the flags that nothing was understood or that the page has several bouts.
    """
    statements = [statement for statement in record.statements if statement.verdict == "disagrees"]
    listed = {statement.id for statement in statements}
    flags = [
        flag
        for flag in record.flags
        if flag.kind in (NOTHING, SEVERAL)
        or (
            flag.severity != "note"
            and None not in (flag.said, flag.computed)
            and flag.said != flag.computed
            and listed.isdisjoint(flag.refs)
        )
    ]
    return tuple(sorted((*statements, *flags), key=lambda item: item.t))


def disagreement_lines(record: Record, file: str) -> tuple[str, ...]:
    """A line for each disagreement: ``file:cue:time: said 3-1 Varnholt; should be 3-0 Varnholt: why``.

    ``cue`` is the number of the cue, ``time`` is in minutes and seconds of the recording. A flag without a cue has 0
    there. If nothing was said, the line has only why. For an account without times it begins with ``file:line:``.
    """
    sides = short_sides(record)
    return tuple(_line(item, printable(file), sides, record.source.order) for item in disagreements(record))


def _line(item: Statement | Flag, file: str, sides: Sides, order: Order | None) -> str:
    said = stated(item, sides) if isinstance(item, Statement) else value_text(item.said, sides)
    computed = value_text(item.computed, sides)
    at = f"{item.cue or 0}:{clock_text(item.t)}" if order is None else str(order.line(item.t))
    place = f"{file}:{at}"
    if not said and not computed:
        return f"{place}: {printable(item.why)}"
    return f"{place}: said {said}; should be {computed}: {printable(item.why)}"
