"""Counts how often words about challenges, awards taken back, leads and the winner are right."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from extract.labelled.labels import TrueChallenge, TrueEvent
from extract.log.parameters import Parameters, prior_parameters
from extract.mentions.model import CallMention, MarginMention, ResultMention, ReviewMention, WaveOffMention
from extract.rules import get_ruleset
from extract.rules.board import board_at

if TYPE_CHECKING:
    from collections.abc import Iterator

    from extract.labelled.truth import LabelledBout
    from extract.mentions import Heard

#: Words about a challenge are about one that was asked for within this many seconds, or decided within this many.
_ASKED_S, _DECIDED_S = 30.0, 150.0
#: A board may be mentioned this many seconds before or after it changes.
_ROUND_S = 4.0
#: A call that is taken back came no more than this many seconds before.
_BACK_S = 15.0

#: What was counted, a key of its table, and whether it was right.
Right = Counter[tuple[str, str, bool]]


def count_words(bout: LabelledBout, heard: Heard, parameters: Parameters) -> Right:
    """Cases by table, key and whether they were right."""
    out: Right = Counter()
    for found in (_reviews(bout, heard), _leads(bout, heard), _winners(bout, heard)):
        out.update(found)
    out.update(_wave_offs(bout, heard, parameters))
    out.update(_lost(bout))
    return out


def _reviews(bout: LabelledBout, heard: Heard) -> Iterator[tuple[str, str, bool]]:
    slack = bout.truth.near_s
    for m in heard.mentions:
        if not isinstance(m, ReviewMention) or m.stance != "asserted":
            continue
        # Some words tell an outcome only while a challenge is looked at.
        asked = (c.t - slack <= m.t <= c.t + _DECIDED_S for c in bout.truth.challenges)
        if m.grade != "open" or any(asked):
            yield "review.grade", m.grade, any(is_meant(m, c, slack) for c in bout.truth.challenges)


def is_meant(m: ReviewMention, challenge: TrueChallenge, slack: float) -> bool:
    """Whether words of a challenge may be about a labelled one; the label may be off by ``slack`` seconds."""
    since = m.t - challenge.t
    if m.what == "ask":
        return -slack <= since <= _ASKED_S + slack
    return m.what == challenge.outcome and 0 <= since + slack <= _DECIDED_S + slack


def _leads(bout: LabelledBout, heard: Heard) -> Iterator[tuple[str, str, bool]]:
    for m in heard.mentions:
        if not isinstance(m, MarginMention) or m.stance != "asserted" or m.leader is None:
            continue
        leads = {
            red - blue
            for off in (-_ROUND_S, 0.0, _ROUND_S)
            for red, blue in [board_at(bout.truth.board, m.t + off)]
        }
        yield "margin", "agrees", (m.margin if m.leader == "red" else -m.margin) in leads


def _winners(bout: LabelledBout, heard: Heard) -> Iterator[tuple[str, str, bool]]:
    early_s = prior_parameters().get("result", "early_s")
    end = max((e.t for e in bout.truth.events), default=0.0) - early_s
    saying = (
        m for m in heard.mentions
        if isinstance(m, ResultMention) and m.winner and m.stance == "asserted" and m.grade == "plain" and m.t >= end
    )  # fmt: skip
    first = next(saying, None)
    if first is not None:
        yield "result", "agrees", first.winner == bout.truth.result.winner


def _wave_offs(bout: LabelledBout, heard: Heard, parameters: Parameters) -> Iterator[tuple[str, str, bool]]:
    """How many awards that were called right before such words were not given after all."""
    given = [e for e in bout.truth.events if e.points]
    calls = [
        m for m in heard.mentions
        if isinstance(m, CallMention) and parameters.chance("call.sign", m.all_signs()) >= 0.5
    ]  # fmt: skip
    for m in heard.mentions:
        if not isinstance(m, WaveOffMention) or m.stance != "asserted":
            continue
        before = [c for c in calls if 0 < m.t - c.t <= _BACK_S]
        if before:
            yield "wave_off.grade", m.grade, not any(_is(e, before[-1], bout.truth.near_s) for e in given)


def _is(event: TrueEvent, call: CallMention, near: float) -> bool:
    return abs(event.t - call.t) <= near and (call.points is None or call.points == event.points)


def _lost(bout: LabelledBout) -> Iterator[tuple[str, str, bool]]:
    points = [e.t for e in bout.truth.events if e.kind == "challenge_point"]
    for c in bout.truth.challenges:
        if c.outcome == "lost" and get_ruleset(bout.truth.rules).lost_challenge_points:
            yield "review.lost", "point", any(c.t <= t <= c.t + _DECIDED_S for t in points)
