"""Events that nobody called and that a stated score shows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from extract.log.cutoff import Cutoff
from extract.log.hypothesis import Hypothesis, ReadingEvent, Said, SaidHistory, Score, Verdict
from extract.log.model import Model
from extract.log.other_numbers import Repair
from extract.log.said_history import held_against, relabelled, said_since
from extract.log.uncalled_events import Pace
from extract.mentions.model import ScoreMention
from extract.rules.base import Move

_AGREES: Verdict = "agrees"


class _UncalledStretch(NamedTuple):
    """A stretch of time in which uncalled events may have come, and how probable they are in it: ``pace`` for such awards
    as its words speak for most, ``less`` by how much less each other is (log, by points). ``before`` are the scores said
    after it: the oldest of one value said over (the last of them bounds the stretch), and how many places back that is."""

    end: float
    low: float
    pace: Pace
    less: dict[int, float]
    before: tuple[tuple[SaidHistory, int], ...]

    def cost(self, moves: Sequence[Move]) -> float:
        """Log probability of these events in it, but for the shares of their kinds."""
        return self.pace.cost(len(moves)) + sum([self.less.get(move.points, 0.0) for move in moves])


class _Target(NamedTuple):
    """A board that a stated score may show, what the score then is and what that costs, and the points it takes, in so
    many events at least."""

    board: Score
    verdict: Verdict
    nominal: float
    red: int
    blue: int
    events: int


class _Start(NamedTuple):
    """Where uncalled events set in on a reading: ``base`` is the reading without the event ``over`` that ended the bout,
    as they must have come before it; None where the bout is over otherwise."""

    reading: Hypothesis
    base: Hypothesis | None
    over: ReadingEvent | None
    stretches: list[_UncalledStretch]


class UncalledBetween:
    """Readings in which uncalled events have made the board what a score mention says, or nearly."""

    def __init__(self, index: int, mention: ScoreMention, model: Model) -> None:
        self._index, self._mention, self._model = index, mention, model
        self._over_again_s = model.parameters.get("score.again", "within_s")
        self._stale = model.verdict["stale"]
        self._start: _Start | None = None
        self._ratios: dict[tuple[float, float], tuple[float, dict[int, float]]] = {}
        self._targets: dict[tuple[Score, Score], tuple[_Target, ...]] = {}

    def __call__(
        self, h: Hypothesis, said: Score, cost: float, cutoff: Cutoff, repair: Repair
    ) -> Iterator[Hypothesis]:
        """Those that go on from ``h`` when ``said``, which is not its board, is what was said, at ``cost``; ``repair`` is
        the log weight of the score said before having been a slip, and of its having been right."""
        start = self._start
        if start is None or start.reading is not h:
            # Both orders of two numbers are tried on a reading, one after the other.
            start = self._start = self._start_of(h)
        if start.base is not None:
            yield from self._bridged(start, start.base, said, cost, cutoff, repair)
            if self._mention.final and self._mention.t >= self._model.end:
                yield from self._far(start, start.base, said, cost, cutoff, repair)
        yield from self._before_last_call(h, said, cost, cutoff)

    def _far(
        self, start: _Start, base: Hypothesis, said: Score, cost: float, cutoff: Cutoff, repair: Repair
    ) -> Iterator[Hypothesis]:
        """More events than go uncalled between two scores have brought the board to what is told as the end result."""
        h, stretch = start.reading, start.stretches[-1]
        red, blue = said[0] - h.score[0], said[1] - h.score[1]
        if self._model.uncalled.sequences(base.state, red, blue).ways:
            return
        moves = self._model.uncalled.far(base.state, red, blue)
        if moves is None:
            return
        # Which events they were nobody can tell, so that their number and kinds weigh nothing.
        price = cost + self._model.uncalled.far_cost + self._model.nominal(_AGREES)
        price += self._relabelling(h, said, stretch, repair)
        if not cutoff.passes(h.logp + price):
            return
        at = with_uncalled(base, moves, stretch.end, stretch.low, start.over, self._model)
        if at is not None:
            back = stretch.before[-1][1] if stretch.before else 0
            shown = Said(self._index, self._mention.t, said, said, _AGREES)
            yield at.with_proof(shown, price, relabelled(h.said, back, said, h.score))

    def _start_of(self, h: Hypothesis) -> _Start:
        over = end_entry(h)
        base: Hypothesis | None = h
        if over is not None:
            base = h.rebuilt(self._model.rules, h.entries[:-1], len(h.entries) - 1, self._mention.t, 0.0)
        elif h.state.over is not None:
            base = None
        if base is None:
            return _Start(h, None, over, [])
        last_event = base.entries[-1].t if base.entries else self._model.begins
        return _Start(h, base, over, self._stretches(h, last_event))

    def _bridged(
        self, start: _Start, base: Hypothesis, said: Score, cost: float, cutoff: Cutoff, repair: Repair
    ) -> Iterator[Hypothesis]:
        """Events that nobody called have brought the board to a target. They may also have come before the last scores
        said, which then were old ones."""
        h, sequences = start.reading, self._model.uncalled.sequences
        board = h.score
        for target in self._targets_of(board, said):
            extras = [self._relabelling(h, target.board, stretch, repair) for stretch in start.stretches]
            costs = [h.logp + cost + extra + target.nominal for extra in extras]
            # Most lead nowhere, which is sooner seen than which ways there are.
            most = [stretch.pace.most(target.events) for stretch in start.stretches]
            if not cutoff.passes_one(costs, most):
                continue
            found = sequences(base.state, target.red, target.blue)
            if not found.ways:
                continue
            for stretch, extra, at_cost in zip(start.stretches, extras, costs, strict=True):
                # All ways at once are tried faster than each.
                if not cutoff.passes_any(at_cost, found.weight(stretch.pace)):
                    continue
                back = stretch.before[-1][1] if stretch.before else 0
                history = relabelled(h.said, back, target.board, board)
                shown = Said(self._index, self._mention.t, said, target.board, target.verdict)
                for share, moves in found.ways:
                    price = cost + share + stretch.cost(moves) + extra + target.nominal
                    if not cutoff.passes(h.logp + price):
                        continue
                    at = with_uncalled(base, moves, stretch.end, stretch.low, start.over, self._model)
                    if at is not None:
                        yield at.with_proof(shown, price, history)

    def _targets_of(self, board: Score, said: Score) -> tuple[_Target, ...]:
        known = self._targets.get((board, said))
        if known is None:
            least = self._model.uncalled.least_events
            known = self._targets[board, said] = tuple(
                _Target(target, verdict, self._model.nominal(verdict), red, blue, least(red, blue))
                for target, verdict in _targets(board, self._mention, said)
                if (red := target[0] - board[0]) >= 0 and (blue := target[1] - board[1]) >= 0
            )
        return known

    def _stretches(self, h: Hypothesis, last_event: float) -> list[_UncalledStretch]:
        """The stretches in which uncalled events may have come: since the last score said, or before it, or before the
        one before."""
        pace = self._model.pace
        groups = tuple(said_since(h, last_event, self._over_again_s))
        older = groups[-1][0].rest if groups else h.said
        starts = [group[0].item.t for group in groups]
        starts.append(max(older.item.t if older is not None else self._model.begins, last_event))
        out: list[_UncalledStretch] = []
        end = self._mention.t
        for k, start in enumerate(starts):
            likely = pace(max(start, self._model.begins), end, flurry=start <= last_event)
            low = min(max(start, last_event), end)
            out.append(self._stretch(end, low, likely, groups[:k]))
            end = start
        return out

    def _stretch(
        self, end: float, low: float, pace: Pace, before: tuple[tuple[SaidHistory, int], ...]
    ) -> _UncalledStretch:
        known = self._ratios.get((low, end))
        if known is None:
            ratios = self._model.uncalled.ratios(self._model.moments, low, end)
            most = max(ratios.values(), default=1.0)
            less = {points: math.log(ratio / most) for points, ratio in ratios.items()}
            known = self._ratios[low, end] = most, less
        most, less = known
        return _UncalledStretch(end, low, pace.times(most), less, before)

    def _relabelling(self, h: Hypothesis, target: Score, stretch: _UncalledStretch, repair: Repair) -> float:
        """What it costs that the scores said after the stretch are held against ``target``: they may have been right, or
        old ones."""
        mended, kept = repair
        if h.said is None:
            return kept
        newest_verdict = h.said.item.verdict
        if not stretch.before:
            return kept if newest_verdict == "agrees" else mended
        price = 0.0
        for k, (node, _) in enumerate(stretch.before):
            verdict = held_against(node.item, target, h.score)
            price += self._model.nominal(verdict) - self._model.nominal(node.item.verdict)
            # Only the newest score said before can be the one that is taken back.
            newest_verdict = verdict if k == 0 else held_against(h.said.item, target, h.score)
        return price + (kept if newest_verdict == "agrees" else mended)

    def _before_last_call(
        self, h: Hypothesis, said: Score, cost: float, cutoff: Cutoff
    ) -> Iterator[Hypothesis]:
        """The stated score is an old one, from before the last call, and shows what nobody had called before that
        call."""
        last = h.entries[-1] if h.entries else None
        since = h.said.item.t if h.said is not None else self._model.begins
        if (
            last is None
            or last.basis != "called"
            or not last.move.points
            or last.review is not None
            or last.t < since
        ):
            return
        points = (last.move.points, 0) if last.move.corner == "red" else (0, last.move.points)
        red, blue = said[0] - h.score[0] + points[0], said[1] - h.score[1] + points[1]
        sure = h.logp + cost + self._stale
        if min(red, blue) < 0 or not (red or blue) or last.overturned is not None or sure < cutoff.least:
            return
        earlier = h.entries[-2].t if len(h.entries) > 1 else self._model.begins
        pace = self._model.pace(since, last.t, flurry=earlier >= since)
        stretch = self._stretch(last.t, min(max(since, earlier), last.t), pace, ())
        if not cutoff.passes_any(sure, stretch.pace.most(self._model.uncalled.least_events(red, blue))):
            return
        base = h.rebuilt(self._model.rules, h.entries[:-1], len(h.entries) - 1, last.t, 0.0)
        if base is None:
            return
        found = self._model.uncalled.sequences(base.state, red, blue)
        for share, moves in found.ways:
            price = share + stretch.cost(moves)
            if not cutoff.passes(sure + price):
                continue
            at = with_uncalled(base, moves, stretch.end, stretch.low, last, self._model)
            if at is not None:
                shown = Said(self._index, self._mention.t, said, at.score, "stale")
                yield at.with_proof(shown, cost + price + self._stale, at.said)


def _targets(board: Score, mention: ScoreMention, said: Score) -> Iterator[tuple[Score, Verdict]]:
    """Boards that a stated score may show: itself; where somebody was named, the same the other way round; and where it
    is far from the board, one a point off, as a wrong score is nearly right too."""
    yield said, "agrees"
    if mention.first is not None and said[0] != said[1]:
        yield said[::-1], "swapped"
    if abs(said[0] - board[0]) + abs(said[1] - board[1]) > 2:
        for off in ((-1, 0), (0, -1), (1, 0), (0, 1)):
            near = (said[0] + off[0], said[1] + off[1])
            if min(near) >= 0:
                yield near, "wrong"


def with_uncalled(
    base: Hypothesis, moves: Iterable[Move], t: float, low: float, after: ReadingEvent | None, model: Model
) -> Hypothesis | None:
    """The reading with events that nobody called, at ``t`` or since ``low``, and then with the entry ``after`` that
    was taken off for them; None where the rules forbid it."""
    entries = [ReadingEvent(move, t, low, "inferred", period=base.state.period) for move in moves]
    at: Hypothesis | None = base
    for entry in entries if after is None else [*entries, after]:
        at = at.push(model.rules, entry, 0.0) if at is not None else None
    return at


def end_entry(h: Hypothesis) -> ReadingEvent | None:
    """The fall or the riding time that ended the bout, if nothing came after: points that the score shows must have
    come before it."""
    if h.entries and h.entries[-1].move.kind in ("fall", "riding_time"):
        return h.entries[-1]
    return None
