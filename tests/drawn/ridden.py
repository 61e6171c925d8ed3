"""The balance of riding time of a drawn bout, and that of a record."""

from __future__ import annotations

from extract.record.model import Record
from extract.rules.riding import Hold, riding_balance
from tests.drawn.drawn_bout import DrawnBout


def ridden(drawn: DrawnBout) -> float:
    """Red's seconds of control less blue's in the regulation of a drawn bout."""
    holds: list[Hold] = []
    moves, since, top = [], 0.0, None
    for event in drawn.events:
        if event.off is not None or event.period > len(drawn.rules.period_seconds):
            continue
        if top is not None:
            holds.append(Hold(top, since - event.clock))
        moves.append(event.move)
        since, top = event.clock, drawn.rules.replay(moves).control
    return riding_balance(holds)


def signed(record: Record) -> tuple[float, float]:
    """Red's seconds of control less blue's at the end of regulation in a record, and how far they may be off."""
    last = [ride for ride in record.riding_time if ride.period <= 3][-1]
    return (last.seconds if last.leader == "red" else -last.seconds), last.uncertainty_s
