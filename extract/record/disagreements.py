"""The disagreements of a record in the form of a compiler's messages, one a line."""

from __future__ import annotations

from extract.checks.understood import NOTHING, SEVERAL
from extract.checks.words import clock_text, score_text
from extract.record.model import Flag, Record, Statement
from extract.record.plain import printable, score_or_words, stated
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
    """A line for each disagreement: ``file:cue:time: said 3-1, computed 3-0: why``.

    ``cue`` is the number of the cue, ``time`` is in minutes and seconds of the recording, and scores are red first. A
    flag without a cue has 0 there. If nothing was said, the line has only why. For an account without times it begins with
    ``file:line:``.
    """
    return tuple(_line(item, printable(file), record.source.order) for item in disagreements(record))


def _line(item: Statement | Flag, file: str, order: Order | None) -> str:
    if isinstance(item, Statement):
        said, computed = stated(item.said, item.margin, item.leader), score_text(item.computed)
    else:
        said, computed = score_or_words(item.said), score_or_words(item.computed)
    at = f"{item.cue or 0}:{clock_text(item.t)}" if order is None else str(order.line(item.t))
    place = f"{file}:{at}"
    if not said and not computed:
        return f"{place}: {printable(item.why)}"
    return f"{place}: said {said}, computed {computed}: {printable(item.why)}"
