"""The verdict on every score that somebody stated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from extract.checks.words import award_text, board_text, clock_text, score_text, share_text
from extract.log import BoutLog, Taken
from extract.log.hypothesis import Said, Score
from extract.log.settle import board_at
from extract.mentions.model import MarginMention, Mention
from extract.rules.base import Corner

Verdict = Literal["agrees", "disagrees", "unclear"]
#: Between these shares of the readings a verdict is left open.
_UNCLEAR = (0.35, 0.65)


@dataclass(frozen=True, slots=True)
class Checked:
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


def check_statements(log: BoutLog, mentions: Sequence[Mention]) -> list[Checked]:
    """Verdicts in the order in which the scores were said."""
    out = [_score(taken, log, mentions[taken.said.mention].t) for taken in log.taken]
    for index, mention in enumerate(mentions):
        if isinstance(mention, MarginMention) and mention.stance == "asserted":
            checked = _margin(index, mention, log)
            if checked is not None:
                out.append(checked)
    return sorted(out, key=lambda c: c.mention)


def _verdict(taken: Taken) -> tuple[Verdict, float]:
    p = taken.disagrees
    if _UNCLEAR[0] < p < _UNCLEAR[1]:
        return "unclear", round(max(p, 1 - p), 4)
    return ("disagrees", round(p, 4)) if p >= _UNCLEAR[1] else ("agrees", round(1 - p, 4))


def _sort(said: Said) -> str:
    return "agrees" if said.verdict == "none" else said.verdict


def _score(taken: Taken, log: BoutLog, t: float) -> Checked:
    said = taken.said
    verdict, share = _verdict(taken)
    # Whether it was on the board may be known from a person.
    sure = 1.0 if said.mention in log.facts.right else log.trust[_sort(said)]
    confidence = round(share * sure, 4)
    agrees = said.verdict == "agrees"
    if verdict == "unclear":
        why = f"The best reading has the board at {board_text(said.board)}; {_other_reading(said, log)}."
    elif agrees:
        why = _agreeing(said.said, log, t)
    else:
        why = _differing(said.verdict, said.said, said.board, log, t)
    slip = None if agrees or verdict == "agrees" else said.verdict
    return Checked(said.mention, said.said, None, None, said.board, verdict, slip, confidence, why)


def _other_reading(said: Said, log: BoutLog) -> str:
    """What the readings say that take the score the other way, the likeliest board of them first."""
    boards: dict[Score, float] = {}
    for reading in log.readings:
        trail = reading.hypothesis.said
        while trail is not None and trail.item.mention != said.mention:
            trail = trail.rest
        if trail is not None and (trail.item.verdict == "agrees") != (said.verdict == "agrees"):
            boards[trail.item.board] = boards.get(trail.item.board, 0.0) + reading.share
    if not boards:
        return "others are nearly as likely"
    board = max(boards, key=lambda b: boards[b])
    verdict = "is right" if said.verdict != "agrees" else "is a slip"
    return (
        f"another ({share_text(boards[board])}) has it at {score_text(board)}, and the score said {verdict}"
    )


def _last_change(log: BoutLog, t: float) -> str | None:
    """What last changed the board before ``t``, in words."""
    found: tuple[float, str] | None = None
    for event in log.events:
        move, off = event.entry.move, event.entry.off
        if not move.points:
            continue
        told = award_text(move.kind, move.corner, move.points)
        if event.t <= t and (found is None or event.t >= found[0]):
            uncalled = "" if event.entry.basis == "called" else ", which nobody called"
            found = (event.t, f"the {told} at {clock_text(event.t)}{uncalled}")
        if off is not None and off <= t and (found is None or off >= found[0]):
            found = (off, f"the review at {clock_text(off)} that took the {told} off")
    return found[1] if found is not None else None


def _agreeing(said: Score, log: BoutLog, t: float) -> str:
    last = _last_change(log, t)
    if last is None:
        return f"Nothing has been scored yet, so {score_text(said)} agrees."
    return f"The board shows {board_text(said)}, since {last}."


def _differing(verdict: str, said: Score, board: Score, log: BoutLog, t: float) -> str:
    now = board_text(board)
    last = _last_change(log, t) or "the start"
    if verdict == "swapped":
        return f"The numbers are right but the corners are the wrong way round: the board shows {now}."
    if verdict == "stale":
        return f"This is an old score, from before {last}: the board shows {now}."
    if verdict == "ahead":
        return f"This counts an award that is not on the board, which shows {now}."
    return f"No call leads to {score_text(said)}: since {last}, the board shows {now}."


def _margin(index: int, mention: MarginMention, log: BoutLog) -> Checked | None:
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
    return Checked(index, None, mention.margin, mention.leader, board, verdict, slip, 0.7, why)
