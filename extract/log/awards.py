"""What a call may be: a new award, an award told again, or nothing."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from typing import NamedTuple

from extract.log.cutoff import Cutoff
from extract.log.hypothesis import Hypothesis, ReadingEvent
from extract.log.model import Model
from extract.log.parameters import LEAST, log_p
from extract.log.reviews import is_looked_at, lost_as_called
from extract.log.said_history import relabelled, said_since
from extract.log.uncalled_events import MOST_BRIDGES
from extract.mentions.model import CallMention
from extract.rules.base import BOUNDS, PENALTIES, WARNINGS, Corner, Move, other
from extract.rules.kinds import KINDS

#: How many events back a call may tell of again.
_BACK = 5


class _Option(NamedTuple):
    """A move that a call may announce, and its log probability; ``if_open`` where the call does not say it in so many
    words, so that it is only thought of where the rules allow it."""

    move: Move
    cost: float
    if_open: bool = False


class CallSteps:
    """Every reading that goes on from one over a call and that passes the cutoff."""

    def __init__(self, index: int, mention: CallMention, model: Model) -> None:
        get = model.parameters.get
        self._index, self._mention, self._model = index, mention, model
        self._genuine = p = model.call_genuine(mention)
        self._nothing = log_p(1 - p)
        self._wrong, self._hold_differs = (
            log_p(get("call.points", "contradicts")),
            log_p(get("call.points", "hold_differs")),
        )
        # Whether the kind itself was named, not only a hold that it may come from.
        self._named = mention.grade == "points and kind" or mention.points is None
        self._corners = model.corner_costs(mention.corner, mention.tie)
        # The shares of telling again, by the longest time since the event that each goes with; and none for longer.
        again = model.parameters.table("call.repeat")
        more = float(again["more"]) if mention.more else 1.0
        self._gaps: list[float] = again["within"]
        self._repeats = [*(float(share) * more for share in again["share"]), 0.0]
        # Within one note a thing may well be told twice, in the next one hardly.
        echo = float(again["typed"]) if model.typed else 1.0
        self._echoes = [self._repeats[0], *(share * echo for share in self._repeats[1:])]
        self._past = float(again["past"])
        trust = max(p, float(again["trust"]))
        self._again = {
            share * past: log_p(trust * share * past)
            for share in (*self._repeats, *self._echoes)
            for past in (1.0, self._past)
        }
        self._fits: dict[tuple[Move, bool], float | None] = {}
        # It comes a while after the event.
        t = mention.t - get("time", "call_lag_s")
        self._t, self._before = max(t, model.begins), t - get("uncalled", "bridge_s")
        self._low = max(t - get("time", "call_late_s"), model.begins)
        award_in_break = log_p(get("break", "award"))
        self._in_break = award_in_break if model.in_break(mention.t) else 0.0
        self._while_looked_at = log_p(get("review", "award"))
        # What finishes the action that reached the lead still counts.
        self._after_end = award_in_break
        # In a style that has positions it is the rules that say what is open to whom.
        self._on_top_s = get("time", "on_top_s") if model.rules.rest_seconds else None
        late = model.parameters.table("call.late")
        self._late, self._late_s = log_p(late["share"]), late["within_s"]
        self._options: dict[Corner | None, tuple[_Option, ...]] = {}
        self._entries: dict[tuple[Move, int], ReadingEvent] = {}

    def __call__(self, h: Hypothesis, cutoff: Cutoff) -> Iterator[Hypothesis]:
        """Those that go on from ``h``."""
        if cutoff.passes(h.logp + self._nothing):
            yield h.cheaper(self._nothing)
        told_again = 0.0
        entries = h.entries
        # Whether there was an award since that is not this corner's: of what was before it is seldom told again.
        turned = False
        for at in range(len(entries) - 1, max(len(entries) - 1 - _BACK, -1), -1):
            entry = entries[at]
            gap = bisect_left(self._gaps, self._mention.t - entry.t)
            # What can come but once is told again, and an award that only a score or a review has shown is told of now.
            anew = bool(entry.move.points) and entry.basis == "called" and entry.review is None
            share = (self._echoes if anew else self._repeats)[gap]
            if turned:
                share *= self._past
            turned = turned or (bool(entry.move.points) and entry.move.corner != self._mention.corner)
            fit = self._fit(entry) if share else None
            if fit is None:
                continue
            told_again = max(told_again, share)
            cost = self._again[share] + fit
            if cutoff.passes(h.logp + cost):
                yield self._retold(h, at, cost)
        cost = log_p(self._genuine * (1 - told_again))
        over = h.state.over
        if over is not None:
            if over.by != "superiority":
                return
            cost += self._after_end
        if is_looked_at(h, self._mention.t, self._model):
            # Nobody wrestles then: it is somebody's verdict, or the outcome.
            sure = {corner: log_p(self._genuine) + price for corner, price in self._corners.items()}
            points = self._mention.points
            yield from lost_as_called(h, self._index, self._mention.t, points, sure, self._model, cutoff)
            cost += self._while_looked_at
        allows = self._model.rules.allows
        for option in self._options_after(h):
            price = cost + option.cost
            legal = allows(h.state, option.move)
            if legal and h.logp + price < cutoff.least:
                # Told late it is less probable still.
                cutoff.passes(h.logp + price)
            elif legal:
                yield from self._new(h, option.move, price, cutoff)
            elif not option.if_open:
                yield from self._forced(h, option.move, price, cutoff)

    # An event that is in the log already.

    def _fit(self, entry: ReadingEvent) -> float | None:
        key = (entry.move, entry.named)
        if key not in self._fits:
            self._fits[key] = self._fit_of(*key)
        return self._fits[key]

    def _fit_of(self, move: Move, named: bool) -> float | None:
        """Log probability of these words about an event that is in the log already, or None where they cannot be."""
        mention = self._mention
        if move.kind in BOUNDS:
            return None
        cost = 0.0
        if mention.points is not None and mention.points != move.points:
            if not move.points:
                return None
            cost += self._wrong
        known = named or not any(move.points in self._model.rules.points_of(k) for k in mention.kinds)
        if mention.kinds and move.kind not in mention.kinds and known:
            # An event known by its points alone, or by the score alone, may yet get its kind.
            cost += self._wrong if self._named else self._hold_differs
        if not mention.kinds and move.kind in WARNINGS:
            return None
        credited = move.corner if move.corner is not None else (other(move.against) if move.against else None)
        if credited is not None:
            cost += self._corners[credited]
        return cost

    def _retold(self, h: Hypothesis, at: int, cost: float) -> Hypothesis:
        repeated = h.retold(at, self._index, cost, named=bool(self._mention.kinds))
        move = self._sharper(h.entries[at])
        return repeated if move is None else repeated.renamed(self._model.rules, at, move)

    def _sharper(self, entry: ReadingEvent) -> Move | None:
        """The event's move with the kind that the words name, where it had none of its own."""
        if entry.named or entry.move.kind in self._mention.kinds:
            return None
        for kind in self._mention.kinds:
            if entry.move.points and entry.move.points in self._model.rules.points_of(kind):
                corner = entry.move.corner
                return Move(kind, corner, entry.move.points, _penalised(kind, corner))
        return None

    # A new one.

    def _options_after(self, h: Hypothesis) -> tuple[_Option, ...]:
        top = None if self._on_top_s is None else _on_top(h, self._mention.t, self._on_top_s)
        options = self._options.get(top)
        if options is None:
            options = self._options[top] = tuple(
                option._replace(cost=option.cost + self._in_break) if option.move.points else option
                for option in _options(self._mention, top, self._model, named=self._named)
            )
        return options

    def _new(self, h: Hypothesis, move: Move, cost: float, cutoff: Cutoff) -> Iterator[Hypothesis]:
        """The call as an event of its own."""
        if cutoff.passes(h.logp + cost):
            pushed = h.push(self._model.rules, self._entry(move, h.state.period), cost)
            if pushed is not None:
                yield pushed
        if move.points:
            yield from self._late_call(h, move, cost + self._late, cutoff)

    def _forced(self, h: Hypothesis, move: Move, cost: float, cutoff: Cutoff) -> Iterator[Hypothesis]:
        """The call as an event that the rules forbid, after the uncalled one that makes it legal."""
        rules, uncalled = self._model.rules, self._model.uncalled
        if not cutoff.passes_any(h.logp + (cost + uncalled.forced), MOST_BRIDGES):
            return
        for price, steps in uncalled.bridges(h.state, move):
            if not cutoff.passes(h.logp + (cost + price)):
                continue
            at: Hypothesis | None = h
            for step in steps:
                last = at.entries[-1].t if at is not None and at.entries else self._model.begins
                entry = ReadingEvent(step, max(self._before, last), last, "inferred")
                at = at.push(rules, entry, 0.0) if at is not None else None
            after = (
                at.push(rules, self._entry(move, h.state.period), cost + price) if at is not None else None
            )
            if after is not None:
                yield after

    def _entry(self, move: Move, period: int) -> ReadingEvent:
        known = self._entries.get((move, period))
        if known is None:
            known = self._entries[move, period] = ReadingEvent(
                move, self._t, self._low, "called", (self._index,), period, named=bool(self._mention.kinds)
            )
        return known

    def _late_call(self, h: Hypothesis, move: Move, cost: float, cutoff: Cutoff) -> Iterator[Hypothesis]:
        """The call as one that comes late, of an award from before the score said last, which then was an old one."""
        model = self._model
        said = h.said.item if h.said is not None else None
        if (
            said is None
            or said.verdict != "agrees"
            or said.board != h.score
            or self._mention.t - said.t > self._late_s
        ):
            return
        last = h.entries[-1].t if h.entries else model.begins
        groups = said_since(h, last, model.parameters.get("score.again", "within_s"))
        if not groups or not cutoff.passes(h.logp + cost):
            return
        oldest, count = groups[0]
        t = max(oldest.item.t - model.parameters.get("time", "call_lag_s"), last)
        entry = self._entry(move, h.state.period)._replace(t=t, low=min(last, t))
        out = h.push(model.rules, entry, cost)
        if out is not None:
            out.said = relabelled(h.said, count, out.score, h.score)
            yield out


