"""Where the only bout of a recording begins. What is said before it is studio talk and not part of it.

The best single bout is found as in a session. The search puts its beginning near enough, but it loses an introduction
that has few words of one. So the beginning is carried back from there over what is said of those who wrestle. A
beginning in the first seconds of the talk does not count: without signs of a long lead-in the bout has all of the
recording.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence

from extract.log.parameters import Parameters
from extract.mentions import Heard
from extract.recording.evidence import CueEvidence, weigh
from extract.recording.names import likely_names, often_named
from extract.recording.parameters import recording_parameters
from extract.recording.search import CueSpan, best_bout, search
from extract.recording.signs import heard_signs
from extract.transcript import Transcript

#: Decisions have times in hundredths of a second.
_ROUNDED_S = 0.01


def first_cue(transcript: Transcript, heard: Heard) -> int:
    """The position of the cue with which a bout clearly begins. What is said before it may be its introduction or
    not.

    ``heard`` is what was heard in the transcript."""
    if not transcript.cues:
        return 0
    parameters = recording_parameters()
    names = likely_names(transcript, heard.lexicon, parameters)
    evidence = _evidence(transcript, heard, names, parameters)
    bout = best_bout(evidence, parameters)
    return _carried_back(bout, evidence, names, parameters) if bout is not None else 0


def bouts_told_apart(transcript: Transcript, heard: Heard) -> int:
    """How many bouts a recording seems to hold that was taken for one. ``heard`` is what was heard in it. This costs
    about a twentieth of reading it."""
    if transcript.order is not None:
        return len(transcript.order.bouts)
    if not transcript.cues:
        return 0
    parameters = recording_parameters()
    names = likely_names(transcript, heard.lexicon, parameters)
    return sum(part.bout for part in search(_evidence(transcript, heard, names, parameters), parameters))


def _evidence(
    transcript: Transcript, heard: Heard, names: Sequence[Sequence[str]], parameters: Parameters
) -> CueEvidence:
    return weigh(transcript.cues, heard_signs(heard), often_named(names, parameters), parameters)


def is_lead_in(transcript: Transcript, first: int) -> bool:
    """Whether more is said before a cue than an introduction of the bout that begins there."""
    before = transcript.cues[first].start - transcript.first_word if first else 0.0
    return before >= recording_parameters().get("opening", "least")


def _carried_back(
    bout: CueSpan, evidence: CueEvidence, names: Sequence[Sequence[str]], parameters: Parameters
) -> int:
    """Where a bout begins that was found from ``bout.first`` on. It goes back as far as talk of its two athletes and
    words of an introduction outweigh silences, other people's names and other talk."""
    table = parameters.table("opening")
    intro, run = evidence.phase["intro"], evidence.phase["run"]
    own = Counter(name for said in names[bout.first : bout.last] for name in said)
    total, best, first = 0.0, 0.0, bout.first
    for at in range(bout.first - 1, -1, -1):
        total += intro[at] - evidence.silence[at + 1]
        if any(own[name] >= table["often"] for name in names[at]):
            total += max(max(run[at], 0.0) - intro[at], 0.0) + table["own"]
            total += table["whistle"] if evidence.whistle[at] else 0.0
        elif any(own[name] == 0 for name in names[at]):
            total -= table["other"]
        if total >= best:
            best, first = total, at
    return first


def decided_first(transcript: Transcript, first: int, times: Sequence[float]) -> int:
    """The first cue of the bout if people have made decisions on moments at ``times``: none of these lies before
    it."""
    starts = [cue.start for cue in transcript.cues]
    return min([first, *(max(bisect_right(starts, t + _ROUNDED_S) - 1, 0) for t in times)])
