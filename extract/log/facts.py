"""What a person has decided, as the search keeps it: hard facts.

A reading that goes against one is not forbidden but costs more than any talk can bring in, so it is gone as soon as
there is one that does not; where all do, the facts cannot be true together, and ``broken`` says which are not kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import takewhile

from extract.log.frame import Frame
from extract.log.hypothesis import Entry, Hypothesis, ReviewRun, Said, Trail, nodes
from extract.log.model import Model
from extract.log.reviews import decided, taken_off
from extract.rules.base import Corner, IllegalMove, Move, Outcome, Ruleset
from extract.rules.kinds import KINDS

#: Log probability of a reading against one fact. No talk brings in as much: the beam lets go what is e^9 behind.
_AGAINST = -60.0
#: Log probability of an event that a person has put where the rules do not allow it: rather so than not at all.
_ILLEGAL = -40.0
#: An event that a challenge brought is put at its outcome, give or take so many seconds.
_AT_OUTCOME_S = 4.0
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

    def hits(self, entry: Entry) -> bool:
        """Whether this is the event that there was not: it may have been told of at any time from its ``low`` on."""
        if entry.fact is not None or entry.move[1:] != self.move[1:]:
            return False
        if not self.move.points and entry.move.kind != self.move.kind:
            return False
        low = entry.low if entry.basis == "inferred" else entry.t
        return low <= self.high and entry.t >= self.low


@dataclass(frozen=True, slots=True)
class Ruled:
    """A challenge as it was: who asked, when, how it was decided and when; the mentions that tell of it."""

    name: str
    t: float
    by: Corner
    outcome: str
    t_outcome: float
    asked: int | None = None
    told: int | None = None


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
    bounds: tuple[Bound, ...] = ()
    silent: frozenset[int] = frozenset()
    meant: Mapping[int, str] = field(default_factory=dict)
    right: Mapping[int, bool] = field(default_factory=dict)
    outcome: Outcome | None = None

    def __bool__(self) -> bool:
        return bool(self.fixed or self.barred or self.ruled or self.right)

    def decided(self, entry: Entry) -> str | None:
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
            yield after.cheaper(against * _AGAINST) if against else after

    def _against(self, before: Hypothesis, after: Hypothesis) -> int:
        """How many facts the last step went against."""
        same = 0
        for old, new in zip(before.entries, after.entries, strict=False):
            if old is not new:
                break
            same += 1
        fresh, stale = after.entries[same:], before.entries[same:]
        count = sum(bar.hits(entry) for entry in fresh for bar in self.barred)
        kept = {entry.fact: entry.overturned for entry in fresh if entry.fact is not None}
        for entry in stale:
            if entry.fact is not None:
                # Gone, or taken off though it stands.
                lost = entry.fact not in kept
                count += lost or (
                    kept[entry.fact] is not None and entry.overturned is None and not self._off(entry.fact)
                )
        return count

    def _misread(self, trail: Trail | None, shared: Trail | None) -> int:
        """How many scores, of those in ``trail`` that are not in ``shared`` too, are taken for what they were not."""
        known = {id(node) for node in nodes(shared)}
        fresh = takewhile(lambda node: id(node) not in known, nodes(trail))
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

    def taken_up(
        self, beam: Iterable[Hypothesis], t: float, fact: Fixed | Ruled, model: Model
    ) -> list[Hypothesis]:
        """The beam's readings with one more fact in them."""
        out: list[Hypothesis] = []
        for h in beam:
            if isinstance(fact, Fixed):
                steps: Iterable[Hypothesis] = (
                    _brought(h, fact, model) if fact.brought else _put(h, fact, model)
                )
            elif t < fact.t:
                steps = [h.with_review(ReviewRun(fact.by, fact.t, fact.asked), 0.0)]
            else:
                steps = self._closed(h, fact, model)
            out.extend(self.weighed(h, steps))
        return out

    def _closed(self, h: Hypothesis, ruled: Ruled, model: Model) -> Iterator[Hypothesis]:
        """The challenge decided. What it is known to have taken off goes; without that knowledge, what it may have."""
        if h.pending is None:
            yield h
            return
        gone = {
            fixed.name
            for fixed in self.fixed
            if fixed.overturned and fixed.t <= ruled.t_outcome and ruled is self._nearest(fixed)
        }
        for out in decided(h, ruled.told, ruled.outcome, ruled.t_outcome, 0.0, model):
            review = len(out.reviews) - 1
            on = [k for k, e in enumerate(out.entries) if e.fact in gone and e.overturned is None]
            if on and ruled.outcome == "won":
                full = out
                for k in on:
                    full = taken_off(full, model.rules, k, review, ruled.t_outcome, 0.0) or full
                yield full
            yield out.cheaper(len(on) * _AGAINST)

    def _nearest(self, fixed: Fixed) -> Ruled | None:
        """The first challenge decided after an event that one took off."""
        after = [r for r in self.ruled if r.t_outcome >= fixed.t]
        return min(after, key=lambda r: r.t_outcome, default=None)

    def broken(self, h: Hypothesis, frame: Frame, rules: Ruleset) -> Iterator[tuple[str, str]]:
        """The names of the facts that a finished reading does not keep, or that the rules do not allow where they
        stand, each with the reason."""
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
            elif reason := _illegal(h, at, rules):
                yield fixed.name, f"the rules do not allow it there ({reason})"
        for bar in self.barred:
            if any(bar.hits(entry) for entry in h.entries):
                yield bar.name, "every reading has it all the same"
        for node in nodes(h.said):
            if self._misreads(node.item):
                yield self.meant[node.item.mention], "no reading of the bout has the board so"
        for ruled in self.ruled:
            if not any(
                (r.by, r.outcome) == (ruled.by, ruled.outcome) and abs(r.t - ruled.t) < 1 for r in h.reviews
            ):
                yield ruled.name, "no reading has the challenge so"
        periods = {period.number: period for period in frame.periods}
        for bound in self.bounds:
            period = periods.get(bound.period)
            begins = bound.kind == "period_start"
            if period is None or (period.start if begins else period.end) != bound.t:
                yield bound.name, "the periods cannot be laid out so"


