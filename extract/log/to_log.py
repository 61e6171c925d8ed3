"""Turns the best readings of a search into a log: events in time, with their clock and confidence, and the board."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice, takewhile
from math import hypot

from extract.log.certainty import lost_signs, statement_trust, trust_by
from extract.log.facts import NO_FACTS, Facts
from extract.log.frame import Frame
from extract.log.hypothesis import Hypothesis, ReadingEvent, Said, Score
from extract.log.model import Model
from extract.log.search import SearchResult
from extract.log.statement_signs import StatementSigns
from extract.mentions.model import Mention, ScoreMention
from extract.rules.base import BOUNDS, CORNERS, Outcome
from extract.rules.board import BoardChange, board_at
from extract.rules.kinds import KINDS, kinds_that
from extract.transcript.cue import Order
from extract.transcript.known import Known

#: Two readings tell of the same event when they put it within so many seconds.
SAME_S = 20.0
#: A winner that no more than half of the probability is for is not known; a little more, for the rounding.
_KNOWN = 0.5 + 1e-6
#: What ends a bout whatever the score.
_ENDS = kinds_that("end")


@dataclass(frozen=True, slots=True)
class LogEvent:
    """One event of the log: ``entry`` as the search left it, ``t`` and its range in seconds of recording, the bout
    clock and how far it may be off, the share of readings that have it, and the board right after it."""

    entry: ReadingEvent
    t: float
    low: float
    high: float
    period: int
    clock: float | None
    clock_uncertainty: float | None
    confidence: float
    score_after: Score


@dataclass(frozen=True, slots=True)
class ScoreTaken:
    """What a score mention was taken for in the best reading. ``disagrees`` is the share of the readings in which
    it is a score of this bout that is not the board, ``genuine`` the share in which it is a score at all."""

    said: Said
    genuine: float
    disagrees: float
    #: What speaks for and against it (see ``StatementSigns``), and how often such a verdict is right where all readings
    #: agree on it.
    signs: tuple[str, ...] = ()
    trust: float = 1.0
    #: Whether it disagrees and yet is so likely no slip that nobody should be told that it is one.
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of the whole bout: its share of the probability, the reading as the search left it, when each of
    its events happened (seconds of recording), and how the bout ended in it."""

    share: float
    hypothesis: Hypothesis
    times: tuple[float, ...]
    outcome: Outcome | None


@dataclass(frozen=True, slots=True)
class BoutLog:
    """The log of one bout: events in order, the board ``(t, score)``, stated scores, the end, the frame.
    ``readings`` are the best one, which this is the log of, and those that it was weighed against."""

    events: tuple[LogEvent, ...]
    board: tuple[BoardChange, ...]
    taken: tuple[ScoreTaken, ...]
    best: Hypothesis
    readings: tuple[Reading, ...]
    outcome: Outcome | None
    outcome_confidence: float
    frame: Frame
    #: Whether the last period ran to its end; a fall or a great enough lead ends it before.
    ran_out: bool
    #: Share of the probability that the search let go on the way (see ``SearchResult``).
    dropped: float
    #: Positions of score mentions that look like the score of this bout and are taken for none: too far from the board.
    apart: tuple[int, ...]
    #: How often what all readings agree on is right, by what it is (``confidence`` in the parameters).
    trust: Mapping[str, float]
    #: What shows that the log is more guessed than read (see ``lost_signs``).
    lost: tuple[str, ...] = ()
    #: What a person has decided, and what of that could not be kept: the name of the decision and the reason.
    facts: Facts = NO_FACTS
    broken: tuple[tuple[str, str], ...] = ()
    #: How the bout ended, as it is known beforehand.
    known: Known | None = None
    #: Set if times tell no more than the order of what was written.
    order: Order | None = None


