"""Where a bout is over, by its record: what is said after the last that happens in it is its result, and then talk.

The search hears a replay as wrestling, for it has calls, points and the right names. The record of the part knows that
they are nothing new: no award stands, no clock runs.
"""

from __future__ import annotations

from bisect import bisect_right

from extract.log.parameters import Parameters
from extract.record.model import Record
from extract.session.evidence import Evidence
from extract.session.search import Found

#: Results for which the clock runs down.
_TO_THE_HORN = ("points", "criteria")
#: A cue may begin so much after what happens in it, seconds.
_LATE_S = 0.5


def closed(part: Found, record: Record, evidence: Evidence, parameters: Parameters) -> Found:
    """The bout without the talk after its result; ``record`` is what was made of it as it is.

    From the last event on the bout either goes on, where no call and no name counts for it any more, or its result is
    told, for which each second after the first few has its price. It ends where the result is told best, and with the
    cue of the last event where nothing speaks for a result."""
    weights = parameters.table("close")
    happened = _last_event(record, float(weights["clock"]))
    if happened is None or part.run is None:
        return part
    final = max(bisect_right(evidence.starts, happened + _LATE_S, part.first, part.last) - 1, part.first)
    runs, results = evidence.phase["run"], evidence.phase["result"]
    run, result, best = 0.0, 0.0, 0.0
    over = begun = final
    last = final + 1
    for at in range(final + 1, part.last):
        if run > result:
            result, begun = run, at
        since = evidence.starts[begun] + float(weights["free"])
        dear = max(evidence.ends[at] - since, 0.0) - max(evidence.ends[at - 1] - since, 0.0)
        result += results[at] - evidence.silence[at] - float(weights["second"]) * dear
        run += min(runs[at], 0.0) - evidence.silence[at]
        if result > best:
            best, over, last = result, begun, at + 1
    entered, told = part.run
    return part._replace(last=last, run=(min(entered, last), min(told, over if best else last)))


def _last_event(record: Record, most: float) -> float | None:
    """When the last of the bout happens that the record knows of, seconds of recording. A clock that was read runs down,
    of which at most ``most`` seconds are counted; None where nothing happens."""
    left = most if record.result.by in _TO_THE_HORN else 0.0
    times = [event.t for event in record.events]
    times += [read.t + min(read.seconds_left, left) for read in record.clock if read.about == "bout"]
    times += [asked.t if asked.t_outcome is None else asked.t_outcome for asked in record.challenges]
    return max(times, default=None)