#: Nothing is decided.
NO_FACTS = Facts()


def _put(h: Hypothesis, fixed: Fixed, model: Model) -> Iterator[Hypothesis]:
    """The event in a reading: as it is; where the rules forbid it, after the uncalled one that makes it legal; and
    against the rules."""
    entry = _entry(fixed)
    pushed = h.push(model.rules, entry, 0.0)
    if pushed is not None:
        yield pushed
        return
    for price, steps in model.uncalled.bridges(h.state, fixed.move):
        at: Hypothesis | None = h
        for step in steps:
            last = h.entries[-1].t if h.entries else 0.0
            at = (
                at.push(model.rules, Entry(step, max(fixed.t - 1.0, last), last, "inferred"), price)
                if at
                else None
            )
        after = at.push(model.rules, entry, 0.0) if at is not None else None
        if after is not None:
            yield after
    forced = h.rebuilt(model.rules, (*h.entries, entry._replace(period=h.state.period)), fixed.t, _ILLEGAL)
    if forced is not None:
        yield forced


def _entry(fixed: Fixed) -> Entry:
    basis = "called" if fixed.mentions else "inferred"
    return Entry(fixed.move, fixed.t, fixed.t, basis, fixed.mentions, named=True, fact=fixed.name)  # type: ignore[arg-type]


def _brought(h: Hypothesis, fixed: Fixed, model: Model) -> Iterator[Hypothesis]:
    """The event that a challenge brought: the one that its outcome has put into the reading, or else one more."""
    for k in range(len(h.entries) - 1, -1, -1):
        entry = h.entries[k]
        same = entry.move[1:] == fixed.move[1:] and entry.fact is None
        if same and entry.review is not None and abs(entry.t - fixed.t) <= _AT_OUTCOME_S:
            known = entry._replace(move=fixed.move, named=True, fact=fixed.name)
            out = h.cheaper(0.0)
            out.entries = (*h.entries[:k], known, *h.entries[k + 1 :])
            yield out
            return
    last = len(h.reviews) - 1 if h.reviews and h.reviews[-1].t_outcome is not None else None
    for out in _put(h, fixed, model):
        out.entries = (*out.entries[:-1], out.entries[-1]._replace(review=last))
        yield out


def _illegal(h: Hypothesis, at: int, rules: Ruleset) -> str:
    """Why the rules do not allow an event where it stands; empty where they do."""
    entry = h.entries[at]
    before = [e.move for e in h.entries[:at] if e.overturned is None or (e.off or 0.0) > entry.t]
    try:
        state = rules.initial()
        for move in before:
            # A review may have left what without it could not have been: that is not this event's fault.
            try:
                state = rules.apply(state, move)
            except IllegalMove:
                state = rules.replay([*before[: before.index(move) + 1]])
        rules.apply(state, entry.move)
    except IllegalMove as reason:
        return str(reason)
    return ""


def ends_bout(fixed: Fixed) -> bool:
    """Whether the bout is over with this event."""
    return KINDS[fixed.move.kind].does == "end" and not fixed.overturned
