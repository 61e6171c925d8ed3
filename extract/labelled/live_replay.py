"""A labelled bout replayed in order, caption after caption, as the live desk hears it."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from extract.bout import extract_bout
from extract.labelled.truth import LabelledBout
from extract.live.running import ReadWith, RunningBout
from extract.live.waiting import Seen
from extract.log import Parameters
from extract.record.model import Pair
from extract.transcript import Transcript
from extract.transcript.cue import PartOf


@dataclass(frozen=True, slots=True)
class Doubted:
    """Something said that did not fit at some moment: when it was said, the score that was stated (None: a lead), its kind,
    and how it looked at each caption at which it did not fit."""

    t: float
    said: Pair | None
    kind: str
    history: tuple[Seen, ...]


@dataclass(frozen=True, slots=True)
class Replayed:
    """A labelled bout as it was heard live. ``scores`` are the scores shown, each from the moment at which the caption was
    over; ``cost_s`` is the computing time of each caption, and ``once_s`` that of all of them read once, offline."""

    bout: LabelledBout
    scores: tuple[tuple[float, Pair], ...]
    doubted: tuple[Doubted, ...]
    cost_s: tuple[float, ...]
    once_s: float

    def score_at(self, t: float) -> Pair:
        """The score that was shown at a moment."""
        return next((score for at, score in reversed(self.scores) if at <= t), (0, 0))


def replay(
    bout: LabelledBout, parameters: Parameters | None = None, lexicons: Sequence[Path] = ()
) -> Replayed:
    """Hear a labelled bout as it goes on. Raises InputError as ``extract_bout``."""
    rules = bout.truth.rules
    options = ReadWith(parameters=parameters, rules=rules, lexicons=tuple(lexicons))
    running = RunningBout(1, 0.0, bout.bout, options)
    scores: list[tuple[float, Pair]] = []
    cost: list[float] = []
    for so_far in prefixes(bout.transcript):
        began = time.process_time()
        running.hear(so_far, ())
        cost.append(time.process_time() - began)
        assert running.board is not None
        scores.append((so_far.seconds, running.board.score))
    began = time.process_time()
    extract_bout(bout.transcript, bout.bout, rules=rules, parameters=parameters, lexicons=lexicons)
    once = time.process_time() - began
    doubted = tuple(
        Doubted(
            item.flag.t, item.flag.said if isinstance(item.flag.said, tuple) else None, item.kind, tuple(seen)
        )
        for item, seen in running.flags.histories
    )
    return Replayed(bout, tuple(scores), doubted, tuple(cost), once)


def prefixes(transcript: Transcript) -> Iterator[Transcript]:
    """The talk after each caption of its source; the cues of one caption come together."""
    cues = transcript.cues
    begins = min(transcript.begins, transcript.first_word)
    for k in range(1, len(cues) + 1):
        if k == len(cues) or cues[k].index != cues[k - 1].index:
            part = PartOf(1, begins, max(cue.end for cue in cues[:k]), 0, k)
            yield replace(transcript, cues=cues[:k], part=part)


def captions(replayed: Sequence[Replayed]) -> Iterator[float]:
    """The computing time of each caption of some bouts."""
    return (seconds for one in replayed for seconds in one.cost_s)
