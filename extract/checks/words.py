"""Small phrases for the sentences that checks write."""

from __future__ import annotations

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
    ('from 0:05 to 1:05', 'in lines 2 to 6')
    """
    if order is None:
        return f"from {clock_text(low)} to {clock_text(high)}"
    first, last = sorted((order.line(low), order.line(high)))
    return f"in line {first}" if first == last else f"in lines {first} to {last}"


def share_text(share: float) -> str:
    """A share or a chance in words.

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
    """An event kind in words: "step-out", "near fall"."""
    return kind.replace("_", "-" if kind in ("step_out",) else " ")


_WON_BY = {
    "points": "by points",
    "criteria": "on criteria",
    "superiority": "by technical superiority",
    "fall": "by fall",
    "disqualification": "by disqualification",
    "injury": "by injury",
    "forfeit": "by forfeit",
}


def won_by_text(by: str) -> str:
    """How a bout was won, in words; empty where that is not known.

    >>> won_by_text("criteria"), won_by_text("unknown")
    ('on criteria', '')
    """
    return _WON_BY.get(by, "")
