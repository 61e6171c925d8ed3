"""What the olympic and the folkstyle families share: caching, scoring, counting, the end of a bout."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Any, NamedTuple

from extract.rules.base import (
    BOUNDS,
    CORNERS,
    MOST_POINTS,
    Corner,
    IllegalMove,
    Move,
    Outcome,
    Played,
    Ruleset,
    State,
    other,
)
from extract.rules.edition import Edition, VictoryKind
from extract.rules.kinds import KINDS, kinds_that

#: Kinds whose points no action has earned.
UNEARNED = kinds_that("penalty") | {"challenge_point"}
#: States kept by each cache: enough for the bouts of some minutes, whose states come again; more would save one part in
#: sixteen of the time of fresh bouts at twice the memory.
CACHE_SIZE = 1 << 13
_SIDES = (None, *CORNERS)


def add(pair: tuple[int, int], corner: Corner, amount: int) -> tuple[int, int]:
    """The pair ``(red, blue)`` with ``amount`` added to one side.

    >>> add((2, 0), "blue", 4)
    (2, 4)
    """
    return (pair[0] + amount, pair[1]) if corner == "red" else (pair[0], pair[1] + amount)


def of(pair: tuple[int, int], corner: Corner) -> int:
    """One side of a pair ``(red, blue)``."""
    return pair[0] if corner == "red" else pair[1]


class _Open(NamedTuple):
    """The moves that are open, in order and to look them up."""

    moves: tuple[Move, ...]
    lookup: frozenset[Move]


_NOTHING = _Open((), frozenset())


class Family(Ruleset):
    """A ruleset that runs on an Edition. Subclasses say which moves are open and how position changes.

    ``legal_events``, ``after`` and ``replay`` are cached in each instance, since a search asks for the same states
    again and again.
    """

    #: Kinds of this family that bring no points, beside the marks and those that decide a bout.
    silent: tuple[str, ...] = ()
    #: Kinds that decide a bout while they compete, and at any time.
    decisive_running: tuple[str, ...] = ("fall",)
    decisive: tuple[str, ...] = ("disqualification", "injury", "forfeit")

    def __init__(self, edition: Edition, age_group: str | None = None) -> None:
        edition = edition if age_group is None else edition.for_age(age_group)
        self.data = edition
        self.age_group = age_group
        self.name = edition.style
        self.edition = edition.name
        self.period_seconds = edition.period_seconds
        self.rest_seconds = edition.rest_seconds
        self.extra_period_kinds = tuple(kind for kind, _ in edition.extra_periods)
        self.extra_period_seconds = tuple(seconds for _, seconds in edition.extra_periods)
        self.lost_challenge_points = edition.lost_challenge_points
        self.superiority_lead = edition.superiority_lead
        self.activity_seconds = edition.activity_seconds
        self.riding_time_seconds = edition.riding_time_seconds
        self.scoring_kinds = tuple(edition.points)
        silent = (*BOUNDS, *self.decisive_running, *self.decisive, *self.silent)
        self._points: dict[str, tuple[int, ...]] = dict.fromkeys(silent, (0,))
        self._points.update(edition.points)
        self._start = State(challenges=(edition.challenges, edition.challenges))
        self._legal_cached = lru_cache(maxsize=CACHE_SIZE)(self._legal)
        self._open_cached = lru_cache(maxsize=CACHE_SIZE)(lambda fields: self._open(State(*fields)))
        self._gist_cached = lru_cache(maxsize=CACHE_SIZE)(self._gist)
        self._after_cached = lru_cache(maxsize=CACHE_SIZE)(self._after)
        self._unchecked_cached = lru_cache(maxsize=CACHE_SIZE)(self._unchecked)
        self._ended_cached = lru_cache(maxsize=CACHE_SIZE)(self._ended)

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.name} {self.edition})"

    def __reduce__(self) -> tuple[Any, ...]:
        # The caches cannot be pickled; the edition's name is enough to find the ruleset again.
        from extract.rules import get_ruleset

        return get_ruleset, (self.name, self.edition, None, self.age_group)

    def initial(self) -> State:
        """The state before the first whistle."""
        return self._start

    def kinds(self) -> frozenset[str]:
        """Every kind of event that the style has."""
        return frozenset(self._points)

    def points_of(self, kind: str) -> tuple[int, ...]:
        """The points an event of ``kind`` can bring, most usual first; empty for a kind the style lacks."""
        return self._points.get(kind, ())

    def legal_events(self, state: State) -> tuple[Move, ...]:
        """Every move that may come next in ``state``; nothing once the bout is over."""
        return self._legal_cached(state).moves

    def allows(self, state: State, move: Move) -> bool:
        """Whether ``move`` may come next in ``state``; once the bout is over, whether it may still be given."""
        if state.over is not None:
            return self._after_cached(state, move) is not None
        return move in self._legal_cached(state).lookup

    def after(self, state: State, move: Move) -> State | None:
        """The state after ``move``, or None where the rules do not allow it."""
        return self._after_cached(state, move)

    def search_key(self, state: State) -> State:
        """A state with fewer particulars in which the same moves may come, and after each of them the same again."""
        return self._gist_cached(state)

    def apply(self, state: State, move: Move) -> State:
        """The state after ``move``. Raises IllegalMove when the rules do not allow it."""
        after = self._after_cached(state, move)
        if after is None:
            raise IllegalMove(self._reason(state, move))
        return after

    def played(self, moves: Iterable[Move], after: Played | None = None) -> Played:
        """The state after ``moves``, without a check of legality or of the end."""
        state, decided, closed = after or Played(self._start)
        for move in moves:
            state, ends = self._unchecked_cached(state, move)
            decided = ends or decided
            closed = closed or move.kind == "bout_end"
        return Played(state, decided, closed)

    def replay(self, moves: Iterable[Move], after: Played | None = None) -> State:
        """The state after ``moves``, without a check of legality; the end is judged after the last one."""
        return self._ended_cached(*self.played(moves, after))

    def outcome(self, state: State) -> Outcome | None:
        """How the bout stands or stood; None while nobody leads by any rule."""
        return state.over or self._standing(state)

    def victory(self, outcome: Outcome, state: State) -> VictoryKind | None:
        """The kind of victory on the edition's list that a bout ended so in ``state`` is; None where there is none."""
        return next((kind for kind in self.data.victories if self._is_victory(kind, outcome, state)), None)

    def _is_victory(self, kind: VictoryKind, outcome: Outcome, state: State) -> bool:
        if kind.by != outcome.by or kind.nobody != (outcome.winner is None):
            return False
        if outcome.winner is None:
            return True
        loser = other(outcome.winner)
        lead = of(state.score, outcome.winner) - of(state.score, loser)
        limit = self.data.caution_limit
        cautioned = limit is not None and of(state.cautions, loser) >= limit
        return (
            (kind.leads is None or kind.leads[0] <= lead <= kind.leads[1])
            and kind.loser_scored in (None, of(state.score, loser) > 0)
            and kind.cautioned in (None, cautioned)
        )

    # What a family must say.

    @abstractmethod
    def _scores(self, state: State) -> Iterator[Move]:
        """Scoring moves open while wrestling."""

    @abstractmethod
    def _calls(self, state: State) -> Iterator[Move]:
        """Warnings, penalties and the like, open while wrestling and in the breaks."""

    @abstractmethod
    def _starts(self, state: State) -> Iterator[Move]:
        """The ways in which the next period may start."""

    @abstractmethod
    def _changes(self, state: State, move: Move) -> dict[str, Any]:
        """The fields of the state that ``move`` changes beside score, counts and period."""

    @abstractmethod
    def _is_end(self, state: State) -> bool:
        """Whether the wrestling is done in ``state``, a fall, a lead or a disqualification apart."""

    @abstractmethod
    def _is_late(self, state: State, move: Move) -> bool:
        """Whether ``move`` may still be given although the bout is over."""

    def _counted(self, state: State) -> dict[str, tuple[int, int]]:
        """The counts of warnings and the like that leave the same moves open as those in ``state``."""
        return {}

    def _why_not(self, state: State, move: Move) -> str | None:
        """The family's own reason why ``move`` is not open, if it has one."""
        return None

    def _decided(self, state: State, move: Move) -> Outcome | None:
        """How ``move`` ends a bout by itself in ``state``, if it does."""
        kind = KINDS.get(move.kind)
        return Outcome(move.corner, move.kind) if kind is not None and kind.does == "end" else None

    # The common machine.

    def _legal(self, state: State) -> _Open:
        if state.over is not None:
            return _NOTHING
        # What is open depends on the score only by its being level, and not on the points one by one: states
        # that differ in nothing else share one tuple, which saves most of the work and of the memory. It is looked
        # up by their fields, as that is sooner done than to make such a state.
        level = state.score[0] == state.score[1]
        return self._open_cached((
            (0, 0) if level else (1, 0), state.period, state.running, state.control, state.warnings, state.cautions,
            state.challenges, state.activity, (), None, state.penalties, state.riding_time,
        ))  # fmt: skip

    def _open(self, state: State) -> _Open:
        moves: list[Move] = []
        if state.running:
            moves += self._scores(state)
            moves += self._calls(state)
            moves += (Move(kind, corner) for kind in self.decisive_running for corner in CORNERS)
            moves.append(Move("period_end"))
            if self._is_end(state.but(running=False)):
                moves.append(Move("bout_end"))
        else:
            moves += self._starts(state)
            if state.period > 0:
                moves += self._calls(state)
        moves += (Move(kind, corner) for kind in self.decisive for corner in CORNERS)
        both = {victory.by for victory in self.data.victories if victory.nobody}
        moves += (Move(kind) for kind in self.decisive if kind in both)
        return _Open(tuple(moves), frozenset(moves))

    def _gist(self, state: State) -> State:
        score = state.score
        if self.data.target_score is None:
            # Only the lead decides, and one that a move neither makes decisive nor takes away is like any other such.
            lead, limit = score[0] - score[1], self.superiority_lead
            # In a break the period that comes next counts: its start may be the last.
            early = state.over is None and state.period + (not state.running) < len(self.period_seconds)
            if (limit is None or abs(lead) < limit - MOST_POINTS) and (early or abs(lead) > MOST_POINTS):
                lead = 0 if early else MOST_POINTS + 1 if lead > 0 else -MOST_POINTS - 1
            score = (max(lead, 0), max(-lead, 0))
        return state.but(score=score, values=(), earned=(), **self._counted(state))

    def _after(self, state: State, move: Move) -> State | None:
        if state.over is not None:
            if move.kind == "bout_end":
                return state
            if not self._is_late(state, move):
                return None
            after = self._effect(state, move)
            # A lead that a late point takes away again ended nothing: they wrestle on.
            closed = not state.running and not self.extra_period_seconds
            return after.but(over=self._decided(state, move) or self._judge(after, closed=closed))
        if move not in self._legal_cached(state).lookup:
            return None
        after = self._effect(state, move)
        decided = self._decided(state, move)
        if decided is not None:
            return after.but(over=decided)
        over = self._judge(after, closed=move.kind == "bout_end")
        return after if over is None else after.but(over=over)

    def _unchecked(self, state: State, move: Move) -> tuple[State, Outcome | None]:
        """The state after a move that need not be legal, and how the move ends the bout by itself, if it does."""
        return self._effect(state, move), self._decided(state, move)

    def _ended(self, state: State, decided: Outcome | None, closed: bool) -> State:
        """The state after the last move, judged."""
        return state.but(over=decided or self._judge(state, closed))

    def _effect(self, state: State, move: Move) -> State:
        if not self.points_of(move.kind):
            raise IllegalMove(f"{move.kind}: {self.name} has no such event")
        if move.corner not in _SIDES or move.against not in _SIDES:
            raise IllegalMove(
                f"{move.kind}: the corners are red and blue, not {move.corner or move.against!r}"
            )
        changes = self._changes(state, move)
        if move.kind == "period_start":
            changes.update(period=state.period + 1, running=True)
        elif move.kind in ("period_end", "bout_end"):
            changes["running"] = False
        if move.corner is not None and move.points:
            changes["score"] = add(state.score, move.corner, move.points)
            changes["values"] = (*state.values, (move.corner, move.points))
            changes["earned"] = (*state.earned, move.kind not in UNEARNED)
        count = KINDS[move.kind].counts
        offender = move.against or (move.corner and other(move.corner))
        if count is not None and offender is not None:
            changes[count] = add(getattr(state, count), offender, 1)
        return state.but(over=None, **changes)

    def _judge(self, state: State, closed: bool) -> Outcome | None:
        """How the bout is over in ``state``, or None; ``closed`` when its end was called."""
        limit = self.data.caution_limit
        for corner in CORNERS:
            if limit is not None and of(state.cautions, corner) >= limit:
                return Outcome(other(corner), "disqualification")
        standing = self._standing(state)
        if standing is not None and standing.by == "superiority":
            return standing
        if closed or self._is_end(state):
            return standing or Outcome(None, "unknown")
        return None

    def _standing(self, state: State) -> Outcome | None:
        red, blue = state.score
        if red != blue:
            leader: Corner = "red" if red > blue else "blue"
            lead = self.superiority_lead
            return Outcome(leader, "superiority" if lead and abs(red - blue) >= lead else "points")
        holder = self.criteria(state)
        return None if holder is None else Outcome(holder, "criteria")

    def _reason(self, state: State, move: Move) -> str:
        if state.over is not None:
            return f"{move.kind}: the bout is over ({state.over.by})"
        allowed = self.points_of(move.kind)
        if not allowed:
            return f"{move.kind}: {self.name} has no such event"
        if move.points not in allowed:
            worth = " or ".join(map(str, allowed))
            return f"{move.kind}: worth {worth} in {self.name} {self.edition}, not {move.points}"
        if KINDS[move.kind].counts and (move.against is None or move.corner == move.against):
            return f"{move.kind}: `against` must name the offender, and `corner` the other side or nobody"
        if move.kind == "period_start":
            return f"{move.kind}: not from period {state.period}{' while it runs' if state.running else ''}"
        own = self._why_not(state, move)
        if own is not None:
            return f"{move.kind}: {own}"
        if not state.running:
            return f"{move.kind}: {'in a break' if state.period else 'before the bout'} nobody is wrestling"
        return f"{move.kind}: not open to {move.corner or move.against or 'anybody'} in period {state.period}"
