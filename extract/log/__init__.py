"""From mentions to the log of a bout: the most probable legal sequence of events behind what was said."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from extract.log.facts import NO_FACTS, Facts, ends_bout
from extract.log.frame import Frame, Period
from extract.log.mirror import mirrored_facts, mirrored_found, mirrored_mention
from extract.log.model import Model
from extract.log.moments import Moments
from extract.log.order_frame import order_periods
from extract.log.parameters import Parameters, default_parameters
from extract.log.periods import TimeSigns, periods
from extract.log.search import search
from extract.log.to_log import BoutLog, LogEvent, ScoreTaken, to_log
from extract.log.trail import Trail
from extract.log.uncalled_events import UncalledEvents
from extract.mentions.model import CallMention, ClockMention, MarkMention, Mention, Passage, ReviewMention
from extract.rules.base import Corner, Ruleset
from extract.rules.kinds import KINDS
from extract.transcript.cue import Order
from extract.transcript.known import Known

__all__ = [
    "BoutLog",
    "Facts",
    "Frame",
    "LogEvent",
    "Parameters",
    "Period",
    "ScoreTaken",
    "default_parameters",
    "infer",
]


@lru_cache(maxsize=16)
def _uncalled(rules: Ruleset, parameters: Parameters) -> UncalledEvents:
    """One table of uncalled sequences for each ruleset, filled as bouts need it."""
    return UncalledEvents(rules, parameters)


def _as_end(fall: CallMention) -> MarkMention:
    """A fall also marks the end of the bout."""
    grade = "plain" if fall.grade == "kind called" else "loose"
    return MarkMention(fall.start, fall.end, fall.t, fall.stance, grade, "bout_end", None)


def _stops(call: CallMention) -> bool:
    """Whether the clock is stopped for a while for what is called."""
    return call.stance == "asserted" and bool(call.kinds) and all(KINDS[kind].stops for kind in call.kinds)


def infer(
    mentions: Sequence[Mention],
    rules: Ruleset,
    seconds: float,
    *,
    begins: float = 0.0,
    introduced: float | None = None,
    passages: Sequence[Passage] = (),
    interpolated: bool = False,
    typed: bool = False,
    parameters: Parameters | None = None,
    facts: Facts = NO_FACTS,
    first: Corner = "red",
    known: Known | None = None,
    order: Order | None = None,
    goes_on: float = 0.0,
    trail: Trail | None = None,
) -> BoutLog:
    """The log of one bout from its mentions, in the order in which they were said.

    The talk goes on from its first word, at ``begins``, to ``seconds``, seconds of recording; ``interpolated`` says that
    times inside long cues are only estimated, ``typed`` that it is notes, in which nobody says a thing again at once.
    ``passages`` is the talk as a whole: its words show where awards lie that nobody called. ``introduced`` is when the
    bout plainly begins: a first period whose start nobody marks is laid from there on. ``facts`` are what a person has
    decided; their mentions are positions in ``mentions``. ``first`` is the corner that the talk names first, which alone
    decides between readings that are equally probable. ``known`` is how the bout ended, as it is known beforehand.
    ``order`` says that times tell no more than the order of entries. Where the bout still runs, the talk may go on for
    ``goes_on`` seconds after what was heard; ``trail`` is then that of the search when less was heard.
    """
    parameters = parameters or default_parameters()
    # A person may know of what was before the first word.
    begins = min([begins, *facts.times()])
    ordered = tuple(mentions)
    moments = Moments(passages, parameters)
    model = Model(rules, parameters, _uncalled(rules, parameters), begins, typed, moments, known, order)
    marks = [m for m in ordered if isinstance(m, MarkMention)]
    marks += [
        _as_end(m)
        for i, m in enumerate(ordered)
        if isinstance(m, CallMention)
        and "fall" in m.kinds
        and m.stance == "asserted"
        and i not in facts.silent
    ]
    marks += [
        MarkMention(0, 0, fixed.t, "asserted", "plain", "bout_end", None)
        for fixed in facts.fixed
        if ends_bout(fixed)
    ]
    clocks = [(i, m) for i, m in enumerate(ordered) if isinstance(m, ClockMention) and m.clock == "bout"]
    stopped = [
        m.t
        for i, m in enumerate(ordered)
        if isinstance(m, CallMention) and _stops(m) and i not in facts.silent
    ]
    stopped += [fixed.t for fixed in facts.fixed if KINDS[fixed.move.kind].stops]
    signs = TimeSigns(
        marks,
        clocks,
        seconds,
        begins,
        introduced,
        interpolated,
        sorted(stopped),
        {(bound.kind, bound.period): bound.t for bound in facts.bounds},
        goes_on,
    )
    if order is not None:
        calls = [m.t for m in ordered if isinstance(m, CallMention) and m.stance == "asserted"]
        last_call = max(calls, default=None)
        frame = order_periods(marks, clocks, begins, seconds, last_call, order, rules, parameters)
    else:
        frame = periods(signs, rules, parameters)
        late = parameters.get("time", "horn_s")
        early = parameters.get("break", "early_s")
        model.breaks = tuple((a.end + late, b.start - early) for a, b in pairwise(frame.periods))
        if frame.periods:
            model.breaks += ((frame.periods[-1].end + late, math.inf),)
    if goes_on:
        model.now = seconds
    if frame.periods:
        model.end = frame.end - parameters.get("result", "early_s")
    model.told_lost = tuple(m.t for m in ordered if isinstance(m, ReviewMention) and m.what == "lost")
    if first == "red":
        found = search(ordered, frame, model, facts, trail)
    else:
        turned = tuple(map(mirrored_mention, ordered))
        other_way = replace(model, known=known and known.turned())
        found = mirrored_found(search(turned, frame, other_way, mirrored_facts(facts), trail))
    return to_log(found, ordered, frame.so_far(seconds) if goes_on else frame, model, facts)
