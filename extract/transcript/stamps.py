"""Times at the head of the lines of an account that are none of a recording: of day, or of the bout clock."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from extract.transcript.bout_clock import counted_down
from extract.transcript.headings import is_heading
from extract.transcript.names import names
from extract.transcript.order_numbers import order_number
from extract.transcript.plain import PLAIN

_HALF_DAY_S = 12 * 3600.0


@dataclass(frozen=True, slots=True)
class Stamp:
    """A time at the head of a text. ``start`` and ``stop`` are the place of its figures, ``end`` is where what is said
    begins. ``seconds`` is the time read as minutes and seconds, ``of_day`` as hours and minutes. ``half_day`` says that
    words such as "pm" stand behind it."""

    start: int
    stop: int
    end: int
    seconds: float
    of_day: float
    half_day: bool
    bracketed: bool


def stamp_of(text: str, at: int = 0) -> Stamp | None:
    """The time with which a text begins at a place.

    >>> stamp_of("7:05 pm Takedown").of_day, stamp_of("(2:15) Takedown").seconds, stamp_of("2-0 Vell")
    (68700.0, 135.0, None)
    """
    found = _stamp().match(text.translate(PLAIN), at)
    if found is None or (found["open"] is None) != (found["close"] is None):
        return None
    first, second, half = int(found["a"]), int(found["b"]), found["half"]
    if second > 59:
        return None
    third = int(found["c"]) if found["c"] is not None else None
    seconds = first * 60.0 + second if third is None else first * 3600.0 + second * 60.0 + third
    of_day = first * 3600.0 + second * 60.0 + (third or 0)
    if half is not None:
        if not 1 <= first <= 12:
            return None
        of_day = of_day % _HALF_DAY_S + (_HALF_DAY_S if half.lower().startswith("p") else 0.0)
    bracketed = found["open"] is not None
    return Stamp(
        found.start("a"), found.end("time"), found.end(), seconds, of_day, half is not None, bracketed
    )


def stamps_are_clock(stamps: Sequence[Stamp]) -> bool:
    """Whether the times before the entries of an account are those of the bout clock."""
    most = order_number("stamps", "clock_most_s")
    return not any(stamp.half_day for stamp in stamps) and all(stamp.seconds <= most for stamp in stamps)


def tells_no_times(text: str) -> bool:
    """Whether the times before the lines of a text are none of a recording. They are times of day: they say so, or the
    talk would be faster than anybody speaks, or they fall from the first to the last. Or they are of the bout clock and
    stand before some of the lines, as people note it now and then, or behind them stands that so much is left."""
    lines = [line for line in text.split("\n") if line.strip() and not is_heading(line)]
    found = [(k, stamp) for k, line in enumerate(lines) if (stamp := stamp_of(line)) is not None]
    stamps, stamped = [stamp for _, stamp in found], [lines[k] for k, _ in found]
    if not stamps:
        return False
    if sum(stamp.half_day for stamp in stamps) > len(stamps) / 2:
        return True
    times = [stamp.seconds for stamp in stamps]
    rises, falls = (sum(b > a for a, b in pairwise(times)), sum(b < a for a, b in pairwise(times)))
    least = order_number("stamps", "least")
    if max(times) > order_number("stamps", "clock_most_s"):
        gap = (max(s.of_day for s in stamps) - min(s.of_day for s in stamps)) / max(falls, 1)
        if (
            falls >= order_number("newest", "falls")
            and not rises
            and gap <= order_number("stamps", "day_gap_s")
        ):
            return True
        spoken = sum(map(len, lines)) / max(max(times) - min(times), 1.0)
        early = min(times) < order_number("stamps", "first_hour") * 60
        return not falls and not early and len(stamps) >= least and spoken > order_number("stamps", "rate")
    if sum(remains(line[stamp.end :]) for line, stamp in zip(stamped, stamps, strict=True)) > len(stamps) / 2:
        return True
    share, above = len(stamps) / len(lines), found[0][0]
    if all(stamp.bracketed for stamp in stamps):
        return False
    if share < order_number("stamps", "alone"):
        return falls > 0 or above > len(lines) / 3 or _noted_here_and_there(text, lines, times)
    # The reader of times goes by stamps of one form.
    one_form = len({stamp.bracketed for stamp in stamps}) == 1
    counts_down = one_form and counted_down(times, _breaks(text)) is not None
    return falls > rises and share <= order_number("stamps", "most") and not counts_down


def _noted_here_and_there(text: str, lines: Sequence[str], times: Sequence[float]) -> bool:
    """Whether the lines are short, and no time comes after another one of its period that is less."""
    widths = sorted(map(len, lines))
    if len(lines) < order_number("stamps", "least") or widths[len(widths) // 2] > order_number(
        "page", "note_width"
    ):
        return False
    breaks = _breaks(text)
    return all(k in breaks for k in range(1, len(times)))


def _breaks(text: str) -> frozenset[int]:
    """The places of the times before which a period is headed."""
    breaks, stamps = set(), 0
    for line in text.split("\n"):
        if is_heading(line):
            breaks.add(stamps)
        elif stamp_of(line) is not None:
            stamps += 1
    return frozenset(breaks)


def remains(rest: str) -> bool:
    """Whether what stands behind a time says that so much is left."""
    return _remain().match(rest.lower()) is not None


@cache
def _remain() -> re.Pattern[str]:
    words = "|".join(re.escape(word) for word in sorted(names("order", "remain"), key=len, reverse=True))
    return re.compile(rf"[ \t]*(?:{words})\b")


@cache
def _stamp() -> re.Pattern[str]:
    half = "|".join(re.escape(w) for w in sorted(names("order", "half_day"), key=len, reverse=True))
    return re.compile(
        r"[ \t]*(?P<open>[\[(])?[ \t]*(?P<time>(?P<a>[0-9]{1,2})[:.h](?P<b>[0-9]{2})(?::(?P<c>[0-9]{2}))?)"
        rf"(?:[ \t]?(?P<half>{half})\b\.?)?[ \t]*(?P<close>[\])])?(?:[ \t]*[-|:,]+(?=[ \t]|$)|(?=[ \t]|$))[ \t]*",
        re.IGNORECASE,
    )
