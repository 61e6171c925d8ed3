"""One reading of a bout so far, as the search carries it along."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import reduce
from typing import Literal, NamedTuple

from extract.rules.base import Corner, IllegalMove, Move, Ruleset, State

Score = tuple[int, int]
Basis = Literal["called", "inferred"]
Verdict = Literal["agrees", "stale", "swapped", "ahead", "wrong", "none"]
#: How many earlier boards a speaker may still have in mind.
MEMORY = 4


class Entry(NamedTuple):
    """An event of the reading. ``t`` is when it came onto the board (for an uncalled one the last moment possible),
    ``low`` the first moment possible. ``mentions`` are positions of the mentions that tell of it. ``overturned`` is
    the position of the review that took it off, ``review`` that of the one that put it on; ``off`` when it went.
    ``fact`` names the decision of a person that it stands by."""

    move: Move
    t: float
    low: float
    basis: Basis
    mentions: tuple[int, ...] = ()
    period: int = 0
    review: int | None = None
    overturned: int | None = None
    off: float | None = None
    named: bool = False
    fact: str | None = None


class Said(NamedTuple):
    """What a score mention, said at ``t``, was taken for: its value as ``(red, blue)`` and what it is against
    ``board``."""

    mention: int
    t: float
    said: Score
    board: Score
    verdict: Verdict


class ReviewRun(NamedTuple):
    """A challenge: who asked, when, by which mention; and how and when it was decided. ``fact`` names the decision of a
    person that it stands by: no words decide it."""

    by: Corner
    t: float
    asked: int | None
    outcome: str = "unknown"
    t_outcome: float | None = None
    told: int | None = None
    fact: str | None = None


class Trail(NamedTuple):
    """A persistent list, newest first."""

    item: Said
    rest: Trail | None


def nodes(trail: Trail | None) -> Iterator[Trail]:
    """The places of a trail, newest first."""
    while trail is not None:
        yield trail
        trail = trail.rest


@dataclass(slots=True)
class Hypothesis:
    """A reading: its log probability, the rules' state, the events, the board's history, the open challenge, and
    what each stated score was taken for."""

    logp: float
    state: State
    entries: tuple[Entry, ...] = ()
    boards: tuple[tuple[float, Score], ...] = ((0.0, (0, 0)),)
    reviews: tuple[ReviewRun, ...] = ()
    said: Trail | None = None
    quiet_since: float = 0.0
    #: What of the key hangs on state, boards and events; None until it is asked for. Whoever changes them makes a new
    #: reading by ``changed``; ``entries`` alone may be set where points, corners and what stands stay as they are.
    _place: tuple[object, ...] | None = field(default=None, compare=False, repr=False)

    @property
    def score(self) -> Score:
        return self.state.score

    @property
    def pending(self) -> ReviewRun | None:
        """The challenge that is being looked at, if any, and that the talk may decide."""
        last = self.reviews[-1] if self.reviews else None
        return last if last is not None and last.outcome == "unknown" and last.fact is None else None

    def key(self) -> tuple[object, ...]:
        """What decides how the future bears on this reading; of two with the same key the better one stands for
        both. Boards shown before matter for stale scores, the last events for calls told again. What a person has
        decided need not be in it: a reading has paid at once for what goes against that."""
        place = self._place
        if place is None:
            state = self.state
            place = self._place = (
                state.score,
                state.control,
                state.over is not None,
                state.period,
                state.running,
                state.warnings,
                tuple([score for _, score in self.boards[-3:]]),
                tuple([(e.move.corner, e.move.points, e.overturned is None) for e in self.entries[-2:]]),
            )
        last = self.reviews[-1] if self.reviews else None
        return (
            place,
            last and (last.by, last.t, last.outcome, last.t_outcome),
            # All of it but which mention it was.
            self.said and self.said.item[1:],
        )

    def with_said(self, said: Said, cost: float) -> Hypothesis:
        """This reading with one stated score taken for something."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, Trail(said, self.said),
            self.quiet_since, self._place,
        )  # fmt: skip

    def with_proof(self, said: Said, cost: float, trail: Trail | None) -> Hypothesis:
        """This reading with one stated score, after those of ``trail``, that shows the board: what nobody called has come
        by then."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, Trail(said, trail),
            said.t, self._place,
        )  # fmt: skip

    def relabelled(self, trail: Trail | None) -> Hypothesis:
        """The same reading with other verdicts on what was said."""
        out = self.cheaper(0.0)
        out.said = trail
        return out

    def cheaper(self, cost: float) -> Hypothesis:
        """The same reading at a cost (``cost`` is a log probability)."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, self.said,
            self.quiet_since, self._place,
        )  # fmt: skip

    def changed(
        self, state: State, entries: tuple[Entry, ...], boards: tuple[tuple[float, Score], ...], cost: float
    ) -> Hypothesis:
        """This reading with another log."""
        return Hypothesis(self.logp + cost, state, entries, boards, self.reviews, self.said, self.quiet_since)

    def push(self, rules: Ruleset, entry: Entry, cost: float) -> Hypothesis | None:
        """This reading with one more event, or None where the rules forbid it."""
        state = rules.after(self.state, entry.move)
        return None if state is None else self.moved(state, entry, cost)

    def moved(self, state: State, entry: Entry, cost: float) -> Hypothesis:
        """This reading with one more event, which leads to ``state``."""
        if entry.period != state.period:
            entry = entry._replace(period=state.period)
        boards = self.boards
        if state.score != self.state.score:
            boards = (*boards, (entry.t, state.score))
        return self.changed(state, (*self.entries, entry), boards, cost)

    def retold(self, at: int, mention: int, cost: float, *, named: bool = False) -> Hypothesis:
        """This reading with a mention taken to tell again of event ``at``; an event that only the score showed
        becomes a called one."""
        entry = self.entries[at]
        entry = entry._replace(
            mentions=(*entry.mentions, mention), basis="called", named=entry.named or named
        )
        out = self.cheaper(cost)
        out.entries = (*self.entries[:at], entry, *self.entries[at + 1 :])
        return out

    def renamed(self, rules: Ruleset, at: int, move: Move) -> Hypothesis:
        """This reading with another kind for event ``at``, if all that came after is still legal; else unchanged."""
        entries = (*self.entries[:at], self.entries[at]._replace(move=move), *self.entries[at + 1 :])
        if any(entry.overturned is not None for entry in entries):
            return self
        try:
            state = _in_order(rules, [entry.move for entry in entries])
        except IllegalMove:
            return self
        return self.changed(state, entries, self.boards, 0.0)

    def rebuilt(
        self, rules: Ruleset, entries: tuple[Entry, ...], t: float, cost: float, *, strict: bool = False
    ) -> Hypothesis | None:
        """This reading with its events changed (some taken off the board at ``t``); the state is computed anew. With
        ``strict`` None where what is left is not legal; a review may leave what without it could not have been."""
        moves = [e.move for e in entries if e.overturned is None]
        try:
            state = _in_order(rules, moves) if strict else rules.replay(moves)
        except IllegalMove:
            return None
        if state.challenges != self.state.challenges:
            state = state.but(challenges=self.state.challenges)
        boards = self.boards if state.score == self.boards[-1][1] else (*self.boards, (t, state.score))
        return self.changed(state, entries, boards, cost)

    def with_review(self, review: ReviewRun, cost: float, *, closing: bool = False) -> Hypothesis:
        """This reading with a challenge opened, or with its last one decided."""
        out = self.cheaper(cost)
        out.reviews = (*self.reviews[:-1], review) if closing else (*self.reviews, review)
        return out


def _in_order(rules: Ruleset, moves: Iterable[Move]) -> State:
    """The state after moves each of which must be legal where it stands; raises IllegalMove."""
    return reduce(rules.apply, moves, rules.initial())
