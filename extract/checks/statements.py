"""The verdict on every score that somebody stated."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from extract.checks.sides import Sides, lead_text, leading, points_text
from extract.checks.words import moment_text, score_text, share_text
from extract.log import BoutLog, ScoreTaken
from extract.log.compare import said_in
from extract.log.hypothesis import Said, Score
from extract.mentions.model import MarginMention, Mention
from extract.rules.base import Corner
from extract.rules.board import board_at

Verdict = Literal["agrees", "disagrees", "unclear"]
#: Between these shares of the readings a verdict is left open.
_UNCLEAR = (0.35, 0.65)
#: Why a score that does not fit is not told as a slip.
_MORE_OFTEN = "Numbers said like this are more often no score of the bout, or points were not heard."


@dataclass(frozen=True, slots=True)
class StatementCheck:
    """A stated score or lead with its verdict. ``mention`` is its position among the mentions, ``said`` the score
    as ``(red, blue)`` or None for a lead (``margin``, ``leader``), ``computed`` the score it is held against."""

    mention: int
    said: Score | None
    margin: int | None
    leader: Corner | None
    computed: Score
    verdict: Verdict
    slip: str | None
    confidence: float
    why: str


def check_statements(log: BoutLog, mentions: Sequence[Mention], sides: Sides) -> list[StatementCheck]:
    """Verdicts in the order in which the scores were said. ``sides`` are named in their reasons."""
    known = _Known(log, sides)
    out = [_score(taken, log, known, mentions[taken.said.mention].t) for taken in log.taken]
    for index, mention in enumerate(mentions):
        if isinstance(mention, MarginMention) and mention.stance == "asserted":
            checked = _margin(index, mention, log, sides)
            if checked is not None:
                out.append(checked)
    return sorted(out, key=lambda c: c.mention)


def _verdict(taken: ScoreTaken) -> tuple[Verdict, float]:
    p = taken.disagrees
    if _UNCLEAR[0] < p < _UNCLEAR[1]:
        return "unclear", round(max(p, 1 - p), 4)
    return ("disagrees", round(p, 4)) if p >= _UNCLEAR[1] else ("agrees", round(1 - p, 4))


class _Change(NamedTuple):
    """A change of the score in words: the points ``given`` and when, and how they were ``overturned``, if they were."""

    given: str
    overturned: str | None

    @property
    def after(self) -> str:
        """The change as the moment after which another score holds."""
        return f"after {self.given}" if self.overturned is None else f"since {self.overturned},"


class _Known:
    """What of a log is asked for with each score: what readings take it for, and what changed the score."""

    def __init__(self, log: BoutLog, sides: Sides) -> None:
        self.sides = sides
        self.said = [(reading.share, said_in(reading.hypothesis)) for reading in log.readings]
        self.scores = frozenset((entry.red, entry.blue) for entry in log.board)
        changes: list[tuple[float, int, Score, _Change]] = []
        for k, event in enumerate(log.events):
            move, off = event.entry.move, event.entry.off
            if not move.points:
                continue
            points = points_text(sides, move.kind, move.corner, move.points)
            given = f"{points} at {moment_text(event.t, log.order)}"
            if event.entry.basis != "called":
                given += ", which nobody mentioned,"
            changes.append((event.t, 2 * k, event.score_after, _Change(given, None)))
            if off is not None:
                overturned = f"{points} was overturned on challenge at {moment_text(off, log.order)}"
                changes.append((off, 2 * k + 1, board_at(log.board, off), _Change(given, overturned)))
        self._changes: defaultdict[Score, list[tuple[float, _Change]]] = defaultdict(list)
        for t, _, after, change in sorted(changes):
            self._changes[after].append((t, change))

    def last_change(self, t: float, score: Score) -> _Change | None:
        """The last change at ``t`` or before that brought ``score``. Points that are told in the same breath as a score
        may stand at its very moment and yet come after it."""
        brought = self._changes.get(score, ())
        at = bisect_right(brought, t, key=lambda change: change[0])
        return brought[at - 1][1] if at else None


def _score(taken: ScoreTaken, log: BoutLog, known: _Known, t: float) -> StatementCheck:
    said = taken.said
    verdict, share = _verdict(taken)
    # Whether it was right may be known from a person.
    sure = 1.0 if said.mention in log.facts.right else taken.trust
    confidence = round(share * sure, 4)
    agrees = said.verdict == "agrees"
    if verdict == "disagrees" and taken.doubtful and said.mention not in log.facts.right:
        verdict = "unclear"
        why = f"{_differing(said.verdict, said.said, said.board, known, t)} {_MORE_OFTEN}"
    elif verdict == "unclear":
        why = f"The score is probably {leading(known.sides, said.board)}; {_other_reading(said, known)}."
    elif agrees:
        why = _agreeing(said.said, said.board, known, t)
    else:
        why = _differing(said.verdict, said.said, said.board, known, t)
    slip = None if agrees or verdict == "agrees" else said.verdict
    return StatementCheck(said.mention, said.said, None, None, said.board, verdict, slip, confidence, why)


def _other_reading(said: Said, known: _Known) -> str:
    """What the readings say that take the score the other way, the likeliest score of them first."""
    scores: dict[Score, float] = {}
    for share, taken in known.said:
        there = taken.get(said.mention)
        if there is not None and (there.verdict == "agrees") != (said.verdict == "agrees"):
            scores[there.board] = scores.get(there.board, 0.0) + share
    if not scores:
        return "other interpretations are nearly as likely"
    score = max(scores, key=lambda s: scores[s])
    verdict = "right" if said.verdict != "agrees" else "wrong"
    often = share_text(scores[score])
    return f"in {often} of the interpretations it is {leading(known.sides, score)}, and what was said is {verdict}"


def _agreeing(said: Score, score: Score, known: _Known, t: float) -> str:
    last = known.last_change(t, score)
    if last is None and not any(score):
        return f"Nothing has been scored yet, so {score_text(said)} is right."
    if last is None:
        return f"The score is {leading(known.sides, said)}."
    return f"The score is {leading(known.sides, said)} {last.after.rstrip(',')}."


def _differing(verdict: str, said: Score, score: Score, known: _Known, t: float) -> str:
    now = leading(known.sides, score)
    last = known.last_change(t, score)
    if verdict == "swapped":
        return f"Right numbers, wrong wrestler: it is {now}."
    if verdict == "stale" and last is not None:
        return f"Out of date: {last.overturned or f'{last.given} made it {now}'}."
    if verdict == "ahead":
        more = abs(sum(said) - sum(score))
        return f"{'One point' if more == 1 else f'{more} points'} too many so far: it is {now}."
    never = "is not the score" if said in known.scores else "never was the score"
    since = f"{last.after} " if last is not None else "so far "
    return f"{leading(known.sides, said)} {never}: {since}it is {now}."


def _margin(index: int, mention: MarginMention, log: BoutLog, sides: Sides) -> StatementCheck | None:
    score = board_at(log.board, mention.t)
    if mention.margin and mention.leader is None:
        return None
    leader: Corner | None = "red" if score[0] > score[1] else "blue" if score[1] > score[0] else None
    margin = abs(score[0] - score[1])
    agrees = margin == mention.margin and (mention.margin == 0 or leader == mention.leader)
    said = lead_text(sides, mention.leader, mention.margin)
    now = leading(sides, score)
    if agrees:
        verdict: Verdict = "agrees"
        why = f"The score is {now}, which is what was said: {said}."
        slip = None
    else:
        # A lead in one number is heard less surely than a score, so it is never more than doubtful by itself.
        verdict, slip = "unclear", None
        why = f"What was said ({said}) does not fit the score, which is {now}."
    return StatementCheck(index, None, mention.margin, mention.leader, score, verdict, slip, 0.7, why)
