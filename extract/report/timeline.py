"""The score over time as a drawing: the places of steps, marks and bands, in units of the SVG's view box."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from extract.checks.sides import leading, points_text
from extract.checks.words import clock_text, moment_text
from extract.record.bout_words import VERDICTS, ending_text, short_sides
from extract.record.model import Record
from extract.record.plain import stated
from extract.rules.base import BOUNDS, CORNERS, Corner

WIDTH, HEIGHT = 1000.0, 330.0
_LEFT, _RIGHT, _TOP, _FLOOR = 34.0, 935.0, 22.0, 230.0
#: The lanes under the steps, for stated scores and for challenges. A stated score that has no room beside the last
#: one goes into the second row.
SAID_Y, CHALLENGE_Y, AXIS_Y = (254.0, 275.0), 292.0, 318.0
_APART = 11.0
#: Half the size of a mark.
_HALF = 5.0


@dataclass(frozen=True, slots=True)
class Steps:
    """One corner's score over time: the path, and the place of the label at its end."""

    corner: Corner
    path: str
    label: str
    y: float


@dataclass(frozen=True, slots=True)
class Dot:
    """Something at a moment. ``href`` is the anchor of its entry, ``label`` its words, ``shape`` its path, and
    ``sort`` its class in the style sheet. ``text`` is written over it, or ``beside`` it."""

    x: float
    y: float
    shape: str
    sort: str
    href: str
    label: str
    text: str = ""
    beside: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of time: a period, or a challenge until its outcome."""

    x: float
    width: float
    label: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Timeline:
    """The whole drawing, and what it shows in one sentence."""

    steps: tuple[Steps, ...]
    dots: tuple[Dot, ...]
    periods: tuple[Band, ...]
    challenges: tuple[Band, ...]
    ticks: tuple[tuple[float, str], ...]
    levels: tuple[tuple[float, int], ...]
    summary: str


@dataclass(frozen=True, slots=True)
class _Scale:
    """Times from ``begins`` on for ``seconds``, and scores up to ``most``."""

    begins: float
    seconds: float
    most: int

    def x(self, t: float) -> float:
        share = (t - self.begins) / self.seconds
        return round(_LEFT + (_RIGHT - _LEFT) * min(max(share, 0.0), 1.0), 1)

    def y(self, score: int) -> float:
        return round(_FLOOR - (_FLOOR - _TOP) * score / self.most, 1)


def timeline(record: Record) -> Timeline:
    """The drawing of a bout."""
    most = max([1, *(score for entry in record.board for score in (entry.red, entry.blue))])
    begins = record.source.begins
    scale = _Scale(begins, max(record.source.seconds - begins, 1.0), most)
    return Timeline(
        tuple(_steps(record, scale)),
        (*_events(record, scale), *_said(record, scale)),
        tuple(_periods(record, scale)),
        tuple(_challenges(record, scale)),
        tuple((scale.x(t), label) for t, label in axis_marks(record, scale.seconds)),
        tuple((scale.y(score), score) for score in _levels(most)),
        f"Score over time: {ending_text(record, short_sides(record))}; {len(record.statements)} scores were stated.",
    )


def _steps(record: Record, scale: _Scale) -> Iterator[Steps]:
    ends = record.result.score
    sides = short_sides(record)
    for k, corner in enumerate(CORNERS):
        path = f"M{scale.x(scale.begins)} {scale.y(0)}"
        for entry in record.board:
            path += f"H{scale.x(entry.t)}V{scale.y(getattr(entry, corner))}"
        path += f"H{_RIGHT}"
        y = scale.y(ends[k])
        # If the score ends level, red's label is above blue's.
        y += (-7.0 if corner == "red" else 7.0) if abs(scale.y(ends[0]) - scale.y(ends[1])) < 14 else 0.0
        yield Steps(corner, path, f"{sides.name(corner)} {ends[k]}", round(y + 4, 1))


def _events(record: Record, scale: _Scale) -> Iterator[Dot]:
    sides = short_sides(record)
    for event in record.events:
        if not event.points or event.corner is None:
            continue
        k = CORNERS.index(event.corner)
        x, y = scale.x(event.t), scale.y(event.score_after[k])
        gone = ", overturned" if event.status == "overturned" else ""
        seen = ", not mentioned on air" if event.basis == "inferred" else ""
        at = moment_text(event.t, record.source.order)
        label = (
            f"{at} {points_text(sides, event.kind, event.corner, event.points)}"
            f"{gone}{seen}: {leading(sides, event.score_after)}"
        )
        sort = f"event {event.corner} {event.basis} {event.status}"
        yield Dot(x, y, _shape(event.corner, x, y), sort, event.id, label)


def _shape(corner: Corner, x: float, y: float) -> str:
    """A triangle for red, a square for blue, so that they differ without colour."""
    if corner == "red":
        return f"M{x - _HALF} {y + _HALF}L{x} {y - _HALF}L{x + _HALF} {y + _HALF}Z"
    return f"M{x - _HALF} {y - _HALF}H{x + _HALF}V{y + _HALF}H{x - _HALF}Z"


def _said(record: Record, scale: _Scale) -> Iterator[Dot]:
    """The stated scores on a lane of their own: a ring if one agrees, a cross with its numbers if not."""
    last = [-_APART] * len(SAID_Y)
    sides = short_sides(record)
    for statement in record.statements:
        x = scale.x(statement.t)
        row = next((row for row, at in enumerate(last) if x >= at + _APART), last.index(min(last)))
        # If no row has room, it moves on a little, so that nothing lies wholly under its neighbour.
        x = last[row] = max(x, last[row] + _APART)
        y = SAID_Y[row]
        said = stated(statement, sides)
        label = f"{moment_text(statement.t, record.source.order)} said {said}: {VERDICTS[statement.verdict]}"
        text = said if statement.verdict == "disagrees" else "?" if statement.verdict == "unclear" else ""
        if statement.verdict == "disagrees":
            shape = f"M{x - 5} {y - 5}L{x + 5} {y + 5}M{x - 5} {y + 5}L{x + 5} {y - 5}"
        else:
            shape = f"M{x - 4} {y}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0"
        yield Dot(x, y, shape, f"said {statement.verdict}", statement.id, label, text, row > 0)


def _periods(record: Record, scale: _Scale) -> Iterator[Band]:
    starts = [(e.t, e.period) for e in record.events if e.kind == "period_start"]
    ends = {e.period: e.t for e in record.events if e.kind in BOUNDS and e.kind != "period_start"}
    for k, (t, period) in enumerate(starts):
        following = starts[k + 1][0] if k + 1 < len(starts) else record.source.seconds
        x = scale.x(t)
        yield Band(x, round(scale.x(ends.get(period, following)) - x, 1), f"Period {period}")


def _challenges(record: Record, scale: _Scale) -> Iterator[Band]:
    sides = short_sides(record)
    for challenge in record.challenges:
        until = challenge.t_outcome if challenge.t_outcome is not None else challenge.t + 5.0
        x = scale.x(challenge.t)
        by = sides.name(challenge.by) if challenge.by else "?"
        yield Band(x, max(round(scale.x(until) - x, 1), 6.0), f"{by}: {challenge.outcome}", challenge.id)


def tick_step(seconds: float) -> int:
    """How many seconds lie between two marks of a time axis of this length."""
    return next(
        (s for s in (30, 60, 120, 300, 600, 1800) if seconds / s <= 12),
        3600 * _round_step(seconds / 3600, 12),
    )


def axis_marks(record: Record, seconds: float) -> Iterator[tuple[float, str]]:
    """The marks of the axis of times: full minutes and the like, or some lines of an account without times."""
    begins, order = record.source.begins, record.source.order
    if order is None:
        yield from ((t, clock_text(t)) for t in _ticks(begins, seconds))
        return
    step = _round_step(seconds / order.step_s, 12) * order.step_s
    count = int(seconds / step) + 1
    yield from ((begins + k * step, moment_text(begins + k * step, order)) for k in range(count))


def _ticks(begins: float, seconds: float) -> Iterator[float]:
    step = tick_step(seconds)
    t = math.ceil(begins / step) * step
    while t <= begins + seconds:
        yield t
        t += step


def _levels(most: int) -> Iterator[int]:
    yield from range(0, most + 1, _round_step(most, 6))


def _round_step(length: float, marks: int) -> int:
    """The least of 1, 2, 5, 10, 20, 50 and so on that divides a length into no more than this many steps."""
    tens = 1
    while True:
        for step in (tens, 2 * tens, 5 * tens):
            if length / step <= marks:
                return step
        tens *= 10
