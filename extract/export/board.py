"""The computed board as a row of states, and the stretches of the recording that the periods take."""

from __future__ import annotations

from dataclasses import dataclass

from extract.record.model import BoardEntry, Event, Pair, Record
from extract.rules.board import board_at
from extract.rules.kinds import kinds_that

#: A record's times are rounded to hundredths.
_SAME_S = 0.011
#: The shortest stretch that is written, in seconds. WebVTT has thousandths, and every cue needs a length.
LEAST_S = 0.001
_ENDS = kinds_that("end") | {"bout_end"}
#: Start, end, name, and the number of the period if it is one.
_Part = tuple[float, float, str, int | None]


@dataclass(frozen=True, slots=True)
class BoardState:
    """What the board shows from ``start`` to ``end``, seconds. ``period`` is 0 before the first. ``event`` is the
    kind of the event that brought it. It is ``review`` if a challenge took points off, ``correction`` if they went
    without one, and None for the state at the start."""

    start: float
    end: float
    score: Pair
    period: int
    event: str | None


@dataclass(frozen=True, slots=True)
class BoardStretch:
    """A part of the recording, in seconds, with the board at its start and its end. ``period`` is None if no bout is
    going on; ``name`` then says what is."""

    start: float
    end: float
    name: str
    period: int | None
    before: Pair
    after: Pair


def end_of(record: Record) -> float:
    """The end of the recording as far as it is known, in seconds: the end of its last cue, or of what comes after
    it."""
    return max(record.source.seconds, *(e.t for e in record.events), *(b.t for b in record.board), 0.0)


def board_states(record: Record) -> tuple[BoardState, ...]:
    """Every state of the board in order; each lasts to the next, the last one to the end of the recording."""
    close = end_of(record)
    out: list[BoardState] = []
    for entry, following in zip(record.board, (*record.board[1:], None), strict=False):
        end = max(close, entry.t + LEAST_S) if following is None else following.t
        if end - entry.t >= LEAST_S:
            out.append(BoardState(entry.t, end, (entry.red, entry.blue), *_brought_by(record, entry)))
    return tuple(out)


def _brought_by(record: Record, entry: BoardEntry) -> tuple[int, str | None]:
    """The period in which a state of the board came, and the kind of what brought it."""
    score = entry.red, entry.blue
    started = [e.period for e in record.events if e.kind == "period_start" and e.t <= entry.t + _SAME_S]
    period = max(started, default=0)
    for event in reversed(record.events):
        if event.points and abs(event.t - entry.t) < _SAME_S and event.score_after == score:
            return event.period, event.kind
    if entry is record.board[0]:
        return period, None
    reviews = (c.t_outcome for c in record.challenges if c.t_outcome is not None)
    return period, "review" if any(abs(t - entry.t) < _SAME_S for t in reviews) else "correction"


def stretches(record: Record) -> tuple[BoardStretch, ...]:
    """The recording, or the bout's part of it, in stretches: before the bout, each period, each break, after the
    bout. If the log has no end of the bout, the last period lasts to the end of the recording. If the log has no
    period, there is one stretch, the bout."""
    starts = [event for event in record.events if event.kind == "period_start"]
    begins, close = record.source.begins, end_of(record)
    parts: list[_Part] = (
        [(begins, starts[0].t, "Before the bout", None)] if starts else [(begins, close, "Bout", 1)]
    )
    for event, following in zip(starts, (*starts[1:], None), strict=False):
        limit = close if following is None else following.t
        end = _end_of_period(record, event, limit)
        parts.append((event.t, end, f"Period {event.period}", event.period))
        parts.append((end, limit, "Break" if following else "After the bout", None))
    out: list[BoardStretch] = []
    board: Pair = (0, 0)
    for start, end, name, period in parts:
        if end - start >= LEAST_S:
            # Points at the very moment of a whistle or a horn belong to the period.
            after = board_at(record.board, end - (LEAST_S if period is None and end < close else 0.0))
            out.append(BoardStretch(start, end, name, period, board, after))
            board = after
    return tuple(out)


def _end_of_period(record: Record, start: Event, limit: float) -> float:
    ends = (
        event.t
        for event in record.events
        if start.t < event.t <= limit
        and event.status == "stands"
        and (event.kind in _ENDS or (event.kind == "period_end" and event.period == start.period))
    )
    return min(ends, default=limit)
