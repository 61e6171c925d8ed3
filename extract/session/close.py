"""Where a bout is over, by its record: what is said after the last that happens in it is its result, and then talk.

The search hears a replay as wrestling, for it has calls, points and the right names. The record of the part knows that
they are nothing new: no award stands, no clock runs.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping

from extract.log.parameters import Parameters
from extract.record.model import Record
from extract.session.evidence import Evidence
from extract.session.search import Found

#: Results for which the clock runs down.
_TO_THE_HORN = ("points", "criteria")
#: Nobody tells a result for so many seconds.
_LONGEST_S = 60.0


def closed(part: Found, record: Record, evidence: Evidence, parameters: Parameters) -> Found:
    """The bout without the talk after its result; ``record`` is what was made of it as it is.

    From the last event on the bout either goes on, where no call and no name counts for it any more and words of a result
    count against it, or its result is told, for which each second after the first few has its price. It ends where the
    result is told best, and with the cue of the last event where nothing speaks for a result."""
    weights = parameters.table("close")
    happened = _last_event(record, float(weights["clock"]))
    if happened is None or part.run is None:
        return part
    final = max(bisect_right(evidence.starts, happened, part.first, part.last) - 1, part.first)
    # The call comes after what it calls.
    called = (min(words.cue for words in event.evidence) - 1 for event in record.events if event.evidence)
    final = max((final, *(cue for cue in called if cue < part.last)))
    runs, results = evidence.phase["run"], evidence.phase["result"]
    run, best = 0.0, 0.0
    over, last = final + 1, final + 1
    for begun in range(final + 1, part.last):
        for at, told in _results(evidence, begun, part.last, weights):
            if run + told > best:
                best, over, last = run + told, begun, at + 1
        run += min(runs[begun], 0.0) - max(results[begun], 0.0) - evidence.silence[begun]
    entered, over_by_search = part.run
    return part._replace(last=last, run=(min(entered, last), min(over_by_search, over, last)))


def _results(
    evidence: Evidence, begun: int, until: int, weights: Mapping[str, float]
) -> Iterator[tuple[int, float]]:
    """The last cues of a result that is told from the cue ``begun`` on, each with its log weight."""
    total = 0.0
    for at in range(begun, until):
        long = evidence.ends[at] - evidence.starts[begun] - weights["free"]
        if long > _LONGEST_S:
            break
        total += evidence.phase["result"][at] - evidence.silence[at]
        yield at, total - weights["second"] * max(long, 0.0)


def _last_event(record: Record, most: float) -> float | None:
    """When the last of the bout happens that the record knows of, seconds of recording. A clock that was read runs down,
    of which at most ``most`` seconds are counted; None where nothing happens."""
    left = most if record.result.by in _TO_THE_HORN else 0.0
    times = [event.t for event in record.events]
    times += [read.t + min(read.seconds_left, left) for read in record.clock if read.about == "bout"]
    times += [asked.t if asked.t_outcome is None else asked.t_outcome for asked in record.challenges]
    return max(times, default=None)
