"""Events that nobody called: which sequences could have brought the board from here to there."""

from __future__ import annotations

import math
from collections.abc import Set
from functools import lru_cache
from itertools import islice
from typing import NamedTuple

from extract.log.moments import Moments
from extract.log.parameters import LEAST, Parameters, log_p
from extract.rules.base import MOST_POINTS, Move, Ruleset, State
from extract.rules.kinds import KINDS, kinds_that

#: Events that only words can show: no score makes them likely.
_NEVER = kinds_that("end", "mark", "lot")


@lru_cache(maxsize=1 << 13)
def _bare(state: State) -> State:
    """What of a state decides which events may come, its score left aside: sequences are the same from all states
    of one shape (where the bout would be over on the way, the rules say so when they are applied)."""
    return State(
        period=state.period, running=state.running, control=state.control, warnings=state.warnings,
        cautions=state.cautions, activity=state.activity, penalties=state.penalties, challenges=state.challenges,
    )  # fmt: skip


#: So many events at most go uncalled between two things said.
_MOST_EVENTS = 3
#: And so many points at most.
_MOST_GAIN = 12
#: Where a final tells of more than that, so many points are thought of at once, and so many at most.
_PART, _MOST_FAR = 6, 36
#: Single events at most that are thought of to make what was called legal.
MOST_BRIDGES = 2
#: What is taken off the log probability of so many events for their order, log n!.
_ORDERS = (0.0, 0.0, 0.69, 1.79)

_IN_ORDER = tuple(math.exp(-order) for order in _ORDERS)


def _within(red: int, blue: int, count: int) -> bool:
    """Whether ``count`` awards can bring so many points to the corners."""
    return red >= 0 and blue >= 0 and (red > 0) + (blue > 0) <= count and red + blue <= count * MOST_POINTS


def _least_counts(values: Set[int]) -> list[int]:
    """With how few of these values each sum up to the most is made."""
    few = [0]
    for total in range(1, _MOST_GAIN + 1):
        few.append(1 + min((few[total - value] for value in values if value <= total), default=_MOST_EVENTS))
    return few


class Ways(NamedTuple):
    """Sequences of uncalled events between two scores, each with the log share of its kinds; ``shares`` are the shares
    of those of no event, one, two and three, summed, over the orders that so many can come in."""

    ways: tuple[tuple[float, tuple[Move, ...]], ...] = ()
    shares: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)

    def weight(self, pace: Pace) -> float:
        """The probability of all of them together."""
        none, one, two, three = self.shares
        first, more = pace
        weight = first * (one + more * (two + more * three))
        return weight + none * first / more if none else weight


class Pace(NamedTuple):
    """How probable events are that nobody calls, in one stretch of time: the first, and each one more (Poisson, its
    constant left out)."""

    first: float
    more: float

    def most(self, count: int) -> float:
        """The most that all ways of so many events, and of more, can weigh together; 0 where they are too many."""
        if not count:
            return 1.0 + self.first / self.more
        weight = 0.0
        for orders in _IN_ORDER[: count - 1 : -1]:
            weight = weight * self.more + orders
        return self.first * self.more ** (count - 1) * weight

    def times(self, factor: float) -> Pace:
        """The same with each event so many times as probable."""
        return Pace(self.first * factor, self.more * factor)

    def cost(self, count: int) -> float:
        """Log probability of so many."""
        return math.log(self.first) + (count - 1) * math.log(self.more) - _ORDERS[min(count, 3)]


_NO_WAY = Ways()


