"""The end of the bout as it is known beforehand, as evidence: it may show what nobody has said, and plain talk may
contradict it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from extract.log.frame import Frame
from extract.log.hypothesis import Hypothesis
from extract.log.model import Model
from extract.log.parameters import log_p
from extract.log.uncalled_between import end_entry, with_uncalled
from extract.mentions.model import Mention, ResultMention
from extract.rules.base import Outcome

if TYPE_CHECKING:
    from extract.log.to_log import BoutLog, LogEvent

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
    if known.by is not None and not told and (outcome is None or outcome.by != known.by):
        total += log_p(get("known", "by"))
    return total


def up_to_known(h: Hypothesis, frame: Frame, model: Model) -> Iterator[Hypothesis]:
    """The readings in which events that nobody called have brought the board to the known final score, before the bout was
    over and after the last score that was said."""
    target = model.known.score if model.known is not None else None
    if target is None or target == h.score:
        return
    over = end_entry(h)
    base: Hypothesis | None = h
    if over is not None:
        base = h.rebuilt(model.rules, h.entries[:-1], len(h.entries) - 1, over.t, 0.0)
    if base is None or base.state.over is not None:
        return
    last_event = base.entries[-1].t if base.entries else model.begins
    last_said = h.said.item.t if h.said is not None else model.begins
    end = over.t if over is not None else frame.end
    low = max(last_event, last_said)
    if low >= end:
        return
    pace = model.pace(last_said, end, flurry=last_event >= last_said)
    red, blue = target[0] - h.score[0], target[1] - h.score[1]
    for share, moves in model.uncalled.sequences(base.state, red, blue).ways:
        at = with_uncalled(base, moves, end, low, over, model)
        if at is not None:
            yield at.cheaper(share + pace.cost(len(moves)))


def shown_by_known(log: BoutLog, event: LogEvent) -> bool:
    """Whether nothing but the known final score shows an award that nobody called."""
    entry = event.entry
    if log.known is None or log.known.score is None or log.known.score != log.best.score:
        return False
    last = max((taken.said.t for taken in log.taken), default=-math.inf)
    calls = (e.entry.t for e in log.events if e.entry.basis == "called" and e.entry.move.points)
    bare = entry.basis == "inferred" and not entry.mentions and entry.review is None
    return bare and all(entry.t > t for t in chain([last], calls))


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
