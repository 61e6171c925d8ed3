"""Where a bout begins and is over, by its record: what is said before the first and after the last that happens in it is
its introduction and its result, and then talk.

The search hears a replay as wrestling, for it has calls, points and the right names, and a preview as an introduction, for
it has the names. The record of the part knows that a replay is nothing new: no award stands, no clock runs.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping

from extract.log.parameters import Parameters
from extract.record.model import Record
from extract.session.evidence import CueEvidence
from extract.session.search import CueSpan

#: Results for which the clock runs down.
_TO_THE_HORN = ("points", "criteria")


def opened(part: CueSpan, record: Record, evidence: CueEvidence, parameters: Parameters) -> CueSpan:
    """The bout without the talk before its introduction; ``record`` is what was made of it as it is.

    Back from where the wrestling begins it goes as far as words of an introduction and names of the bout outweigh
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
    """The bout without the talk after its result; ``record`` is what was made of it as it is.

    From the last event on the bout either goes on, where no call and no name counts for it any more and words of a result
    count against it, or its result is told, for which each second after the first few has its price. It ends where the
    result is told best, and with the last event where nothing speaks for a result."""
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
        # Where the last event ends the bout, what is said at once is about that, in whatever words.
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
    """The cue in which the first of the bout happens that somebody called or read off the clock."""
    times = [event.t for event in record.events if event.evidence]
    times += [read.t for read in record.clock if read.about == "bout"]
    if not times:
        return part.last - 1
    return max(bisect_right(evidence.starts, min(times), part.first, part.last) - 1, part.first)


def _running(evidence: CueEvidence, final: int, until: int, rough_s: float) -> Iterator[int]:
    """The cues from which the clock is heard running, as the time left fits to that said before; the log may have left
    both out, and a single one may be told of another time. The clock is read as roughly as ``rough_s``."""
    before: tuple[float, int] | None = None
    for at in range(final, until):
        for left in evidence.signs[at].clocks:
            t = evidence.starts[at]
            if before is not None and 0 < before[1] - left <= t - before[0] + rough_s:
                yield at
            before = (t, left)


def _last_event(record: Record, most: float) -> float | None:
    """When the last of the bout happens that the record knows of, seconds of recording. A clock that was read runs down,
    of which at most ``most`` seconds are counted; None where nothing happens."""
    left = most if record.result.by in _TO_THE_HORN else 0.0
    times = [event.t for event in record.events]
    times += [read.t + min(read.seconds_left, left) for read in record.clock if read.about == "bout"]
    times += [asked.t if asked.t_outcome is None else asked.t_outcome for asked in record.challenges]
    return max(times, default=None)
