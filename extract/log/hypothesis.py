"""One reading of a bout so far, as the search carries it along."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
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
class Floor:
    """From which log probability on a reading is worth building; ``lost`` are those of the ones that were not."""

    least: float = -math.inf
    lost: list[float] = field(default_factory=list)

    def holds(self, logp: float) -> bool:
        """Whether a reading of this log probability is worth building."""
        if logp >= self.least:
            return True
        self.lost.append(logp)
        return False


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
        state = self.state
        return (
            state.score,
            state.control,
            state.over is not None,
            state.period,
            state.running,
            state.warnings,
            self.reviews
            and (
                self.reviews[-1].by,
                self.reviews[-1].t,
                self.reviews[-1].outcome,
                self.reviews[-1].t_outcome,
            ),
            self.said
            and (self.said.item.t, self.said.item.said, self.said.item.board, self.said.item.verdict),
            tuple(score for _, score in self.boards[-3:]),
            tuple((e.move.corner, e.move.points, e.overturned is None) for e in self.entries[-2:]),
        )

    def with_said(self, said: Said, cost: float) -> Hypothesis:
        """This reading with one stated score taken for something."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, Trail(said, self.said),
            self.quiet_since,
        )  # fmt: skip

    def with_proof(self, said: Said, cost: float) -> Hypothesis:
        """This reading with one stated score that shows the board: what nobody called has come by then."""
        out = self.with_said(said, cost)
        out.quiet_since = said.t
        return out

    def relabelled(self, trail: Trail | None) -> Hypothesis:
        """The same reading with other verdicts on what was said."""
        out = self.cheaper(0.0)
        out.said = trail
        return out

    def cheaper(self, cost: float) -> Hypothesis:
        """The same reading at a cost (``cost`` is a log probability)."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, self.said,
            self.quiet_since,
        )  # fmt: skip

    def push(self, rules: Ruleset, entry: Entry, cost: float) -> Hypothesis | None:
        """This reading with one more event, or None where the rules forbid it."""
        state = rules.after(self.state, entry.move)
        if state is None:
            return None
        if entry.period != state.period:
            entry = entry._replace(period=state.period)
        boards = self.boards
        if state.score != self.state.score:
            boards = (*boards, (entry.t, state.score))
        return Hypothesis(
            self.logp + cost, state, (*self.entries, entry), boards, self.reviews, self.said,
            self.quiet_since,
        )  # fmt: skip

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
        out = self.cheaper(0.0)
        out.state, out.entries = state, entries
        return out

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
            state = replace(state, challenges=self.state.challenges)
        boards = self.boards if state.score == self.boards[-1][1] else (*self.boards, (t, state.score))
        out = self.cheaper(cost)
        out.state, out.entries, out.boards = state, entries, boards
        return out

    def with_review(self, review: ReviewRun, cost: float, *, closing: bool = False) -> Hypothesis:
        """This reading with a challenge opened, or with its last one decided."""
        out = self.cheaper(cost)
        out.reviews = (*self.reviews[:-1], review) if closing else (*self.reviews, review)
        return out


def _in_order(rules: Ruleset, moves: Iterable[Move]) -> State:
    """The state after moves each of which must be legal where it stands; raises IllegalMove."""
    return reduce(rules.apply, moves, rules.initial())