def _penalised(kind: str, corner: Corner | None) -> Corner | None:
    """Who is penalised where ``corner`` is credited with an award of this kind."""
    return other(corner) if corner is not None and kind in PENALTIES else None


def _on_top(h: Hypothesis, t: float, on_top_s: float) -> Corner | None:
    """Who has taken the other down or turned the other at most ``on_top_s`` seconds ago, and is still on top."""
    for entry in reversed(h.entries):
        if entry.move.points:
            down = entry.move.kind in ("takedown", "throw", "exposure")
            return entry.move.corner if down and t - entry.t <= on_top_s else None
    return None


def _options(mention: CallMention, top: Corner | None, model: Model, *, named: bool) -> Iterator[_Option]:
    """The moves that a call may announce while the corner ``top`` is still on top; ``named`` says that the kind itself was
    named."""
    rules = model.rules
    orders = model.parameters.table("call.points")
    for corner, named_cost in model.corner_costs(mention.corner, mention.tie).items():
        on_top = corner == top
        if mention.kinds:
            for kind in mention.kinds:
                corner_cost = named_cost
                if kind == "fall" and top is not None and mention.corner is None:
                    corner_cost = log_p(1 - orders["pinned_on_top"] if on_top else orders["pinned_on_top"])
                values = rules.points_of(kind)
                if kind in WARNINGS:
                    yield _Option(Move(kind, None, 0, other(corner)), corner_cost)
                    continue
                if values and 0 not in values and mention.points is None:
                    # A kind that brings points may decide a level bout without one.
                    yield _Option(Move(kind, corner), corner_cost, if_open=True)
                own = orders.get(kind)
                order = own if isinstance(own, list) else orders["order"]
                for n, points in enumerate(values):
                    if mention.points is None:
                        share = log_p(order[min(n, len(order) - 1)]) if len(values) > 1 else 0.0
                    elif points == mention.points:
                        share = 0.0
                    else:
                        continue
                    yield _Option(Move(kind, corner, points, _penalised(kind, corner)), corner_cost + share)
                if mention.points is not None and mention.points not in values:
                    price = log_p(orders["contradicts" if named else "hold_differs"])
                    yield from _by_points(corner, mention.points, named_cost + price, model, on_top=on_top)
        elif mention.points is not None:
            yield from _by_points(corner, mention.points, named_cost, model, on_top=on_top)


def _by_points(corner: Corner, points: int, cost: float, model: Model, *, on_top: bool) -> Iterator[_Option]:
    """Points given without a kind: each kind that brings as many, as often as it does. One who is on top already
    seldom takes the other down."""
    options = []
    unusual = model.parameters.get("call.points", "unusual")
    for kind in model.rules.scoring_kinds:
        if KINDS[kind].by_name or points not in model.rules.points_of(kind):
            continue
        share = model.uncalled.share(kind)
        usual = model.rules.points_of(kind)[0] == points
        again = model.parameters.get("call.points", "again_down") if on_top and kind == "takedown" else 1.0
        options.append((max(share * again * (1.0 if usual else unusual), LEAST), kind))
    total = sum(s for s, _ in options)
    for share, kind in sorted(options, reverse=True)[:3]:
        yield _Option(Move(kind, corner, points, _penalised(kind, corner)), cost + log_p(share / total))
