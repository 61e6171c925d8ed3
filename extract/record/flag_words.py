"""A flag in words: the kind of slip as its heading, what was said and what it should be, when that was."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from extract.checks.sides import Sides, leading
from extract.checks.words import clock_text, moment_text
from extract.record.model import Flag, Pair, Record, Slip
from extract.record.plain import printable

#: What a score that does not fit is called, by its slip.
SLIPS: Mapping[Slip, str] = MappingProxyType(
    {"wrong": "wrong score", "stale": "old score", "swapped": "wrong wrestler", "ahead": "too early"}
)
_HEADS: Mapping[str, str] = MappingProxyType(
    {
        "score": "wrong score",
        "score_unclear": "unclear score",
        "score_apart": "another bout's score?",
        "final_score": "wrong final score",
        "criteria": "wrong on criteria",
        "clock": "wrong time left?",
        "riding_time": "riding-time point",
        "riding_time_said": "wrong riding time?",
        "uncalled": "points not mentioned",
        "challenge_open": "challenge result unknown",
        "challenge_unsaid": "challenge result not stated",
        "known": "not as known beforehand",
        "corners": "who is red and who is blue",
        "names": "names not heard",
        "language": "not in English?",
        "talk": "not about a bout?",
        "lead_in": "where the bout begins",
        "edition": "edition of the rules",
        "reading": "how the file was read",
        "nothing_understood": "nothing understood",
        "several_bouts": "several bouts",
        "decision_conflict": "correction not possible",
        "decision_unplaced": "correction without its place",
    }
)


def flag_head(flag: Flag, record: Record) -> str:
    """The kind of slip that a flag is about: "old score", "wrong winner"."""
    if flag.kind == "winner":
        return "wrong winner" if flag.said is not None else "no winner"
    if flag.kind == "score":
        slips = (s.slip for s in record.statements if s.id in flag.refs and s.slip is not None)
        return next((SLIPS[slip] for slip in slips), _HEADS["score"])
    if flag.kind == "score_unclear" and any(s.id in flag.refs and s.said is None for s in record.statements):
        return "wrong lead?"
    return _HEADS.get(flag.kind) or printable(flag.kind).replace("_", " ")


def value_text(value: Pair | str | None, sides: Sides) -> str:
    """What a flag says or computes, in words; empty for None.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> value_text((1, 3), sides), value_text("blue", sides), value_text(None, sides)
    ('3-1 Brackett', 'Brackett', '')
    """
    if value is None:
        return ""
    return sides.named(printable(value)) if isinstance(value, str) else leading(sides, value)


def slip_text(flag: Flag, sides: Sides) -> str:
    """What was said and what it should be: "said 4-0 Brackett; should be 2-0 Brackett". Empty unless both are known."""
    said, computed = value_text(flag.said, sides), value_text(flag.computed, sides)
    return f"said {said}; should be {computed}" if said and computed else ""


def place_text(flag: Flag, record: Record) -> str:
    """When it was: "1:27, period 1, about 2:18 left", as far as it is known."""
    parts = [moment_text(flag.t, record.source.order)]
    if flag.period is not None:
        parts.append(f"period {flag.period}")
    if flag.clock_s is not None:
        about = "about " if flag.clock_uncertainty_s is not None and flag.clock_uncertainty_s >= 1 else ""
        parts.append(f"{about}{clock_text(flag.clock_s)} left")
    return ", ".join(parts)


def correction(score: Pair, sides: Sides, *, final: bool = False) -> str:
    """One sentence to read out, with the score that stands; ``final`` says that it is that of the end.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> correction((3, 2), sides), correction((4, 4), sides), correction((0, 0), sides)
    ('Correction: it was 3-2 to Varnholt.', 'Correction: it was level at 4-4.', 'Correction: there was no score yet.')
    >>> correction((4, 4), sides, final=True)
    'Correction: the final score was 4-4.'
    """
    what = "the final score was" if final else "it was"
    if score[0] != score[1]:
        leader = sides.name("red" if score[0] > score[1] else "blue")
        return f"Correction: {what} {max(score)}-{min(score)} to {leader}."
    if final:
        return f"Correction: {what} {score[0]}-{score[1]}."
    return (
        f"Correction: it was level at {score[0]}-{score[1]}."
        if score[0]
        else "Correction: there was no score yet."
    )