def to_log(
    found: SearchResult, mentions: Sequence[Mention], frame: Frame, model: Model, facts: Facts = NO_FACTS
) -> BoutLog:
    """The log behind the best reading, with confidence from all that were kept."""
    readings = tuple(
        Reading(
            w,
            h,
            tuple(_times(h, frame, model)),
            facts.outcome or h.state.over or model.rules.outcome(h.state),
        )
        for w, h in found.readings
    )
    best, times, outcome = readings[0].hypothesis, readings[0].times, readings[0].outcome
    reviews = [(r.t, r.t_outcome) for r in best.reviews if r.t_outcome is not None]
    # It takes a while to wrestle on after a review, too.
    pauses = [until for _, until in reviews]
    pauses += [
        t
        for entry, t in zip(best.entries, times, strict=True)
        if KINDS[entry.move.kind].stops and not any(a <= t <= b for a, b in reviews)
    ]
    # A bout that an event ends is over while its clock runs.
    ran_out = not (best.state.over is not None and best.state.running) and frame.end <= model.now
    frame = frame.stopped_in(reviews, pauses, ran_out=ran_out)
    lost = lost_signs(best, found.dropped, mentions, model)
    trust = trust_by(lost, model)
    placed = [(w, _placed(h.entries)) for w, h in found.readings]
    events: list[LogEvent] = []
    for entry, t in zip(best.entries, times, strict=True):
        clock, uncertainty = frame.clock_at(t) or (None, None)
        low, high = min(entry.low, t), max(entry.t, t)
        if entry.basis == "inferred" and entry.fact is None and uncertainty is not None:
            # It can have been any time between two scores.
            uncertainty = round(hypot(uncertainty, (high - low) / 2), 1)
        share = 1.0 if entry.fact is not None else round(_share(entry, placed) * trust[entry.basis], 4)
        events.append(LogEvent(entry, t, low, high, entry.period, clock, uncertainty, share, (0, 0)))
    board, after = _board(events, model.begins)
    events = [replace(event, score_after=score) for event, score in zip(events, after, strict=True)]
    same = sum(r.share for r in readings if r.outcome == outcome and r.hypothesis.score == best.score)
    sure = 1.0 if facts.outcome is not None else same * trust["result"]
    if outcome is not None and facts.outcome is None and _winner_open(outcome, readings):
        outcome = Outcome(None, outcome.by)
        events = [
            _for_nobody(event, placed, trust) if event.entry.move.kind == outcome.by else event
            for event in events
        ]
    taken = tuple(_trusted(_taken(found), mentions, events, lost, model))
    apart = _apart(mentions, taken, model)
    return BoutLog(
        tuple(events),
        board,
        taken,
        best,
        readings,
        outcome,
        sure,
        frame,
        ran_out,
        found.dropped,
        apart,
        trust,
        lost,
        facts,
        tuple(facts.broken(best, times, model.rules)),
        model.known,
        model.order,
    )


def _winner_open(outcome: Outcome, readings: Sequence[Reading]) -> bool:
    """Whether something ended the bout, a fall say, that is as likely the other corner's: who won is not known."""
    if outcome.by not in _ENDS or outcome.winner is None:
        return False
    ended = [r for r in readings if r.outcome is not None and r.outcome.by == outcome.by]
    won = sum(r.share for r in ended if r.outcome == outcome)
    return won < _KNOWN * sum(r.share for r in ended)


def _for_nobody(
    event: LogEvent, placed: Sequence[tuple[float, _Places]], trust: Mapping[str, float]
) -> LogEvent:
    """An event that ended the bout without its corner, as sure as it is that there was one for either."""
    entry = event.entry
    either = sum(
        _share(entry._replace(move=entry.move._replace(corner=corner)), placed) for corner in CORNERS
    )
    bare = entry._replace(move=entry.move._replace(corner=None))
    return replace(event, entry=bare, confidence=round(either * trust[entry.basis], 4))


def _apart(mentions: Sequence[Mention], taken: Sequence[ScoreTaken], model: Model) -> tuple[int, ...]:
    kept = {t.said.mention for t in taken}
    least = model.parameters.get("score.apart", "genuine")
    return tuple(
        k
        for k, m in enumerate(mentions)
        if isinstance(m, ScoreMention) and k not in kept and model.score_genuine(m) >= least
    )


def _only_shown(entry: ReadingEvent) -> bool:
    """Whether only a score shows an event, so that no word says when it came."""
    return entry.basis == "inferred" and entry.review is None and entry.fact is None


def _shown_together(entries: Sequence[ReadingEvent]) -> tuple[str, ...]:
    """The kinds of the first of some events that only one score shows."""
    shown = takewhile(lambda entry: _only_shown(entry) and entry.t == entries[0].t, entries)
    return tuple(entry.move.kind for entry in shown)


def _times(reading: Hypothesis, frame: Frame, model: Model) -> list[float]:
    """When each event happened. A called one stands where it was called; one that only the score shows goes where the words
    of the talk before that score speak for it most, or a little before it."""
    time = model.parameters.table("time")
    place, step, before = time["place_s"], time["step_s"], time["before_s"]
    spans = {p.number: p for p in frame.periods}
    out: list[float] = []
    entries = reading.entries
    for k, entry in enumerate(entries):
        if len(out) > k:
            continue
        previous = out[-1] if out else model.begins
        if entry.move.kind in BOUNDS and entry.period in spans:
            span = spans[entry.period]
            if entry.move.kind == "period_start" and entry.period == 1:
                # Nothing happens before the bout begins: a whistle heard later is another one.
                after = (e.t for e in islice(entries, k + 1, None) if e.move.kind not in BOUNDS)
                first = next(after, span.start)
                out.append(max(min(span.start, first), previous))
                continue
            out.append(max(span.start if entry.move.kind == "period_start" else span.end, previous))
            continue
        if not _only_shown(entry):
            out.append(max(entry.t, previous))
            continue
        kinds = _shown_together(entries[k:])
        # So much is left free before the score, and between them.
        low = max(entry.low, previous + (step if out else 0.0))
        found = model.moments.times(kinds, low, entry.t - before, step)
        for n in range(len(kinds)):
            low = max(entry.low, previous + (step if out else 0.0))
            high = entry.t - before - step * (len(kinds) - n - 1)
            t = found[n] if found is not None else max(low, high - place)
            previous = max(min(t, max(high, previous)), previous)
            out.append(previous)
    # What a person has put somewhere stands there: what came before it does so, too.
    latest = math.inf
    for k in range(len(entries) - 1, -1, -1):
        if entries[k].fact is not None:
            latest = min(latest, entries[k].t)
        out[k] = min(out[k], latest)
    return out


