"""Small phrases for the sentences that checks write."""

from __future__ import annotations

from extract.rules.base import Corner
from extract.transcript.cue import Order

Score = tuple[int, int]


def score_text(score: Score) -> str:
    """A score as it is written, red first."""
    return f"{score[0]}-{score[1]}"


def clock_text(seconds: float) -> str:
    """A time of the recording as m:ss, or h:mm:ss from an hour on.

    >>> clock_text(75), clock_text(3725)
    ('1:15', '1:02:05')
    """
    whole = max(int(seconds), 0)
    if whole >= 3600:
        return f"{whole // 3600}:{whole % 3600 // 60:02d}:{whole % 60:02d}"
    return f"{whole // 60}:{whole % 60:02d}"


def moment_text(t: float, order: Order | None) -> str:
    """A moment of a recording as m:ss. If only the order of an account is known, it is the line that the moment belongs to.

    >>> moment_text(75, None), moment_text(75, Order(20.0, 8.0, (1, 2, 4, 5, 6)))
    ('1:15', 'line 6')
    """
    return clock_text(t) if order is None else f"line {order.line(t)}"


def span_text(low: float, high: float, order: Order | None) -> str:
    """A stretch of time from one moment to another, in words.

    >>> span_text(5, 65, None), span_text(20, 70, Order(20.0, 8.0, (1, 2, 4, 5, 6)))
    ('from 0:05 to 1:05', 'in the lines 2 to 6')
    """
    if order is None:
        return f"from {clock_text(low)} to {clock_text(high)}"
    first, last = sorted((order.line(low), order.line(high)))
    return f"in line {first}" if first == last else f"in the lines {first} to {last}"


def board_text(score: Score) -> str:
    """A score of the board in words.

    >>> board_text((3, 2)), board_text((2, 2))
    ('3-2, red ahead', '2-2, level')
    """
    if score[0] == score[1]:
        return f"{score_text(score)}, level"
    return f"{score_text(score)}, {'red' if score[0] > score[1] else 'blue'} ahead"


def share_text(share: float) -> str:
    """A share of the readings in words.

    >>> share_text(0.124), share_text(0.0004)
    ('12 %', 'under 1 %')
    """
    return f"{share * 100:.0f} %" if share >= 0.01 else "under 1 %"


def words_text(text: str) -> str:
    """Words of the talk as they are quoted in a sentence, on one line.

    >>> words_text("two for\\nred")
    '"two for red"'
    """
    return f'"{" ".join(text.split())}"'


def kind_text(kind: str) -> str:
    """An event kind in words."""
    return kind.replace("_", "-" if kind in ("step_out",) else " ")


def award_text(kind: str, corner: Corner | None, points: int) -> str:
    """An award in words: "takedown blue, 2"."""
    who = f" {corner}" if corner else ""
    return f"{kind_text(kind)}{who}" + (f", {points}" if points else "")
