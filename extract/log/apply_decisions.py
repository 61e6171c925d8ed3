"""How the search takes up what a person has decided: each fact at its moment, into every reading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from extract.log.cutoff import Cutoff
from extract.log.facts import AGAINST, ILLEGAL, Facts, Fixed, Ruled
from extract.log.hypothesis import Hypothesis, ReadingEvent, ReviewRun
from extract.log.model import Model
from extract.log.reviews import decided, taken_off


def apply_decision(
    facts: Facts, beam: Iterable[Hypothesis], t: float, fact: Fixed | Ruled, model: Model
) -> list[Hypothesis]:
    """The beam's readings with one more fact in them, at ``t``: a challenge is taken up at its start, and again at its
    outcome."""
    out: list[Hypothesis] = []
    for h in beam:
        if isinstance(fact, Fixed):
            steps = _brought(h, fact, model) if fact.brought else _put(h, fact, model)
        elif t < fact.t:
            steps = iter([h.with_review(ReviewRun(fact.by, fact.t, fact.asked, fact=fact.name), 0.0)])
        else:
            steps = _closed(h, fact, facts, model)
        out.extend(facts.weighed(h, steps))
    return out


def _closed(h: Hypothesis, ruled: Ruled, facts: Facts, model: Model) -> Iterator[Hypothesis]:
    """The challenge decided. What it is known to have taken off goes; without that knowledge, what it may have."""
    if not h.reviews or h.reviews[-1].fact != ruled.name:
        # Another has come in between; it says nothing of this one.
        yield h.cheaper(AGAINST)
        return
    gone = {
        fixed.name
        for fixed in facts.fixed
        if fixed.overturned and fixed.t <= ruled.t_outcome and ruled is _nearest(facts, fixed)
    }
    for out in decided(h, ruled.answer, ruled.outcome, ruled.t_outcome, 0.0, model, Cutoff()):
        review = len(out.reviews) - 1
        on = [k for k, e in enumerate(out.entries) if e.fact in gone and e.overturned is None]
        if on and ruled.outcome == "won":
            full = out
            for k in on:
                full = taken_off(full, model.rules, k, review, ruled.t_outcome, 0.0) or full
            yield full
        yield out.cheaper(len(on) * AGAINST)


def _nearest(facts: Facts, fixed: Fixed) -> Ruled | None:
    """The first challenge decided after an event that one took off."""
    after = [r for r in facts.ruled if r.t_outcome >= fixed.t]
    return min(after, key=lambda r: r.t_outcome, default=None)


def _put(h: Hypothesis, fixed: Fixed, model: Model) -> Iterator[Hypothesis]:
    """The event in a reading: as it is; where the rules forbid it, after the uncalled one that makes it legal; and
    against the rules."""
    entry = _entry(fixed)
    pushed = h.push(model.rules, entry, 0.0)
    if pushed is not None:
        yield pushed
        return
    before = model.parameters.get("uncalled", "bridge_s")
    for price, steps in model.uncalled.bridges(h.state, fixed.move):
        at: Hypothesis | None = h
        for step in steps:
            last = h.entries[-1].t if h.entries else model.begins
            at = (
                at.push(model.rules, ReadingEvent(step, max(fixed.t - before, last), last, "inferred"), price)
                if at
                else None
            )
        after = at.push(model.rules, entry, 0.0) if at is not None else None
        if after is not None:
            yield after
    forced = h.rebuilt(
        model.rules, (*h.entries, entry._replace(period=h.state.period)), len(h.entries), fixed.t, ILLEGAL
    )
    if forced is not None:
        yield forced


def _entry(fixed: Fixed) -> ReadingEvent:
    basis = "called" if fixed.mentions else "inferred"
    return ReadingEvent(fixed.move, fixed.t, fixed.t, basis, fixed.mentions, named=True, fact=fixed.name)  # type: ignore[arg-type]


def _brought(h: Hypothesis, fixed: Fixed, model: Model) -> Iterator[Hypothesis]:
    """The event that a challenge brought: the one that its outcome has put into the reading, or else one more."""
    near_s = model.parameters.get("review", "brought_s")
    for k in range(len(h.entries) - 1, -1, -1):
        entry = h.entries[k]
        same = entry.move[1:] == fixed.move[1:] and entry.fact is None
        if same and entry.review is not None and abs(entry.t - fixed.t) <= near_s:
            known = entry._replace(move=fixed.move, t=fixed.t, low=fixed.t, named=True, fact=fixed.name)
            entries = (*h.entries[:k], known, *h.entries[k + 1 :])
            out = h.rebuilt(model.rules, entries, k, fixed.t, 0.0)
            if out is not None:
                yield out
            return
    last = len(h.reviews) - 1 if h.reviews and h.reviews[-1].t_outcome is not None else None
    for out in _put(h, fixed, model):
        out.entries = (*out.entries[:-1], out.entries[-1]._replace(review=last))
        yield out
