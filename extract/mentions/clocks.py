"""Finds times left on a clock: their shapes and what decides about them are rows (``lexicons/phrases/clocks.toml``)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from extract.mentions.decide import decide, meant
from extract.mentions.model import Bound, Clock, ClockMention, Stance
from extract.mentions.stance import stance_of
from extract.mentions.talk import Talk
from extract.phrases import Hit
from extract.rules import get_ruleset

#: Longest time left that any style's period has, in seconds, with a margin for age groups.
_LONGEST = 310


@dataclass(frozen=True, slots=True)
class _Time:
    """A stretch of words that can be a time: ``form`` says what it is made of."""

    start: int
    end: int
    seconds: int
    form: str


def find_clocks(talk: Talk) -> list[ClockMention]:
    """All times left that are said; marks their numbers as taken."""
    out: list[ClockMention] = []
    stop = 0
    for time in _times(talk):
        if time.start < stop or time.seconds > _LONGEST:
            continue
        known = _known(talk, time)
        if decide(talk, "no time", time.start, time.end, known) is not None:
            # Nor is a part of it one: "a minute" of "half a minute of holding".
            stop = time.end
            continue
        mention = _read(talk, time, known)
        if mention is not None:
            out.append(mention)
            talk.take(time.start, time.end)
            stop = time.end
    return out


def _times(talk: Talk) -> list[_Time]:
    """What can be a time, in order: from each word by the first row that is found there."""
    hits: dict[int, Hit] = {}
    for hit in talk.rows.find("time", talk):
        hits.setdefault(hit.start, hit)
    return [_Time(i, hits[i].end, _seconds(talk, hits[i]), hits[i].row.form) for i in sorted(hits)]


def _seconds(talk: Talk, hit: Hit) -> int:
    """The sum of the parts of a time."""
    minutes, seconds = (talk.value_at(hit.parts[part][0]) if part in hit.parts else 0 for part in "ms")
    part = meant(talk, hit, "h")
    return 60 * minutes + seconds + (int(part) if part else 0) + hit.row.number("seconds")


def _known(talk: Talk, time: _Time) -> dict[str, str]:
    """What the rows about a time may ask of it: its form, how exact it is, on which clock, how it is said."""
    a, b = time.start, time.end
    return {
        "forms": time.form,
        "bounds": _bound(talk, a, b),
        "clocks": _clock(talk, time),
        "stances": stance_of(talk, a, b),
    }


def _read(talk: Talk, time: _Time, known: Mapping[str, str]) -> ClockMention | None:
    """The mention that a time is, or None where nothing says that it is one."""
    a, b = time.start, time.end
    hit = decide(talk, "clock", a, b, known)
    if hit is None:
        return None
    stance = cast(Stance, known["stances"])
    grade = "asked" if stance == "asked" and not hit.row.more.get("firm") else hit.row.form
    bound, clock, period = cast(Bound, known["bounds"]), cast(Clock, known["clocks"]), _period(talk, a, b)
    return ClockMention(a, b, talk.time(a), stance, grade, time.seconds, bound, clock, period, row=hit.row.id)


def _bound(talk: Talk, a: int, b: int) -> Bound:
    """How exact a time is."""
    hit = decide(talk, "bound", a, b)
    return cast(Bound, hit.row.form or meant(talk, hit, "v")) if hit is not None else "exact"


def _clock(talk: Talk, time: _Time) -> Clock:
    """On which clock a time is."""
    full = time.seconds == get_ruleset(talk.lexicon.style).activity_seconds
    for hit in talk.rows.fitting("clock kind", talk, time.start, time.end):
        if full or not hit.row.more.get("full"):
            return cast(Clock, hit.row.form or meant(talk, hit, "k"))
    return "bout"


def _period(talk: Talk, a: int, b: int) -> int | None:
    """The period that the words after a time name."""
    hit = decide(talk, "clock period", a, b)
    if hit is not None and hit.row.more.get("last"):
        return len(get_ruleset(talk.lexicon.style).period_seconds)
    return int(meant(talk, hit, "n")) if hit is not None else None
