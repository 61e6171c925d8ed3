"""The search: the most probable legal bouts behind what was said.

Mentions are taken in the order in which they were said. Each may mean several things (a new award, an award told
again, nothing; the score, an old score, a slip); every reading so far is carried on under each of them at its cost.
Readings that the future cannot tell apart are merged, the better one standing for both, and the best ``width`` are
kept (a beam over a Viterbi lattice).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple, cast

from extract.log.apply_decisions import apply_decision
from extract.log.awards import CallSteps
from extract.log.cutoff import Cutoff
from extract.log.facts import NO_FACTS, Facts, Fixed, Ruled
from extract.log.frame import Frame
from extract.log.hypothesis import Hypothesis, ReadingEvent
from extract.log.known import known_after_period, known_cost, up_to_known
from extract.log.leads import explain_criteria, explain_margin
from extract.log.model import Model
from extract.log.positions import explain_position
from extract.log.reviews import explain_review
from extract.log.statements import ScoreSteps
from extract.log.trail import Stage, Trail
from extract.log.wave_offs import explain_wave_off
from extract.mentions.model import (
    CallMention,
    CriteriaMention,
    MarginMention,
    Mention,
    PositionMention,
    ResultMention,
    ReviewMention,
    ScoreMention,
    WaveOffMention,
)
from extract.rules.base import CORNERS, Corner, Move

_Tick = tuple[float, int | Fixed | Ruled]


class Step(NamedTuple):
    """One step of a search: a mention with its ``position``, or what comes at a moment without words."""

    t: float
    what: Mention | int | Fixed | Ruled
    position: int | None = None


#: From one reading to those that it leads to over a mention, without such as do not pass a cutoff.
_Steps = Callable[[Hypothesis, Cutoff], Iterator[Hypothesis]]


@dataclass(frozen=True, slots=True)
class SearchResult:
    """The end of a search: readings with their share of the probability among those kept, best first, and ``dropped``,
    at most the share of the probability that the beam let go on the way, all steps together. At 0 nothing was let go, and
    the best reading is the best there is."""

    readings: tuple[tuple[float, Hypothesis], ...]
    dropped: float


class Beam(NamedTuple):
    """How many readings are kept, and how far behind the best (log)."""

    width: int
    margin: float


def search(
    mentions: tuple[Mention, ...],
    frame: Frame,
    model: Model,
    facts: Facts = NO_FACTS,
    trail: Trail | None = None,
) -> SearchResult:
    """Runs the beam over all mentions; once more with a wider one where much was let go. ``facts`` hold in every reading
    where they can. ``trail`` is that of this search over less of the same talk, and is carried on; there is no time for a
    wider beam then."""
    table = model.parameters.table("beam")
    found = _run(mentions, frame, model, facts, Beam(int(table["width"]), table["margin"]), trail or Trail())
    if found.dropped > table["lost"] and trail is None:
        wide = Beam(int(table["wide"]), table["wide_margin"])
        return _run(mentions, frame, model, facts, wide, Trail())
    return found


def _run(
    mentions: tuple[Mention, ...], frame: Frame, model: Model, facts: Facts, size: Beam, trail: Trail
) -> SearchResult:
    steps = _in_time(mentions, _ticks(frame, facts, model), facts, model)
    before = trail.resume(steps, model.breaks, model.rules, facts)
    beam, kept = ([opening(model)], 1.0) if before is None else (before.beam, before.kept)
    for step in steps[len(trail.stages) :]:
        beam, share = _taken(step, beam, model, facts, size)
        kept *= share
        trail.stages.append(Stage(step, beam, kept))
    if model.known is not None:
        beam += [filled for h in beam for filled in facts.weighed(h, up_to_known(h, frame, model))]
    told = _told_at_end(mentions, frame, model)
    beam = [h.cheaper(_end_cost(h, told, frame, model)) for h in beam]
    beam.sort(key=lambda h: -h.logp)
    top = beam[: int(model.parameters.get("beam", "readings"))]
    best = top[0].logp
    weights = [math.exp(h.logp - best) for h in top]
    total = sum(weights)
    return SearchResult(tuple((w / total, h) for w, h in zip(weights, top, strict=True)), 1 - kept)


def _in_time(mentions: tuple[Mention, ...], ticks: list[_Tick], facts: Facts, model: Model) -> list[Step]:
    """The steps in their order: mentions as they are said, and before each what comes before it without words."""
    steps: list[Step] = []
    at = 0
    for index, mention in enumerate(mentions):
        while at < len(ticks) and ticks[at][0] <= mention.t:
            steps.append(Step(*ticks[at]))
            at += 1
        if index not in facts.silent and isinstance(mention, _BEARING):
            steps.append(Step(mention.t, mention, index))
    return [*steps, *(Step(*tick) for tick in ticks[at:] if tick[0] <= model.now)]


def _taken(
    step: Step, beam: list[Hypothesis], model: Model, facts: Facts, size: Beam
) -> tuple[list[Hypothesis], float]:
    """The beam after one step, and the share of the probability that it keeps."""
    if step.position is None:
        return _tick(beam, (step.t, cast("int | Fixed | Ruled", step.what)), model, facts, size)
    cutoff = Cutoff(beam[0].logp)
    steps = _steps(step.position, cast("Mention", step.what), model)
    readings = _explain(steps, beam, facts, cutoff, size.margin)
    return _keep(readings, size.width, size.margin, cutoff)


def opening(model: Model) -> Hypothesis:
    """The one reading there is before anything is said."""
    begins = model.begins
    return Hypothesis(0.0, model.rules.initial(), boards=((begins, (0, 0)),), quiet_since=begins)


def _ticks(frame: Frame, facts: Facts, model: Model) -> list[_Tick]:
    """When the search goes on to each period, and takes up each fact. The first period begins with the talk, and each
    break belongs to the period before it (awards in it cost more, but a boundary may have been laid wrong). A later period
    is taken up a little before its start."""
    early_s = model.parameters.get("break", "early_s")
    ticks: list[_Tick] = [
        (model.begins if n == 0 else period.start - early_s, period.number)
        for n, period in enumerate(frame.periods)
    ]
    return sorted([*ticks, *facts.ticks()], key=lambda tick: tick[0])


def _tick(
    beam: list[Hypothesis], tick: _Tick, model: Model, facts: Facts, size: Beam
) -> tuple[list[Hypothesis], float]:
    """The beam at the start of a period or with a fact taken up, and the share of the probability that it keeps."""
    t, what = tick
    if isinstance(what, int):
        return _next_period(known_after_period(beam, t, what - 1, facts, model), t, what, model), 1.0
    return _keep(apply_decision(facts, beam, t, what, model), *size, Cutoff())


def _next_period(beam: list[Hypothesis], t: float, number: int, model: Model) -> list[Hypothesis]:
    end = ReadingEvent(Move("period_end"), t, t, "called", period=number - 1)
    starts = [
        ReadingEvent(Move("period_start", on_top), t, t, "called", period=number)
        for on_top in (None, *CORNERS)
    ]
    # The choice of position may go unsaid: either corner may begin on top.
    unsaid = starts[1:] if number > 1 and not model.rules.rest_seconds else []
    out = []
    for h in beam:
        ended = h.push(model.rules, end, 0.0) if number > 1 and h.state.over is None else h
        if ended is None or h.state.over is not None:
            out.append(h)
            continue
        out.append(ended.push(model.rules, starts[0], 0.0) or h)
        chosen = [ended.push(model.rules, start, model.unsaid_position) for start in unsaid]
        out += [begun for begun in chosen if begun is not None]
    return out


def _explain(
    steps: _Steps, beam: list[Hypothesis], facts: Facts, cutoff: Cutoff, margin: float
) -> list[Hypothesis]:
    """The readings that carry the beam's readings on over one mention. The best come first, so that what they lead to sets
    the cutoff early: nothing is carried on to where it would be dropped at once."""
    out: list[Hypothesis] = []
    best = -math.inf
    decided = bool(facts)
    for h in sorted(beam, key=lambda h: -h.logp):
        # What a reading has paid for going against facts it may get back, and so rise from below the cutoff.
        found = steps(h, Cutoff() if decided and facts.paid(h) else cutoff)
        for reading in facts.weighed(h, found) if decided else found:
            out.append(reading)
            if reading.logp > best:
                best = reading.logp
                cutoff.rise(best - margin)
    return out


#: The mentions that the log hangs on.
_BEARING = (
    ScoreMention, CallMention, MarginMention, ReviewMention, WaveOffMention, CriteriaMention, PositionMention,
)  # fmt: skip


def _steps(index: int, mention: Mention, model: Model) -> _Steps:
    """What leads from one reading to others over a mention that the log hangs on."""
    match mention:
        case ScoreMention():
            return ScoreSteps(index, mention, model)
        case CallMention():
            return CallSteps(index, mention, model)
        case MarginMention():
            return lambda h, _: explain_margin(h, mention, model)
        case ReviewMention():
            p = model.review_genuine(mention)
            return lambda h, cutoff: explain_review(h, index, mention, p, model, cutoff)
        case WaveOffMention():
            return lambda h, _: explain_wave_off(h, index, mention, model)
        case CriteriaMention():
            return lambda h, _: explain_criteria(h, mention, model)
        case PositionMention():
            return lambda h, _: explain_position(h, index, mention, model)
    raise TypeError(f"nothing hangs on a {type(mention).__name__}")


def _keep(
    readings: list[Hypothesis], width: int, margin: float, cutoff: Cutoff
) -> tuple[list[Hypothesis], float]:
    """The best reading of each key that is not hopelessly behind, at most ``width`` of them; and the share of the
    probability that they have, those that did not pass ``cutoff`` counted with what is dropped."""
    best: dict[tuple[object, ...], Hypothesis] = {}
    top = max([h.logp for h in readings])
    least = top - margin
    lost = cutoff.lost * math.exp(cutoff.around - top)
    for h in readings:
        if h.logp < least:
            lost += math.exp(h.logp - top)
            continue
        key = h.key()
        held = best.get(key)
        if held is None or held.logp < h.logp:
            best[key] = h
    kept = sorted(best.values(), key=lambda h: -h.logp)
    lost += sum([math.exp(h.logp - top) for h in kept[width:]])
    del kept[width:]
    mass = sum([math.exp(h.logp - top) for h in kept])
    return kept, mass / (mass + lost)


#: A score is told where it is likelier one of this bout than not.
_LIKELY = 0.5


class _Told(NamedTuple):
    """What is told of the end: the winner who is named first, the ways of winning, and the final scores."""

    winner: Corner | None
    ways: frozenset[str]
    finals: tuple[ScoreMention, ...]


def _told_at_end(mentions: tuple[Mention, ...], frame: Frame, model: Model) -> _Told:
    winners = [
        m for m in mentions
        if isinstance(m, ResultMention) and frame.at_end(m.t) and m.stance == "asserted" and m.grade != "loose"
    ]  # fmt: skip
    told = [
        m for m in mentions
        if isinstance(m, ScoreMention) and m.stance == "asserted" and model.score_genuine(m) >= _LIKELY
    ]  # fmt: skip
    within_s = model.parameters.get("score.again", "repair_s")
    finals = (
        m for m in told
        if m.final and (frame.at_end(m.t) or not frame.period_at(m.t))
        # Somebody may put it right at once.
        and not any(o.repair and o.pair != m.pair and 0 < o.t - m.t <= within_s for o in told)
    )  # fmt: skip
    named = next((m.winner for m in winners if m.winner is not None), None)
    return _Told(named, frozenset(m.by for m in winners if m.by is not None), tuple(finals))


def _end_cost(h: Hypothesis, told: _Told, frame: Frame, model: Model) -> float:
    """How well a finished reading fits what was said of the winner and of how the bout was won, and what is known of it
    beforehand."""
    outcome = h.state.over or model.rules.outcome(h.state)
    total = known_cost(h, outcome, model)
    if (
        frame.ends_early(model.rules.period_seconds, model.parameters.get("periods", "unfinished_s"))
        and h.state.over is None
    ):
        # The talk is over long before the clock is: something ended the bout.
        total += model.unfinished
    if h.state.over is not None and h.entries:
        # Who talks on for long, and hears another period begin, does not talk after the end.
        ended = h.entries[-1].t
        resumed = sum(ended < period.start <= model.now for period in frame.periods)
        total += resumed * model.resumed - max(min(frame.end, model.now) - ended, 0.0) / model.talks_on_s
    # Who challenges is told how it came out, nearly always.
    undecided = sum(review.outcome == "unknown" for review in h.reviews)
    if model.now < math.inf and h.pending is not None:
        # It is being looked at.
        undecided -= 1
    total += model.undecided * undecided
    if told.winner is not None:
        agrees = outcome is not None and outcome.winner == told.winner
        total += model.result_agrees if agrees else model.result_differs
    if told.finals:
        agrees = any(h.score in m.values() for m in told.finals)
        total += model.final_agrees if agrees else model.final_differs
    if "superiority" in told.ways:
        total += (
            model.result_agrees
            if outcome is not None and outcome.by == "superiority"
            else model.result_differs
        )
    return total
