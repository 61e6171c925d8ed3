"""The bout clock as it was read aloud."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding
from extract.checks.words import clock_text
from extract.mentions.model import ClockMention

#: A time left that is off by less, in seconds, is no matter for a person.
_TELLING_S = 5.0


def check_clocks(bout: BoutRead) -> Iterator[Finding]:
    """Times left that do not fit the others said in their period."""
    log, mentions = bout.log, bout.mentions
    if log.order is not None:
        # Without times nothing tells how far the clock can have run.
        return
    for reading in log.frame.readings:
        m = mentions[reading.index]
        if reading.fits or not isinstance(m, ClockMention) or m.stance != "asserted":
            continue
        computed = log.frame.clock_at(reading.t)
        if (
            computed is None
            or abs(computed[0] - reading.seconds) < _TELLING_S
            or ("+remain" not in m.grade and m.grade != "m:ss")
        ):
            continue
        why = (
            f"{clock_text(reading.seconds)} left does not fit the other times said in period {reading.period}: "
            f"about {clock_text(computed[0])} is left."
        )
        yield Finding(
            "clock",
            "note",
            reading.t,
            reading.index,
            clock_text(reading.seconds),
            clock_text(computed[0]),
            why,
            (("clock", reading.index),),
        )
