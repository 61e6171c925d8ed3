"""The end of the bout as it was known beforehand, against the record's."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding
from extract.checks.sides import leading
from extract.log.known import known_at_ends, won


def check_known(bout: BoutRead) -> Iterator[Finding]:
    """A flag for each part of the known end that the talk contradicts. The record keeps what the talk gives."""
    known, log = bout.log.known, bout.log
    if known is None or not bout.understood:
        return
    for period, t, board, read_at in known_at_ends(log):
        if board != read_at:
            why = (
                f"The score at the end of period {period} known beforehand is {leading(bout.sides, board)}, "
                f"but the bout as it is told has {leading(bout.sides, read_at)} there."
            )
            yield Finding("known", "warning", t, None, board, read_at, why)
    outcome = won(log.outcome, log, bout.mentions)
    of_bout = (
        ("winner", known.winner, outcome.winner or "nobody"),
        ("way of winning", known.by, outcome.by),
        ("final score", known.score, log.best.score),
    )
    for what, given, read in of_bout:
        if given is not None and given != read:
            told, is_read = (
                bout.sides.named(value) if isinstance(value, str) else leading(bout.sides, value)
                for value in (given, read)
            )
            why = f"The {what} known beforehand is {told}, but the bout as it is told ends with {is_read}."
            yield Finding("known", "warning", log.frame.end, None, given, read, why)
