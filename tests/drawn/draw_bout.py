"""Draws legal bouts by seed: when what was awarded, when the clock stood, what was challenged, and how it ended.

Rates are what is usual (common practice): some ten awards a bout, flurries of a takedown and a turn, a challenge in
every third bout where the style has them. Disqualification, injury and forfeit are not drawn.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from extract.rules import CORNERS, Corner, Move, Ruleset, State, get_ruleset, other
from tests.drawn.drawn_bout import DrawnBout, DrawnChallenge, DrawnEvent, Span

STYLES = ("freestyle", "greco", "collegiate", "scholastic")
#: How often each award starts a new exchange.
WEIGHTS: Mapping[str, float] = {
    "takedown": 5.0, "exposure": 0.5, "throw": 0.6, "step_out": 2.6, "caution": 0.45, "passivity": 1.0,
    "escape": 6.0, "reversal": 1.2, "near_fall": 1.4, "stalling": 0.8, "penalty_point": 0.25,
}  # fmt: skip
#: After these the clock stands for a while.
STOPPING = frozenset(
    {"step_out", "caution", "passivity_warning", "passivity_point", "penalty_point", "stalling_point"}
)
CHALLENGED = frozenset({"takedown", "exposure", "throw", "step_out", "reversal", "near_fall"})


@dataclass(slots=True)
class _Drawing:
    """A bout while it is drawn."""

    rules: Ruleset
    rng: random.Random
    state: State
    strength: float
    t: float
    left: float = 0.0
    number: int = 0
    start: float = 0.0
    events: list[DrawnEvent] = field(default_factory=list)
    challenges: list[DrawnChallenge] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)
    stops: list[tuple[float, float]] = field(default_factory=list)
    spent: set[Corner] = field(default_factory=set)
    ridden: dict[Corner, float] = field(default_factory=lambda: {"red": 0.0, "blue": 0.0})
    activity: float | None = None
    flurry: tuple[str, Corner] | None = None

    def run(self, seconds: float) -> None:
        """The clock runs."""
        self.t, self.left = self.t + seconds, self.left - seconds
        if self.state.control is not None and self.number <= len(self.rules.period_seconds):
            self.ridden[self.state.control] += seconds
        if self.activity is not None:
            self.activity -= seconds

    def stop(self, seconds: float) -> None:
        """The clock stands."""
        self.stops.append((self.t, self.t + seconds))
        self.t += seconds

    def do(self, move: Move) -> None:
        """An event, under the rules."""
        self.state = self.rules.apply(self.state, move)
        self.events.append(DrawnEvent(round(self.t, 1), self.number, round(self.left, 1), move))

    def legal(self, kind: str, corner: Corner | None = None, against: Corner | None = None) -> list[Move]:
        """Legal moves of a kind, for or against somebody."""
        return [
            m for m in self.rules.legal_events(self.state)
            if m.kind == kind and (corner is None or m.corner == corner) and (against is None or m.against == against)
        ]  # fmt: skip


def draw_bout(style: str, seed: int, edition: str | None = None) -> DrawnBout:
    """The bout of a style and a seed; always the same one."""
    rules = get_ruleset(style, edition)
    rng = random.Random(f"{style} {seed}")
    while True:
        bout = _draw(rules, rng, seed)
        if bout is not None:
            return bout


def _draw(rules: Ruleset, rng: random.Random, seed: int) -> DrawnBout | None:
    """One attempt; None where nobody scored, so that nobody has won."""
    d = _Drawing(rules, rng, rules.initial(), rng.betavariate(9, 9), round(rng.uniform(12, 18), 1))
    while d.state.over is None:
        _period(d)
        if d.state.over is None:
            d.t += rules.rest_seconds + rng.uniform(0, 5) if rules.rest_seconds else rng.uniform(12, 20)
    outcome = d.state.over
    if outcome.winner is None:
        return None
    if not any(e.move.kind == "bout_end" for e in d.events):
        d.do(Move("bout_end"))
    return DrawnBout(
        seed, rules, tuple(d.events), tuple(d.challenges), tuple(d.spans), tuple(d.stops), outcome, round(d.t, 1)
    )  # fmt: skip


def _period(d: _Drawing) -> None:
    d.number += 1
    seconds = d.rules.seconds_of(d.number)
    assert seconds is not None
    d.left, d.start, d.activity, d.flurry = float(seconds), d.t, None, None
    d.do(d.rng.choice(d.legal("period_start")))
    while d.state.over is None:
        gap = d.rng.uniform(6, 9) if d.flurry is not None else 12 + d.rng.expovariate(1 / 15)
        # The activity clock runs out between two exchanges, not on top of one.
        if d.activity is not None and d.activity <= gap:
            gap = max(d.activity, 0.0)
        if gap > d.left - 6:
            break
        d.run(gap)
        _exchange(d)
    if d.state.over is None:
        d.run(d.left)
        _riding_time(d)
        last = d.rules.seconds_of(d.number + 1) is None or d.legal("bout_end")
        d.do(Move("bout_end" if d.state.over is None and last else "period_end"))
    d.spans.append(Span(d.number, round(d.start, 1), round(d.t, 1), seconds))


def _riding_time(d: _Drawing) -> None:
    """A minute more than the other is worth a point at the end of regulation."""
    net = d.ridden["red"] - d.ridden["blue"]
    corner: Corner = "red" if net > 0 else "blue"
    lead = d.rules.superiority_lead or 99
    if d.number == len(d.rules.period_seconds) and abs(net) >= 60 and abs(_lead(d.state)) < lead - 1:
        for move in d.legal("riding_time", corner):
            d.do(move)


def _lead(state: State) -> int:
    return state.score[0] - state.score[1]


def _exchange(d: _Drawing) -> None:
    """What comes next: the end of the activity clock, the rest of a flurry, or a new exchange."""
    if d.activity is not None and d.activity <= 0.5 and d.state.activity is not None:
        d.activity = None
        _award(d, d.rng.choice(d.legal("passivity_point", against=d.state.activity)))
        return
    if d.flurry is not None:
        (kind, corner), d.flurry = d.flurry, None
        if kind == "fall":
            d.do(Move("fall", corner))
            return
        moves = d.legal(kind, corner)
        if moves:
            _award(d, _usual(d, moves))
            return
    kinds = [k for k in WEIGHTS if k != "reversal" or d.rules.rest_seconds == 0]
    for _ in range(50):
        kind = d.rng.choices(kinds, [WEIGHTS[k] for k in kinds])[0]
        corner = "red" if d.rng.random() < d.strength else "blue"
        if _begin(d, kind, corner):
            return


def _begin(d: _Drawing, kind: str, corner: Corner) -> bool:
    """One award or warning of a kind, if the rules have it now."""
    offender = other(corner)
    if kind == "passivity":
        return _passivity(d, offender)
    if kind == "stalling":
        moves = d.legal("stalling_warning", against=offender) + d.legal("stalling_point", corner)
    elif kind in ("caution", "penalty_point"):
        counted = d.state.cautions[CORNERS.index(offender)]
        moves = [] if counted >= 2 else d.legal(kind, corner, offender)
    else:
        moves = d.legal(kind, corner)
    if not moves:
        return False
    _award(d, _usual(d, moves))
    return True


def _passivity(d: _Drawing, passive: Corner) -> bool:
    """The next step of the passivity ladder: in freestyle attention, then half a minute to score, then a point."""
    warned = d.state.warnings[CORNERS.index(passive)] > 0
    if d.state.activity is not None:
        return False
    if d.legal("activity_clock_start", against=passive) and warned:
        if d.left < 45:
            return False
        d.do(Move("activity_clock_start", None, 0, passive))
        d.activity = 30.0
        return True
    if d.legal("activity_clock_start", against=passive):
        _award(d, Move("passivity_warning", None, 0, passive))
        return True
    moves = d.legal("passivity_point", against=passive)
    if moves:
        _award(d, moves[0])
    return bool(moves)


def _usual(d: _Drawing, moves: list[Move]) -> Move:
    """The usual number of points more often than the others."""
    first = [m for m in moves if m.points == d.rules.points_of(m.kind)[0]]
    return d.rng.choice(first if first and d.rng.random() < 0.75 else moves)


def _award(d: _Drawing, move: Move) -> None:
    before, at = d.state, len(d.events)
    d.do(move)
    if d.state.activity is None:
        d.activity = None
    if d.state.over is not None:
        return
    corner = move.corner
    if corner is not None and move.kind in CHALLENGED and _challenge(d, move, at, before):
        return
    if move.kind in STOPPING:
        d.stop(d.rng.uniform(4, 10))
    elif corner is not None:
        d.flurry = _follow_up(d, move.kind, corner)


def _follow_up(d: _Drawing, kind: str, corner: Corner) -> tuple[str, Corner] | None:
    """What a takedown, a throw or a turn may lead straight into."""
    chance = d.rng.random()
    if kind in ("takedown", "throw", "exposure", "near_fall", "reversal") and chance < 0.02:
        return "fall", corner
    if d.rules.rest_seconds:
        if kind in ("takedown", "throw", "exposure") and chance < 0.27:
            return "exposure", corner
        return ("reversal", other(corner)) if kind == "takedown" and chance < 0.32 else None
    if kind in ("takedown", "reversal") and chance < 0.12:
        return "near_fall", corner
    return None


def _challenge(d: _Drawing, move: Move, at: int, before: State) -> bool:
    """The other side may challenge an award; won, the award comes off; lost, the style's points are given."""
    corner = move.corner
    assert corner is not None
    by = other(corner)
    left = d.state.challenges[CORNERS.index(by)] > 0 and by not in d.spent
    if not left or d.rng.random() >= 0.06 or d.left < 15:
        return False
    d.run(d.rng.uniform(3, 4))
    asked = d.t + d.rng.uniform(3, 5)
    decided = asked + d.rng.uniform(20, 35)
    d.stop(decided - d.t)
    won = d.rng.random() < 0.45
    d.challenges.append(
        DrawnChallenge(round(asked, 1), by, at, "won" if won else "lost", round(d.t, 1))
    )  # fmt: skip
    if won:
        event = d.events[at]
        d.events[at] = event._replace(off=round(d.t, 1))
        kept = d.rules.replay(e.move for e in d.events if e.off is None)
        d.state = replace(kept, challenges=d.state.challenges, over=None)
    else:
        d.spent.add(by)
        for given in d.legal("challenge_point", corner)[:1]:
            d.do(given)
    d.activity = None if d.state.activity is None else d.activity
    if d.state.over is None:
        d.stop(d.rng.uniform(5, 8))
    return True
