"""One reading of a bout so far, as the search carries it along."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from extract.rules.base import Corner, IllegalMove, Move, Played, Ruleset, State

Score = tuple[int, int]
Basis = Literal["called", "inferred"]
Verdict = Literal["agrees", "stale", "swapped", "ahead", "wrong", "none"]
#: How many earlier boards a speaker may still have in mind.
MEMORY = 4


class ReadingEvent(NamedTuple):
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
    answer: int | None = None
    fact: str | None = None


@dataclass(slots=True, unsafe_hash=True)
class SaidHistory:
    """A persistent list, newest first. Its two fields never change."""

    item: Said
    rest: SaidHistory | None
    #: How many places back one value said over began, with this one (0 until it is asked for), and where, if not here.
    _places: int = field(default=0, compare=False, repr=False)
    _first: SaidHistory | None = field(default=None, compare=False, repr=False)

    def run(self, within_s: float) -> tuple[SaidHistory, int]:
        """Where the value said here, over and over, was said first, each time within so many seconds of the time before and
        against the same board; and how many places back that is, with this one."""
        waiting: list[SaidHistory] = []
        node = self
        while not node._places and node.rest is not None and _over_again(node.item, node.rest.item, within_s):
            waiting.append(node)
            node = node.rest
        first, places = node._first or node, node._places or 1
        node._places = places
        for node in reversed(waiting):
            places += 1
            node._places, node._first = places, first
        return first, places


def _over_again(item: Said, before: Said, within_s: float) -> bool:
    same = item.said == before.said and item.board == before.board
    return same and item.t - before.t < within_s


def nodes(history: SaidHistory | None) -> Iterator[SaidHistory]:
    """The places of a history, newest first."""
    while history is not None:
        yield history
        history = history.rest


class Earlier(NamedTuple):
    """The first ``events`` of a reading, so many, which seldom change any more: what comes of those that stand, whether one
    is overturned, and the state after all of them where each is legal in its place (None: not). So what a step costs does
    not grow with the log."""

    events: int = 0
    played: Played | None = None
    overturned: bool = False
    ordered: State | None = None


#: Of the events of a reading so many at least are not counted as earlier ones, and so many at most.
_RECENT, _MOST_RECENT = 16, 48


@dataclass(slots=True)
class Hypothesis:
    """A reading: its log probability, the rules' state, the events, the board's history, the open challenge, and
    what each stated score was taken for."""

    logp: float
    state: State
    entries: tuple[ReadingEvent, ...] = ()
    boards: tuple[tuple[float, Score], ...] = ((0.0, (0, 0)),)
    reviews: tuple[ReviewRun, ...] = ()
    said: SaidHistory | None = None
    quiet_since: float = 0.0
    #: What of the key hangs on state, boards and events; None until it is asked for. Whoever changes them makes a new
    #: reading by ``changed``; ``entries`` alone may be set where points, corners and what stands stay as they are.
    _place: tuple[object, ...] | None = field(default=None, compare=False, repr=False)
    _earlier: Earlier = field(default=Earlier(), compare=False, repr=False)

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
            # When one that is decided was asked for no longer matters.
            last and (last.by, last.outcome, last.t if last.t_outcome is None else last.t_outcome),
            # All of it but which mention it was.
            self.said and self.said.item[1:],
        )

    def with_said(self, said: Said, cost: float) -> Hypothesis:
        """This reading with one stated score taken for something."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, SaidHistory(said, self.said),
            self.quiet_since, self._place, self._earlier,
        )  # fmt: skip

    def with_proof(self, said: Said, cost: float, history: SaidHistory | None) -> Hypothesis:
        """This reading with one stated score, after those of ``history``, that shows the board: what nobody called has come
        by then."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, SaidHistory(said, history),
            said.t, self._place, self._earlier,
        )  # fmt: skip

    def relabelled(self, history: SaidHistory | None) -> Hypothesis:
        """The same reading with other verdicts on what was said."""
        out = self.cheaper(0.0)
        out.said = history
        return out

    def cheaper(self, cost: float) -> Hypothesis:
        """The same reading at a cost (``cost`` is a log probability)."""
        return Hypothesis(
            self.logp + cost, self.state, self.entries, self.boards, self.reviews, self.said,
            self.quiet_since, self._place, self._earlier,
        )  # fmt: skip

    def changed(
        self,
        state: State,
        entries: tuple[ReadingEvent, ...],
        boards: tuple[tuple[float, Score], ...],
        cost: float,
        earlier: Earlier,
    ) -> Hypothesis:
        """This reading with another log, of which ``earlier`` is known."""
        return Hypothesis(
            self.logp + cost, state, entries, boards, self.reviews, self.said, self.quiet_since, None, earlier
        )

    def replayed(self, rules: Ruleset, entries: tuple[ReadingEvent, ...], since: int) -> State:
        """The state after other events, the same as those of this reading before position ``since``. Raises
        IllegalMove."""
        known = self._known(since)
        moves = [e.move for e in entries[known.events :] if e.overturned is None]
        return rules.replay(moves, known.played)

    def _known(self, since: int) -> Earlier:
        """What is known of the events before ``since``, or of fewer."""
        if since < self._earlier.events:
            return Earlier()
        return self._earlier

    def push(self, rules: Ruleset, entry: ReadingEvent, cost: float) -> Hypothesis | None:
        """This reading with one more event, or None where the rules forbid it."""
        state = rules.after(self.state, entry.move)
        return None if state is None else self.moved(rules, state, entry, cost)

    def moved(self, rules: Ruleset, state: State, entry: ReadingEvent, cost: float) -> Hypothesis:
        """This reading with one more event, which leads to ``state``."""
        if entry.period != state.period:
            entry = entry._replace(period=state.period)
        boards = self.boards
        if state.score != self.state.score:
            boards = (*boards, (entry.t, state.score))
        entries = (*self.entries, entry)
        earlier = self._earlier
        if len(entries) - earlier.events > _MOST_RECENT:
            earlier = _grown(earlier, rules, entries[earlier.events : -_RECENT])
        return self.changed(state, entries, boards, cost, earlier)

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
        known = self._known(at)
        if known.overturned or any(entry.overturned is not None for entry in entries[known.events :]):
            return self
        state = _in_order(rules, known, entries)
        return self if state is None else self.changed(state, entries, self.boards, 0.0, known)

    def rebuilt(
        self,
        rules: Ruleset,
        entries: tuple[ReadingEvent, ...],
        since: int,
        t: float,
        cost: float,
        *,
        strict: bool = False,
    ) -> Hypothesis | None:
        """This reading with its events changed from position ``since`` on (some taken off the board at ``t``); the state is
        computed anew. With ``strict`` None where what is left is not legal; a review may leave what without it could not
        have been."""
        known = self._known(since)
        try:
            state = _in_order(rules, known, entries) if strict else self.replayed(rules, entries, since)
        except IllegalMove:
            return None
        if state is None:
            return None
        if state.challenges != self.state.challenges:
            state = state.but(challenges=self.state.challenges)
        boards = self.boards if state.score == self.boards[-1][1] else (*self.boards, (t, state.score))
        return self.changed(state, entries, boards, cost, known)

    def started_otherwise(self, state: State, entries: tuple[ReadingEvent, ...], cost: float) -> Hypothesis:
        """This reading with another last event, a start that changes nothing on the board."""
        return self.changed(state, entries, self.boards, cost, self._known(len(entries) - 1))

    def with_review(self, review: ReviewRun, cost: float, *, closing: bool = False) -> Hypothesis:
        """This reading with a challenge opened, or with its last one decided."""
        out = self.cheaper(cost)
        out.reviews = (*self.reviews[:-1], review) if closing else (*self.reviews, review)
        return out


def _grown(earlier: Earlier, rules: Ruleset, entries: tuple[ReadingEvent, ...]) -> Earlier:
    """The same with more events counted as earlier ones."""
    standing = [e.move for e in entries if e.overturned is None]
    return Earlier(
        earlier.events + len(entries),
        rules.played(standing, earlier.played),
        earlier.overturned or len(standing) < len(entries),
        _applied(rules, earlier, standing),
    )


def _in_order(rules: Ruleset, known: Earlier, entries: tuple[ReadingEvent, ...]) -> State | None:
    """The state after the events that stand, of which ``known`` are the first; None where one is not legal in its place."""
    return _applied(rules, known, [e.move for e in entries[known.events :] if e.overturned is None])


def _applied(rules: Ruleset, known: Earlier, moves: Iterable[Move]) -> State | None:
    state = known.ordered if known.events else rules.initial()
    for move in moves:
        state = rules.after(state, move) if state is not None else None
    return state
