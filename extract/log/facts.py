"""What a person has decided, as the search keeps it: hard facts.

A reading that goes against one is not forbidden but costs more than any talk can bring in, so it is gone as soon as
there is one that does not; where all do, the facts cannot be true together, and ``broken`` says which are not kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import takewhile

from extract.log.hypothesis import Hypothesis, ReadingEvent, ReviewRun, Said, SaidHistory, nodes
from extract.rules.base import Corner, IllegalMove, Move, Outcome, Ruleset
from extract.rules.kinds import KINDS

#: Log probability of a reading against one fact. No talk brings in as much: the beam lets go what is e^9 behind.
AGAINST = -60.0
#: Log probability of an event that a person has put where the rules do not allow it: rather so than not at all.
ILLEGAL = -40.0
#: Facts are kept to a hundredth of a second: what came at the same moment came so little before, seconds.
_ROUNDED_S = 0.02


@dataclass(frozen=True, slots=True)
class Fixed:
    """An event that there was, at ``t`` (seconds of recording). ``overturned`` says that a challenge took it off,
    ``brought`` that the outcome of one put it on. ``mentions`` are the positions of those that tell of it."""

    name: str
    t: float
    move: Move
    overturned: bool = False
    brought: bool = False
    mentions: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Barred:
    """That between ``low`` and ``high`` there was no such event."""

    name: str
    low: float
    high: float
    move: Move

    def hits(self, entry: ReadingEvent) -> bool:
        """Whether this is the event that there was not: one that nobody called where half of the time in which it can
        have been is of that."""
        if not self._is_such(entry):
            return False
        if entry.basis == "called":
            return self.low <= entry.t <= self.high
        both = min(entry.t, self.high) - max(entry.low, self.low)
        return both >= 0 and both >= (entry.t - entry.low) / 2

    def stands_at(self, entry: ReadingEvent, t: float) -> bool:
        """Whether a finished log has the event that there was not: it puts one that nobody called at a moment of its own,
        ``t``."""
        return self._is_such(entry) and self.low <= t <= self.high

    def _is_such(self, entry: ReadingEvent) -> bool:
        same = entry.fact is None and entry.move[1:] == self.move[1:]
        return same and bool(self.move.points or entry.move.kind == self.move.kind)


@dataclass(frozen=True, slots=True)
class Ruled:
    """A challenge as it was: who asked, when, how it was decided and when; the mentions that tell of it."""

    name: str
    t: float
    by: Corner
    outcome: str
    t_outcome: float
    asked: int | None = None
    answer: int | None = None


@dataclass(frozen=True, slots=True)
class Dropped:
    """That no challenge was asked for between ``low`` and ``high``, but for one that is a fact."""

    name: str
    low: float
    high: float

    def hits(self, review: ReviewRun) -> bool:
        """Whether this is a challenge that there was not."""
        return review.fact is None and self.low <= review.t <= self.high


@dataclass(frozen=True, slots=True)
class Bound:
    """Where a period begins or ends: ``kind`` is period_start or period_end, ``t`` seconds of recording."""

    name: str
    kind: str
    period: int
    t: float


@dataclass(frozen=True, slots=True)
class Facts:
    """All that is decided of a bout. ``silent`` are mentions that say nothing more to the search: what they say is a
    fact already, or was none. ``meant`` names the decision on what a score mention states, which is in the mention;
    ``right`` says of one whether it was on the board."""

    fixed: tuple[Fixed, ...] = ()
    barred: tuple[Barred, ...] = ()
    ruled: tuple[Ruled, ...] = ()
    dropped: tuple[Dropped, ...] = ()
    bounds: tuple[Bound, ...] = ()
    silent: frozenset[int] = frozenset()
    meant: Mapping[int, str] = field(default_factory=dict)
    right: Mapping[int, bool] = field(default_factory=dict)
    outcome: Outcome | None = None

    def __bool__(self) -> bool:
        return bool(self.fixed or self.barred or self.ruled or self.dropped or self.right)

    def times(self) -> Iterator[float]:
        """When it is known that something of the bout happened, in no order."""
        yield from (fixed.t for fixed in self.fixed)
        yield from (ruled.t for ruled in self.ruled)
        yield from (bound.t for bound in self.bounds)

    def decided(self, entry: ReadingEvent) -> str | None:
        """The name of the decision that an event stands by, if any."""
        if entry.fact is not None:
            return entry.fact
        at = (entry.move.kind, entry.period)
        return next((bound.name for bound in self.bounds if (bound.kind, bound.period) == at), None)

    def weighed(self, before: Hypothesis, steps: Iterable[Hypothesis]) -> Iterator[Hypothesis]:
        """The readings that ``before`` leads to, at the price of what in them goes against a fact."""
        for after in steps:
            against = self._against(before, after) if after.entries is not before.entries else 0
            if self.right and after.said is not before.said:
                against += self._misread(after.said, before.said) - self._misread(before.said, after.said)
            if after.reviews is not before.reviews:
                against += self._misjudged(after.reviews) - self._misjudged(before.reviews)
            yield after.cheaper(against * AGAINST) if against else after

    def paid(self, h: Hypothesis) -> bool:
        """Whether a reading has paid for something in it that goes against a fact."""
        return (
            any(bar.hits(entry) for bar in self.barred for entry in h.entries)
            or self._misjudged(h.reviews) > 0
            or (bool(self.right) and self._misread(h.said, None) > 0)
            or any(
                e.fact is not None and e.overturned is not None and not self._off(e.fact) for e in h.entries
            )
        )

    def _misjudged(self, reviews: tuple[ReviewRun, ...]) -> int:
        """How many challenges there are that there were not."""
        return sum(drop.hits(review) for review in reviews for drop in self.dropped)

    def _against(self, before: Hypothesis, after: Hypothesis) -> int:
        """How many facts the last step went against."""
        same = 0
        for old, new in zip(before.entries, after.entries, strict=False):
            if old is not new:
                break
            same += 1
        fresh, stale = after.entries[same:], before.entries[same:]
        count = sum(bar.hits(entry) for entry in fresh for bar in self.barred)
        count -= sum(bar.hits(entry) for entry in stale for bar in self.barred)
        kept = {entry.fact: entry.overturned for entry in fresh if entry.fact is not None}
        for entry in stale:
            if entry.fact is not None:
                # Gone, or taken off though it stands.
                lost = entry.fact not in kept
                count += lost or (
                    kept[entry.fact] is not None and entry.overturned is None and not self._off(entry.fact)
                )
        return count

    def _misread(self, history: SaidHistory | None, shared: SaidHistory | None) -> int:
        """How many scores, of those in ``history`` that are not in ``shared`` too, are taken for what they were not."""
        known = {id(node) for node in nodes(shared)}
        fresh = takewhile(lambda node: id(node) not in known, nodes(history))
        return sum(self._misreads(node.item) for node in fresh)

    def _misreads(self, said: Said) -> bool:
        right = self.right.get(said.mention)
        return right is not None and right != (said.verdict == "agrees")

    def _off(self, name: str) -> bool:
        return any(fixed.overturned for fixed in self.fixed if fixed.name == name)

    def ticks(self) -> Iterator[tuple[float, Fixed | Ruled]]:
        """When the search has to take up each fact, in no order: a challenge at its start and again at its outcome."""
        for fixed in self.fixed:
            yield fixed.t + (_ROUNDED_S if fixed.brought else -_ROUNDED_S), fixed
        for ruled in self.ruled:
            yield ruled.t - _ROUNDED_S, ruled
            if ruled.outcome != "unknown":
                yield ruled.t_outcome, ruled

    def broken(self, h: Hypothesis, times: Sequence[float], rules: Ruleset) -> Iterator[tuple[str, str]]:
        """The names of the facts that a finished reading, its events at these ``times``, does not keep, or that the
        rules do not allow where they stand, each with the reason."""
        for fixed in self.fixed:
            at = next((k for k, e in enumerate(h.entries) if e.fact == fixed.name), None)
            if at is None:
                yield fixed.name, "no reading of the bout has it"
                continue
            off = h.entries[at].overturned is not None
            if off != fixed.overturned:
                yield (
                    fixed.name,
                    "no challenge takes it off" if fixed.overturned else "a challenge takes it off",
                )
            elif abs(times[at] - fixed.t) > _ROUNDED_S:
                yield fixed.name, "something that comes before it is later"
            elif reason := _illegal(h, at, rules):
                yield fixed.name, f"the rules do not allow it there ({reason})"
        for bar in self.barred:
            if any(bar.hits(e) or bar.stands_at(e, t) for e, t in zip(h.entries, times, strict=False)):
                yield bar.name, "every reading has it all the same"
        for node in nodes(h.said):
            if self._misreads(node.item):
                yield self.meant[node.item.mention], "no reading of the bout has the board so"
        for ruled in self.ruled:
            if not any((r.fact, r.outcome) == (ruled.name, ruled.outcome) for r in h.reviews):
                yield ruled.name, "no reading has the challenge so"
        for drop in self.dropped:
            if any(drop.hits(review) for review in h.reviews):
                yield drop.name, "every reading has a challenge there all the same"
        for bound in self.bounds:
            at = next((k for k, e in enumerate(h.entries) if self.decided(e) == bound.name), None)
            if at is None or abs(times[at] - bound.t) > _ROUNDED_S:
                yield bound.name, "the periods cannot be laid out so, with all that is in them"


#: Nothing is decided.
NO_FACTS = Facts()


def _illegal(h: Hypothesis, at: int, rules: Ruleset) -> str:
    """Why the rules do not allow an event where it stands; empty where they do."""
    entry = h.entries[at]
    before = [e.move for e in h.entries[:at] if e.overturned is None or (e.off or 0.0) > entry.t]
    state = rules.initial()
    for k, move in enumerate(before):
        try:
            state = rules.apply(state, move)
        except IllegalMove:
            # A review may have left what without it could not have been: that is not this event's fault.
            state = rules.replay(before[: k + 1])
    try:
        rules.apply(state, entry.move)
    except IllegalMove as reason:
        return str(reason)
    return ""


def ends_bout(fixed: Fixed) -> bool:
    """Whether the bout is over with this event."""
    return KINDS[fixed.move.kind].does == "end" and not fixed.overturned
