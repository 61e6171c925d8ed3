"""The points and warnings in the log of a running bout, each with a name that stays while it is in the log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extract.checks.sides import Sides, entry_text
from extract.live.model import LiveCall
from extract.live.parameters import live_parameters
from extract.log.to_log import SAME_S
from extract.record.model import Event, Record
from extract.rules.base import UNLISTED


class Calls:
    """The calls of one bout as they now are. ``update`` gives those that are no longer in the log."""

    def __init__(self, bout: int, held: Sequence[LiveCall] = ()) -> None:
        self._bout = bout
        self.held = tuple(held)
        self._last = max((int(call.id.rpartition(".")[2]) for call in held), default=0)

    def update(self, record: Record, sides: Sides, now: float, *, over: bool = False) -> tuple[LiveCall, ...]:
        """Take up the log as it is at ``now``. Gives the calls that have gone. Of a bout that is ``over`` none is
        tentative."""
        left = list(self.held)
        out = []
        for event in record.events:
            if event.kind in UNLISTED or (
                not event.points and event.corner is None and event.against is None
            ):
                continue
            known = min(
                (call for call in left if _same(call, event)), key=lambda c: abs(c.t - event.t), default=None
            )
            if known is not None:
                left.remove(known)
            call = self._call(event, known, sides, now)
            out.append(replace(call, tentative=False) if over else call)
        self.held = tuple(out)
        return tuple(left)

    def _call(self, event: Event, known: LiveCall | None, sides: Sides, now: float) -> LiveCall:
        if known is None:
            self._last += 1
        table = live_parameters().table("board")
        told = known.t if known is not None else event.t
        tentative = event.decided is None and (
            now - told < table["tentative_s"] or event.confidence < table["sure"]
        )
        call = LiveCall(
            id=known.id if known is not None else f"{self._bout}.{self._last}",
            bout=self._bout,
            t=event.t,
            period=event.period,
            clock_s=event.clock_s,
            kind=event.kind,
            corner=event.corner or event.against,
            points=event.points,
            text=entry_text(sides, event.kind, event.corner, event.against, event.points),
            score_after=event.score_after,
            status=event.status,
            source="said" if event.basis == "called" else "inferred",
            confidence=event.confidence,
            tentative=tentative,
        )
        if known is not None and abs(known.t - call.t) < 1.0:
            # A moment that is weighed anew is no change.
            call = replace(call, t=known.t)
        return call


def _same(call: LiveCall, event: Event) -> bool:
    """Whether a call that is held is this event."""
    return (
        call.corner == (event.corner or event.against)
        and call.points == event.points
        and (bool(event.points) or call.kind == event.kind)
        and abs(call.t - event.t) <= SAME_S
    )
