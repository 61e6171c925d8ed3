"""Awards that only the scores said show."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding
from extract.checks.words import award_text, span_text
from extract.log.known import shown_by_known


def check_uncalled(bout: BoutRead) -> Iterator[Finding]:
    """Awards that nobody called."""
    log = bout.log
    for n, event in enumerate(log.events):
        move = event.entry.move
        by_itself = event.entry.review is None and log.facts.decided(event.entry) is None
        if event.entry.basis == "inferred" and move.points and by_itself:
            known = shown_by_known(log, event)
            shows = f"{known} shows" if known is not None else "the scores said show"
            why = (
                f"Nobody called {award_text(move.kind, move.corner, move.points)}; only {shows} it, "
                f"some time {span_text(event.low, event.high, log.order)}."
            )
            yield Finding("uncalled", "note", event.t, None, None, event.score_after, why, (("event", n),))