def _board(events: Sequence[LogEvent], begins: float) -> tuple[tuple[BoardChange, ...], list[Score]]:
    """The board over time, and the score right after each event. An overturned award is on it until the review."""
    changes: list[tuple[float, int, int, ReadingEvent]] = []
    for k, event in enumerate(events):
        if event.entry.move.points:
            changes.append((event.t, 1, k, event.entry))
            if event.entry.off is not None:
                changes.append((max(event.entry.off, event.t), 0, k, event.entry))
    changes.sort(key=lambda c: (c[0], c[2], -c[1]))
    score = (0, 0)
    board = [BoardChange(begins, score)]
    at: dict[int, Score] = {}
    for t, on, k, entry in changes:
        amount = entry.move.points if on else -entry.move.points
        score = (score[0] + amount, score[1]) if entry.move.corner == "red" else (score[0], score[1] + amount)
        if on:
            at[k] = score
        if board[-1].t == t:
            board[-1] = BoardChange(t, score)
        else:
            board.append(BoardChange(t, score))
    after = [at.get(k, board_at(board, event.t)) for k, event in enumerate(events)]
    return tuple(board), after


#: The times at which a reading has events that count as the same one, in order, by what makes them so.
_Places = Mapping[tuple[object, ...], Sequence[float]]


def _sort_of(entry: ReadingEvent) -> tuple[object, ...]:
    """What makes two events the same one, but for their time: corner, points and fate; without points the kind."""
    move = entry.move
    return move.corner, move.points, move.against, entry.overturned is None, move.points or move.kind


def _placed(entries: Sequence[ReadingEvent]) -> _Places:
    places: dict[tuple[object, ...], list[float]] = defaultdict(list)
    for entry in entries:
        places[_sort_of(entry)].append(entry.t)
    return {sort: sorted(times) for sort, times in places.items()}


def _share(entry: ReadingEvent, placed: Sequence[tuple[float, _Places]]) -> float:
    """Share of the readings that have this event at about the same time."""
    total, sort = 0.0, _sort_of(entry)
    for weight, places in placed:
        times = places.get(sort, ())
        at = bisect_left(times, entry.t)
        if any(abs(t - entry.t) <= SAME_S for t in times[max(at - 1, 0) : at + 1]):
            total += weight
    return round(min(total, 1.0), 4)


def _trusted(
    taken: Sequence[ScoreTaken],
    mentions: Sequence[Mention],
    events: Sequence[LogEvent],
    lost: Sequence[str],
    model: Model,
) -> Iterator[ScoreTaken]:
    """The stated scores with how far the verdict on each can be believed."""
    awards = [(e.t, e.entry) for e in events if e.entry.move.points and e.entry.overturned is None]
    least = model.parameters.get("score.doubt", "flag")
    signs_of = StatementSigns([one.said for one in taken], mentions, awards, model)
    for n, one in enumerate(taken):
        signs = (*lost, *signs_of.of(n))
        trust = statement_trust(one.said, signs, model)
        yield replace(one, signs=signs, trust=trust, doubtful=one.disagrees * trust < least)


def _taken(found: SearchResult) -> tuple[ScoreTaken, ...]:
    """The stated scores of the best reading, or of the others where it took a mention for none."""
    genuine: dict[int, float] = {}
    differs: dict[int, float] = {}
    first: dict[int, Said] = {}
    for weight, h in found.readings:
        history = h.said
        while history is not None:
            said = history.item
            genuine[said.mention] = genuine.get(said.mention, 0.0) + weight
            if said.verdict != "agrees":
                differs[said.mention] = differs.get(said.mention, 0.0) + weight
            first.setdefault(said.mention, said)
            history = history.rest
    return tuple(
        ScoreTaken(first[m], genuine[m], differs.get(m, 0.0) / genuine[m])
        for m in sorted(first)
        if genuine[m] >= 0.5
    )
