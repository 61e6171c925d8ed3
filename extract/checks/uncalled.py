"""Points that only the scores said show."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding
from extract.checks.sides import points_text
from extract.checks.words import span_text
from extract.log.known import shown_by_known


def check_uncalled(bout: BoutRead) -> Iterator[Finding]:
    """Points that nobody mentioned."""
    log = bout.log
    for n, event in enumerate(log.events):
        move = event.entry.move
        by_itself = event.entry.review is None and log.facts.decided(event.entry) is None
        if event.entry.basis == "inferred" and move.points and by_itself:
            known = shown_by_known(log, event)
            implied = f"{known} implies" if known is not None else "the scores said imply"
            why = (
                f"Nobody mentioned {points_text(bout.sides, move.kind, move.corner, move.points)}; {implied} it, "
                f"some time {span_text(event.low, event.high, log.order)}."
            )
            yield Finding("uncalled", "note", event.t, None, None, event.score_after, why, (("event", n),))
