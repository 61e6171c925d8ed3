"""The score and the clock of a running bout, with what comes next under the rules: what one more award would make of the
score, and what each side needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extract.checks import BoutRead
from extract.checks.sides import Sides, leading
from extract.checks.words import kind_text
from extract.live.model import Board, LiveSide, WouldBe
from extract.live.parameters import live_parameters
from extract.record.bout_words import ending_text, short_sides
from extract.record.level import level_reason
from extract.record.model import Record
from extract.rules.base import CORNERS, Corner, Move, Ruleset, State
from extract.rules.board import board_at
from extract.rules.family import of

#: The awards that are told beforehand, as far as the style has them.
_NEXT = ("takedown", "step_out", "escape", "reversal", "hit")
#: So many kinds are told.
_KINDS = 2


def board_of(read: BoutRead, record: Record, bout: int, now: float) -> Board:
    """The board of a running bout at ``now``, seconds of recording, the end of what was heard. ``bout`` is its number."""
    log, rules, state = read.log, read.rules, read.log.best.state
    sides = short_sides(record)
    over = state.over is not None or _has_run_out(read, now)
    clock = log.frame.clock_at(now) if state.running and not over else None
    since = log.board[-1][0]
    sure = sum(reading.share for reading in log.readings if reading.hypothesis.score == state.score)
    table = live_parameters().table("board")
    leader, leads_by, why = _leads(read, sides)
    on_clock, left = _activity(read, now)
    return Board(
        bout=bout,
        t=round(now, 2),
        rules=rules.name,
        edition=rules.edition,
        red=_side(record, state, sides, "red", rules),
        blue=_side(record, state, sides, "blue", rules),
        confidence=round(min(sure, 1.0), 4),
        since=round(since, 2),
        tentative=(now - since < table["tentative_s"] and any(state.score)) or sure < table["sure"],
        period=state.period,
        clock_s=None if clock is None else clock[0],
        clock_uncertainty_s=None if clock is None else clock[1],
        activity=on_clock,
        activity_s=left,
        leader=leader,
        leads_by=leads_by,
        why=why,
        would_be=tuple(_next(rules, state, sides)) if not over else (),
        needs=tuple(_needs(rules, state, sides)) if not over else (),
        over=ending_text(record, sides) if over else "",
    )


def _has_run_out(read: BoutRead, now: float) -> bool:
    """Whether the last period of regulation is over, and nobody is level."""
    frame, rules = read.log.frame, read.rules
    last = frame.periods[-1] if frame.periods else None
    if last is None or last.number < len(rules.period_seconds) or frame.end >= now:
        return False
    return rules.outcome(read.log.best.state) is not None


def board_then(board: Board, read: BoutRead, t: float) -> Board:
    """The same board as it was at ``t``: the score, who led, and the clock."""
    score = board_at(read.log.board, t)
    clock = read.log.frame.clock_at(t)
    period = read.log.frame.period_at(t)
    leader: Corner | None = None if score[0] == score[1] else "red" if score[0] > score[1] else "blue"
    changed = max((at for at, _ in read.log.board if at <= t), default=board.since)
    return replace(
        board,
        t=round(t, 2),
        red=replace(board.red, points=score[0]),
        blue=replace(board.blue, points=score[1]),
        since=round(changed, 2),
        period=period.number if period is not None else 0,
        clock_s=None if clock is None else clock[0],
        clock_uncertainty_s=None if clock is None else clock[1],
        activity=None,
        activity_s=None,
        leader=leader,
        leads_by="points" if leader is not None else "",
        why="",
        would_be=(),
        needs=(),
        over="",
    )


def _side(record: Record, state: State, sides: Sides, corner: Corner, rules: Ruleset) -> LiveSide:
    info = record.bout.red if corner == "red" else record.bout.blue
    return LiveSide(
        name=sides.name(corner),
        full_name=info.name,
        points=of(state.score, corner),
        challenges=of(state.challenges, corner) if any(rules.initial().challenges) else None,
        cautions=of(state.cautions, corner) + of(state.penalties, corner),
        warnings=of(state.warnings, corner),
    )


def _leads(read: BoutRead, sides: Sides) -> tuple[Corner | None, str, str]:
    """Who leads, by what, and which criterion says so."""
    state = read.log.best.state
    if state.score[0] != state.score[1]:
        return ("red" if state.score[0] > state.score[1] else "blue"), "points", ""
    leader = read.rules.criteria(state)
    if leader is None:
        return None, "", ""
    return leader, "criteria", level_reason(read.log, read.rules, sides)


def _activity(read: BoutRead, now: float) -> tuple[Corner | None, float | None]:
    """Who is on the activity clock and how much of it is left, by the bout clock."""
    state, seconds = read.log.best.state, read.rules.activity_seconds
    if state.activity is None or seconds is None:
        return None, None
    starts = [e for e in read.log.events if e.entry.move.kind == "activity_clock_start"]
    if not starts:
        return state.activity, None
    then, clock = read.log.frame.clock_at(starts[-1].t), read.log.frame.clock_at(now)
    ran = then[0] - clock[0] if then is not None and clock is not None else now - starts[-1].t
    return state.activity, round(min(max(seconds - ran, 0.0), float(seconds)), 1)


def _next(rules: Ruleset, state: State, sides: Sides) -> Iterator[WouldBe]:
    """What the score would be after one more award of the usual kinds."""
    told: list[str] = []
    for kind in _NEXT:
        for corner in CORNERS:
            if kind not in told and len(told) == _KINDS:
                return
            points = rules.points_of(kind)[:1]
            after = rules.after(state, Move(kind, corner, points[0])) if points else None
            if after is None:
                continue
            told.append(kind)
            then = rules.outcome(after)
            leader = then.winner if then is not None else None
            text = f"{sides.whose(corner)} {kind_text(kind)}: {leading(sides, after.score)}"
            if after.score[0] == after.score[1] and leader is not None:
                text += f", {sides.name(leader)} on criteria"
            ends = after.over is not None
            yield WouldBe(kind, text, corner, points[0], after.score, leader, ends)


def _needs(rules: Ruleset, state: State, sides: Sides) -> Iterator[str]:
    """What each side needs to lead, and to end the bout by its lead."""
    for corner in CORNERS:
        own, other = state.score if corner == "red" else state.score[::-1]
        behind = other - own
        name = sides.name(corner)
        if behind > 0:
            yield f"{name} needs {_points(behind)} to be level, {behind + 1} to lead"
        elif behind == 0 and rules.criteria(state) not in (None, corner):
            yield f"{name} needs 1 point to lead"
        lead = rules.superiority_lead
        if lead is not None and 0 < lead + behind <= lead // 2:
            yield f"{name} needs {_points(lead + behind)} to end it ({lead} ahead)"


def _points(count: int) -> str:
    return "1 point" if count == 1 else f"{count} points"
