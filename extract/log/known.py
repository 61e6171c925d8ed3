"""The end of the bout as it is known beforehand, as evidence: it may show what nobody has said, and plain talk may
contradict it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from extract.log.facts import Facts
from extract.log.frame import Frame
from extract.log.hypothesis import Hypothesis, Score
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.log.uncalled_between import end_entry, with_uncalled
from extract.mentions.model import Mention, ResultMention
from extract.rules.base import Outcome

if TYPE_CHECKING:
    from extract.log.to_log import BoutLog, LogEvent
    from extract.transcript.known import Known

#: What only the talk can tell: the log of points cannot know of it.
TOLD_ONLY = ("injury", "disqualification", "forfeit")
#: Ways that leave open whether the bout ended otherwise.
_OPEN = ("points", "criteria", "unknown")


def known_cost(h: Hypothesis, outcome: Outcome | None, model: Model) -> float:
    """What a finished reading pays (a log probability) for ending otherwise than is known."""
    known, get = model.known, model.parameters.get
    if known is None:
        return 0.0
    total = 0.0
    told = known.by in TOLD_ONLY
    # Who is hurt or sent off may be ahead on the board.
    if known.winner is not None and not told and (outcome is None or outcome.winner != known.winner):
        total += log_p(get("known", "winner"))
    if known.score is not None and h.score != known.score:
        total += log_p(get("known", "score"))
    elif (fit := _fit(h, known)) and h.score not in fit:
        total += log_p(get("known", "period"))
    if known.by is not None and not told and (outcome is None or outcome.by != known.by):
        total += log_p(get("known", "by"))
    return total


def known_after_period(
    beam: list[Hypothesis], t: float, period: int, facts: Facts, model: Model
) -> list[Hypothesis]:
    """The readings at the end of a period, at ``t``: each whose board is not the known one pays, and goes on up to it."""
    board = model.known.after(period) if model.known is not None else None
    if board is None:
        return beam
    differs = log_p(model.parameters.get("known", "period"))
    out: list[Hypothesis] = []
    for h in beam:
        fit = _with_riding(h, board)
        if h.score in fit:
            out.append(h)
            continue
        out.append(h.cheaper(differs))
        if h.state.over is None:
            for target in fit:
                out += facts.weighed(h, _up_to(h, target, t, model))
    return out


def up_to_known(h: Hypothesis, frame: Frame, model: Model) -> Iterator[Hypothesis]:
    """The readings in which events that nobody called have brought the board to the known final score, before the bout was
    over and after the last score that was said."""
    if model.known is None:
        return
    fit = _fit(h, model.known)
    if h.score not in fit:
        for target in fit:
            yield from _up_to(h, target, frame.end, model)


def _fit(h: Hypothesis, known: Known) -> tuple[Score, ...]:
    """The final scores that fit what is known: the known one, or else the board at the end of the last period there was."""
    if known.score is not None:
        return (known.score,)
    board = known.after(h.state.period)
    return _with_riding(h, board) if board is not None else ()


def _with_riding(h: Hypothesis, board: Score) -> tuple[Score, ...]:
    """The boards that fit the known one at the end of a period. Nobody knows whether the point for riding time, which is
    given after the period, is in it."""
    last = end_entry(h)
    if last is None or last.move.kind != "riding_time":
        return (board,)
    red, blue = board
    point = last.move.points
    return (board, (red + point, blue) if last.move.corner == "red" else (red, blue + point))


def _up_to(h: Hypothesis, target: Score, end: float, model: Model) -> Iterator[Hypothesis]:
    """The readings in which events that nobody called have brought the board to ``target`` by ``end``, after the last score
    that was said, and before what ended the bout."""
    if target == h.score:
        return
    over = end_entry(h)
    base: Hypothesis | None = h
    if over is not None:
        base = h.rebuilt(model.rules, h.entries[:-1], len(h.entries) - 1, over.t, 0.0)
    if base is None or base.state.over is not None:
        return
    last_event = base.entries[-1].t if base.entries else model.begins
    last_said = h.said.item.t if h.said is not None else model.begins
    end = over.t if over is not None else end
    low = max(last_event, last_said)
    if low >= end:
        return
    pace = model.pace(last_said, end, flurry=last_event >= last_said)
    red, blue = target[0] - h.score[0], target[1] - h.score[1]
    ways = model.uncalled.sequences(base.state, red, blue).ways
    tried = [(share + pace.cost(len(moves)), moves) for share, moves in ways]
    # Of many events nobody can tell which they were, so that their number and kinds weigh nothing. Few cost no more.
    many = ways[0][1] if ways else model.uncalled.far(base.state, red, blue)
    if many is not None and all(cost < model.uncalled.far_cost for cost, _ in tried):
        tried = [(model.uncalled.far_cost, many), *tried[1:]]
    for cost, moves in tried:
        at = with_uncalled(base, moves, end, low, over, model)
        if at is not None:
            yield at.cheaper(cost)


def known_at_ends(log: BoutLog) -> Iterator[tuple[int, float, Score, Score]]:
    """Of each period that is over and whose board at the end is known: its number, when it ended, that board, and the board
    of the log. A known final score is no matter of this."""
    if log.known is None:
        return
    score = shown = (0, 0)
    for event in log.events:
        entry = event.entry
        if entry.move.kind == "period_end":
            board = log.known.after(entry.period)
            # A challenge may be decided only after the whistle: the board of before it fits, too.
            if board is not None:
                yield entry.period, event.t, board, board if board == shown else score
        points = (entry.move.points, 0) if entry.move.corner == "red" else (0, entry.move.points)
        shown = (shown[0] + points[0], shown[1] + points[1])
        if entry.overturned is None:
            score = (score[0] + points[0], score[1] + points[1])
    fit = _fit(log.best, log.known)
    if log.known.score is None and fit:
        yield log.best.state.period, log.frame.end, fit[0], fit[0] if score in fit else score


def shown_by_known(log: BoutLog, event: LogEvent) -> str | None:
    """The known score that shows an award that nobody called, in words, if nothing else does."""
    entry = event.entry
    bare = entry.basis == "inferred" and not entry.mentions and entry.review is None
    if log.known is None or not bare:
        return None
    ends = {e.entry.period: e.entry.t for e in log.events if e.entry.move.kind == "period_end"}
    # Such awards come at the end of the search's period, and nothing else that nobody called does.
    if log.known.after(entry.period) is not None and entry.t == ends.get(entry.period):
        return f"the score known beforehand of the end of period {entry.period}"
    if log.best.score not in _fit(log.best, log.known):
        return None
    last = max((taken.said.t for taken in log.taken), default=-math.inf)
    calls = (e.entry.t for e in log.events if e.entry.basis == "called" and e.entry.move.points)
    return "the final score known beforehand" if all(entry.t > t for t in chain([last], calls)) else None


def results_at_end(log: BoutLog, mentions: Sequence[Mention]) -> list[ResultMention]:
    """What was said at the end of who won, and how."""
    return [
        m
        for m in mentions
        if isinstance(m, ResultMention) and log.frame.at_end(m.t) and m.stance == "asserted"
    ]


def won(outcome: Outcome | None, log: BoutLog, mentions: Sequence[Mention]) -> Outcome:
    """Winner and way of winning: as the log has it, but where it cannot know, what was said at the end; and where nothing
    was said either, what is known beforehand."""
    winner = outcome.winner if outcome is not None else None
    by = outcome.by if outcome is not None else "unknown"
    results = results_at_end(log, mentions)
    if by in _OPEN:
        named = next((m.winner for m in results if m.winner is not None), None)
        way = next((m.by for m in results if m.by in TOLD_ONLY), None)
        known = log.known
        if way is not None:
            by, winner = way, named or winner
        elif (
            known is not None
            and known.by in TOLD_ONLY
            and not any(m.by for m in results)
            and (known.winner is None or named in (None, known.winner))
        ):
            by, winner = str(known.by), known.winner or named or winner
    if winner is None and log.known is not None:
        winner = log.known.winner
        by = log.known.by or by if by == "unknown" else by
    return Outcome(winner, by)
