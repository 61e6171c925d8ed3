"""Where a bout begins and ends, by its record. Its introduction comes before the first thing that happens in it, its
result after the last. What lies further out is talk.

The search takes a replay for wrestling, because it has calls, points and the right names. It takes a preview for an
introduction, because it has the names. The record of the part knows that a replay is nothing new: no award stands and
no clock runs.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping

from extract.log.parameters import Parameters
from extract.record.model import Record
from extract.recording.evidence import CueEvidence
from extract.recording.search import CueSpan

#: Results that come after the clock has run down.
_TO_THE_HORN = ("points", "criteria")


def opened(part: CueSpan, record: Record, evidence: CueEvidence, parameters: Parameters) -> CueSpan:
    """The bout without the talk before its introduction. ``record`` is that of the bout as it is.

    From the start of the wrestling it goes back as far as words of an introduction and names of the bout outweigh
    silences and other talk."""
    if part.run is None:
        return part
    edge = parameters.table("edge")
    until = min(part.run[0], _first_event(record, evidence, part))
    names = Counter(name for said in evidence.names[until : part.last] for name, _ in said)
    total, best, first = 0.0, 0.0, until
    for at in range(until - 1, part.first - 1, -1):
        total += evidence.phase["intro"][at] - evidence.silence[at + 1]
        if any(names[name] >= edge["often"] for name, _ in evidence.names[at]):
            total += edge["named"]
        if total >= best:
            best, first = total, at
    return part._replace(first=first)


def closed(part: CueSpan, record: Record, evidence: CueEvidence, parameters: Parameters) -> CueSpan:
    """The bout without the talk after its result. ``record`` is that of the bout as it is.

    After the last event the bout either goes on or its result is told. While it goes on, calls and names no longer
    count for it and words of a result count against it. While the result is told, each second after the first few
    costs. The bout ends where the result is told best, or with the last event if nothing speaks for a result."""
    weights = parameters.table("edge")
    happened = _last_event(record, float(weights["clock"]))
    # Nothing happens in a bout that is not fought.
    if happened is None or part.run is None or part.run[0] == part.run[1]:
        return part
    final = max(bisect_right(evidence.starts, happened, part.first, part.last) - 1, part.first)
    # The call comes after what it calls.
    called = (min(words.cue for words in event.evidence) - 1 for event in record.events if event.evidence)
    final = max(
        (
            final,
            *(cue for cue in called if cue < part.last),
            *_running(evidence, final, part.last, float(weights["rough"])),
        )
    )
    runs, results = evidence.phase["run"], evidence.phase["result"]
    run, best = 0.0, 0.0
    over = last = final + 1
    if record.result.by not in _TO_THE_HORN:
        # If the last event ends the bout, what is said at once is about that, in whatever words.
        last = bisect_right(evidence.starts, evidence.ends[final] + weights["free"], final + 1, part.last)
    for begun in range(final + 1, part.last):
        for at, worth in _results(evidence, begun, part.last, weights):
            if run + worth > best:
                best, over, last = run + worth, begun, at + 1
        run += min(runs[begun], 0.0) - max(results[begun], 0.0) - evidence.silence[begun]
    entered, over_by_search = part.run
    return part._replace(last=last, run=(min(entered, last), min(over_by_search, over, last)))


def _results(
    evidence: CueEvidence, begun: int, until: int, weights: Mapping[str, float]
) -> Iterator[tuple[int, float]]:
    """The last cues of a result that is told from the cue ``begun`` on, each with its log weight."""
    total = 0.0
    for at in range(begun, until):
        long = evidence.ends[at] - evidence.starts[begun] - weights["free"]
        if long > weights["longest"]:
            break
        total += evidence.phase["result"][at] - evidence.silence[at]
        yield at, total - weights["second"] * max(long, 0.0)


def _first_event(record: Record, evidence: CueEvidence, part: CueSpan) -> int:
    """The cue of the first thing in the bout that somebody called or read off the clock."""
    times = [event.t for event in record.events if event.evidence]
    times += [read.t for read in record.clock if read.about == "bout"]
    if not times:
        return part.last - 1
    return max(bisect_right(evidence.starts, min(times), part.first, part.last) - 1, part.first)


def _running(evidence: CueEvidence, final: int, until: int, rough_s: float) -> Iterator[int]:
    """The cues from which the clock is heard running, because the time left fits the one said before. The log may
    have left both out, and a single one may be about another moment. Times may be off by ``rough_s``."""
    before: tuple[float, int] | None = None
    for at in range(final, until):
        for left in evidence.signs[at].clocks:
            t = evidence.starts[at]
            if before is not None and 0 < before[1] - left <= t - before[0] + rough_s:
                yield at
            before = (t, left)


def _last_event(record: Record, most: float) -> float | None:
    """When the last thing that the record knows of happens in the bout, seconds of recording. A clock that was read
    runs down, and no more than ``most`` seconds of that are counted. None if nothing happens."""
    left = most if record.result.by in _TO_THE_HORN else 0.0
    times = [event.t for event in record.events]
    times += [read.t + min(read.seconds_left, left) for read in record.clock if read.about == "bout"]
    times += [asked.t if asked.t_outcome is None else asked.t_outcome for asked in record.challenges]
    return max(times, default=None)
