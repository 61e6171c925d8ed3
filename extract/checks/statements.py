"""The verdict on every score that somebody stated."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from extract.checks.words import award_text, board_text, moment_text, score_text, share_text
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
_MORE_OFTEN = "Numbers said like this are more often no score of the bout, or an award was not heard."


@dataclass(frozen=True, slots=True)
class StatementCheck:
    """A stated score or lead with its verdict. ``mention`` is its position among the mentions, ``said`` the score
    as ``(red, blue)`` or None for a lead (``margin``, ``leader``), ``computed`` the board it is held against."""

    mention: int
    said: Score | None
    margin: int | None
    leader: Corner | None
    computed: Score
    verdict: Verdict
    slip: str | None
    confidence: float
    why: str


def check_statements(log: BoutLog, mentions: Sequence[Mention]) -> list[StatementCheck]:
    """Verdicts in the order in which the scores were said."""
    known = _Known(log)
    out = [_score(taken, log, known, mentions[taken.said.mention].t) for taken in log.taken]
    for index, mention in enumerate(mentions):
        if isinstance(mention, MarginMention) and mention.stance == "asserted":
            checked = _margin(index, mention, log)
            if checked is not None:
                out.append(checked)
    return sorted(out, key=lambda c: c.mention)


def _verdict(taken: ScoreTaken) -> tuple[Verdict, float]:
    p = taken.disagrees
    if _UNCLEAR[0] < p < _UNCLEAR[1]:
        return "unclear", round(max(p, 1 - p), 4)
    return ("disagrees", round(p, 4)) if p >= _UNCLEAR[1] else ("agrees", round(1 - p, 4))


class _Known:
    """What of a log is asked for with each score: what readings take it for, and what changed the board."""

    def __init__(self, log: BoutLog) -> None:
        self.said = [(reading.share, said_in(reading.hypothesis)) for reading in log.readings]
        changes: list[tuple[float, int, str]] = []
        for k, event in enumerate(log.events):
            move, off = event.entry.move, event.entry.off
            if not move.points:
                continue
            award = award_text(move.kind, move.corner, move.points)
            uncalled = "" if event.entry.basis == "called" else ", which nobody called"
            changes.append((event.t, 2 * k, f"the {award} at {moment_text(event.t, log.order)}{uncalled}"))
            if off is not None:
                changes.append(
                    (off, 2 * k + 1, f"the review at {moment_text(off, log.order)} that took the {award} off")
                )
        self._changes = sorted(changes)

    def last_change(self, t: float) -> str | None:
        """What last changed the board at ``t`` or before, in words."""
        at = bisect_right(self._changes, t, key=lambda change: change[0])
        return self._changes[at - 1][2] if at else None


def _score(taken: ScoreTaken, log: BoutLog, known: _Known, t: float) -> StatementCheck:
    said = taken.said
    verdict, share = _verdict(taken)
    # Whether it was on the board may be known from a person.
    sure = 1.0 if said.mention in log.facts.right else taken.trust
    confidence = round(share * sure, 4)
    agrees = said.verdict == "agrees"
    if verdict == "disagrees" and taken.doubtful and said.mention not in log.facts.right:
        verdict = "unclear"
        why = f"{_differing(said.verdict, said.said, said.board, known, t)} {_MORE_OFTEN}"
    elif verdict == "unclear":
        why = f"The best reading has the board at {board_text(said.board)}; {_other_reading(said, known)}."
    elif agrees:
        why = _agreeing(said.said, known, t)
    else:
        why = _differing(said.verdict, said.said, said.board, known, t)
    slip = None if agrees or verdict == "agrees" else said.verdict
    return StatementCheck(said.mention, said.said, None, None, said.board, verdict, slip, confidence, why)


def _other_reading(said: Said, known: _Known) -> str:
    """What the readings say that take the score the other way, the likeliest board of them first."""
    boards: dict[Score, float] = {}
    for share, taken in known.said:
        there = taken.get(said.mention)
        if there is not None and (there.verdict == "agrees") != (said.verdict == "agrees"):
            boards[there.board] = boards.get(there.board, 0.0) + share
    if not boards:
        return "others are nearly as likely"
    board = max(boards, key=lambda b: boards[b])
    verdict = "is right" if said.verdict != "agrees" else "is a slip"
    return (
        f"another ({share_text(boards[board])}) has it at {score_text(board)}, and the score said {verdict}"
    )


def _agreeing(said: Score, known: _Known, t: float) -> str:
    last = known.last_change(t)
    if last is None:
        return f"Nothing has been scored yet, so {score_text(said)} agrees."
    return f"The board shows {board_text(said)}, since {last}."


def _differing(verdict: str, said: Score, board: Score, known: _Known, t: float) -> str:
    now = board_text(board)
    last = known.last_change(t) or "the start"
    if verdict == "swapped":
        return f"The numbers are right but the corners are the wrong way round: the board shows {now}."
    if verdict == "stale":
        return f"This is an old score, from before {last}: the board shows {now}."
    if verdict == "ahead":
        return f"This counts an award that is not on the board, which shows {now}."
    return f"No call leads to {score_text(said)}: since {last}, the board shows {now}."


def _margin(index: int, mention: MarginMention, log: BoutLog) -> StatementCheck | None:
    board = board_at(log.board, mention.t)
    if mention.margin and mention.leader is None:
        return None
    leader: Corner | None = "red" if board[0] > board[1] else "blue" if board[1] > board[0] else None
    margin = abs(board[0] - board[1])
    agrees = margin == mention.margin and (mention.margin == 0 or leader == mention.leader)
    said = "level" if mention.margin == 0 else f"{mention.leader} by {mention.margin}"
    now = board_text(board)
    if agrees:
        verdict: Verdict = "agrees"
        why = f"The board shows {now}, which is what was said: {said}."
        slip = None
    else:
        # A lead in one number is heard less surely than a score, so it is never more than doubtful by itself.
        verdict, slip = "unclear", None
        why = f"What was said ({said}) does not fit the board, which shows {now}."
    return StatementCheck(index, None, mention.margin, mention.leader, board, verdict, slip, 0.7, why)