class UncalledEvents:
    """Enumerates short legal sequences of uncalled events, cheapest first."""

    def __init__(self, rules: Ruleset, parameters: Parameters) -> None:
        self._rules = rules
        self._shares = parameters.table("uncalled.kind")
        self._most = max(self._shares.values())
        table = parameters.table("uncalled")
        self._rate, self._burst = float(table["rate_per_s"]), float(table["burst"])
        self._rate_per_gap = float(table["rate_per_gap"])
        self.forced, self._usual = log_p(table["forced"]), float(table["usual_points"])
        self.far_cost = log_p(table["far"])
        #: The least number of awards for so many points.
        self._few = _least_counts({n for kind in rules.scoring_kinds for n in rules.points_of(kind) if n})
        self._by_points = self._kinds_by_points()
        # Asked for by the state, worked out by its shape.
        by_shape = lru_cache(maxsize=8192)(self._sequences)
        self._from_state = lru_cache(maxsize=1 << 13)(
            lambda state, red, blue: by_shape(self._shape(state), red, blue)
        )
        self._costs_cached = lru_cache(maxsize=1024)(self._costs)
        self._scoring_cached = lru_cache(maxsize=1024)(self._scoring)
        self._bridges_cached = lru_cache(maxsize=1 << 12)(self._bridges)

    def _kinds_by_points(self) -> dict[int, list[tuple[str, float]]]:
        """The kinds that bring each number of points, with their shares among these."""
        found: dict[int, dict[str, float]] = {}
        for kind in self._rules.scoring_kinds:
            for points in self._rules.points_of(kind):
                if points and kind not in _NEVER:
                    found.setdefault(points, {})[kind] = self.share(kind)
        totals = {points: sum(kinds.values()) for points, kinds in found.items()}
        return {
            points: [(kind, share / totals[points]) for kind, share in kinds.items()]
            for points, kinds in found.items()
        }

    def _shape(self, state: State) -> State:
        return _bare(self._rules.search_key(state))

    def pace(self, seconds: float, *, flurry: bool) -> Pace:
        """How probable uncalled events are in a stretch of time; with ``flurry`` it begins with an event, which others may
        follow at once."""
        return self._pace(self._rate * max(seconds, 0.0), flurry=flurry)

    def pace_of_gaps(self, gaps: float, *, flurry: bool) -> Pace:
        """The same of so many gaps between entries of an account without times, where nobody knows how long they were."""
        return self._pace(self._rate_per_gap * max(gaps, 0.0), flurry=flurry)

    def _pace(self, expected: float, *, flurry: bool) -> Pace:
        more = max(expected + self._burst, LEAST)
        return Pace(more if flurry else max(expected, LEAST), more)

    def least_events(self, red: int, blue: int) -> int:
        """How many awards at least bring just so many points to the corners; more than there may be where none do."""
        few = self._few
        return few[red] + few[blue] if red < len(few) and blue < len(few) else _MOST_EVENTS + 1

    def share(self, kind: str) -> float:
        """How often an event that nobody calls is of this kind. An action that the table does not name, as of another
        sport, counts as the most usual ones do."""
        other = self._most if KINDS[kind].does == "action" else self._shares["least"]
        return max(float(self._shares.get(kind, other)), LEAST)

    def ratios(self, moments: Moments, low: float, high: float) -> dict[int, float]:
        """For each number of points how many times as probable an award of so many is between two moments, by the words
        said then, as anywhere in the talk."""
        return {
            points: sum(share * moments.ratio(kind, low, high) for kind, share in kinds)
            for points, kinds in self._by_points.items()
        }

    def _weight(self, move: Move) -> float:
        """How often a kind goes uncalled, for the points that it brings here."""
        share = self.share(move.kind)
        points = self._rules.points_of(move.kind)
        # The points that a kind usually brings take most of its share.
        usual = self._usual if len(points) > 1 else 1.0
        part = usual if points and move.points == points[0] else (1 - usual) / max(len(points) - 1, 1)
        return max(share * part, LEAST)

    def costs(self, state: State) -> dict[Move, float]:
        """Log probability of each scoring move that the rules allow in ``state`` to be the next one uncalled."""
        return self._costs_cached(self._shape(state))

    def _costs(self, state: State) -> dict[Move, float]:
        weights = {
            move: self._weight(move)
            for move in self._rules.legal_events(state)
            if move.points and move.kind not in _NEVER
        }
        total = sum(weights.values())
        return {move: log_p(weight / total) for move, weight in weights.items()}

    def sequences(self, state: State, red: int, blue: int) -> Ways:
        """Legal sequences of few events that add exactly ``red`` and ``blue`` points."""
        if red < 0 or blue < 0 or red + blue > _MOST_GAIN:
            return _NO_WAY
        return self._from_state(state, red, blue)

    def far(self, state: State, red: int, blue: int) -> tuple[Move, ...] | None:
        """One legal sequence of more events than ``sequences`` has: several likely ones after each other. None where there
        is none."""
        if red < 0 or blue < 0 or not _MOST_GAIN // 2 <= red + blue <= _MOST_FAR:
            return None
        parts = -(-(red + blue) // _PART)
        moves: list[Move] = []
        done, at = (0, 0), state
        for n in range(1, parts + 1):
            upto = (red * n // parts, blue * n // parts)
            ways = self.sequences(at, upto[0] - done[0], upto[1] - done[1]).ways
            if not ways:
                return None
            _, steps = ways[0]
            for step in steps:
                after = self._rules.after(at, step)
                if after is None or (after.over is not None and (n, step) != (parts, steps[-1])):
                    return None
                at = after
            moves += steps
            done = upto
        return tuple(moves)

    def _sequences(self, state: State, red: int, blue: int) -> Ways:
        found: dict[tuple[tuple[object, int], ...], tuple[float, tuple[Move, ...]]] = {}

        def keep(moves: tuple[Move, ...], cost: float) -> None:
            # Of sequences that credit the same points to the same corners in the same order the likeliest stays.
            key = tuple((m.corner, m.points) for m in moves)
            if key not in found or found[key][0] < cost:
                found[key] = (cost, moves)

        def walk(at: State, red: int, blue: int, moves: tuple[Move, ...], cost: float) -> None:
            left = _MOST_EVENTS - len(moves) - 1
            for move, price in self._scoring_cached(self._shape(at)):
                points = move.points
                to_red, to_blue = (red - points, blue) if move.corner == "red" else (red, blue - points)
                if not (to_red or to_blue):
                    # What comes of the last one matters no more, only that it may come.
                    if self._rules.allows(at, move):
                        keep((*moves, move), cost + price)
                elif left and _within(to_red, to_blue, left):
                    after = self._rules.after(at, move)
                    if after is not None:
                        after = after if after.over is not None else self._shape(after)
                        walk(after, to_red, to_blue, (*moves, move), cost + price)

        if red or blue:
            walk(state, red, blue, (), 0.0)
        else:
            keep((), 0.0)
        ways = sorted(found.values(), key=lambda f: len(f[1]) * 2.0 - f[0])[:4]
        shares = [0.0, 0.0, 0.0, 0.0]
        for share, moves in ways:
            shares[len(moves)] += math.exp(share - _ORDERS[len(moves)])
        none, one, two, three = shares
        return Ways(tuple(ways), (none, one, two, three))

    def _scoring(self, state: State) -> tuple[tuple[Move, float], ...]:
        """For each corner and number of points the likeliest legal scoring move (by effect on position too), with
        its log probability."""
        best: dict[tuple[object, ...], tuple[Move, float]] = {}
        for move, cost in self.costs(state).items():
            control = move.corner if move.kind in ("takedown", "reversal") else None
            key = (move.corner, move.points, control, move.kind == "escape")
            if key not in best or best[key][1] < cost:
                best[key] = (move, cost)
        return tuple(best.values())

    def bridges(self, state: State, move: Move) -> tuple[tuple[float, tuple[Move, ...]], ...]:
        """Single uncalled events after which an otherwise illegal ``move`` is legal, with log costs."""
        return self._bridges_cached(self._rules.search_key(state), move)

    def _bridges(self, state: State, move: Move) -> tuple[tuple[float, tuple[Move, ...]], ...]:
        costs = self.costs(state)
        # A warning needs no score to be shown by, so it costs as little as the likeliest award.
        steps = [
            (self.forced + costs.get(step, 0.0), step)
            for step in self._rules.legal_events(state)
            if step.kind not in _NEVER
        ]
        opens = (
            (price, (step,))
            for price, step in sorted(steps, key=lambda s: -s[0])
            if (between := self._rules.after(state, step)) is not None and self._rules.allows(between, move)
        )
        return tuple(islice(opens, MOST_BRIDGES))
