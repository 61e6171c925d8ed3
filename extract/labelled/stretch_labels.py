"""Which kind of talk the passages of a labelled bout are, as its labels tell, and what is seen of them.

The distractors of a label file may say which kind they are (``stretch``). Live are the passages in which a labelled event
is called or a labelled score is said. A passage of which labels tell different things is left out. Of the rest of the talk
nothing is known; but most of it is of what happens now, so what lies far enough from every distractor stands with the live
passages where it is fitted what words weigh. Else each passage without a number would seem to be of something else.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from extract.labelled.counts import Counts, fits_event, labels_of, said_place
from extract.labelled.labels import TrueDistractor, Truth
from extract.log.stretches import LIVE, seen_in
from extract.mentions.context import word_signs
from extract.mentions.model import CallMention, Mention, ScoreMention
from extract.rules.base import WARNINGS

if TYPE_CHECKING:
    from extract.checks import BoutRead
    from extract.log.parameters import Parameters
    from extract.mentions import Heard
    from extract.record.model import Record

#: The words of a distractor are found where they are so much like those of the talk, per cent.
_ALIKE = 75.0
#: What lies so many seconds from every distractor counts as live where it is fitted what words weigh.
_FAR_S = 15.0
#: Labels so many passages apart at the most show how kinds follow one another: farther apart another may lie between.
_NEAR = 2


def labelled_kinds(truth: Truth, heard: Heard) -> list[str | None]:
    """The kind of talk of each passage, None where no label tells; all None where no distractor says its kind."""
    told: list[set[str]] = [set() for _ in heard.passages]
    starts = [p.start for p in heard.passages]
    for distractor in truth.distractors:
        found = _words_of(distractor, truth, heard)
        if found is not None:
            first, last = (bisect_right(starts, i) - 1 for i in found)
            for k in range(first, last + 1):
                told[k].add(distractor.stretch)
    elsewhere = {k for k, kinds in enumerate(told) if kinds}
    for mention in _told_live(truth, heard, starts, elsewhere) if truth.distractors else ():
        told[bisect_right(starts, mention.start) - 1].add(LIVE)
    return [next(iter(kinds)) if len(kinds) == 1 else None for kinds in told]


def _words_of(distractor: TrueDistractor, truth: Truth, heard: Heard) -> tuple[int, int] | None:
    """The first and the last word of a distractor in the talk, where they are found near its time."""
    document, reach = heard.document, said_place(truth)
    near = [i for i in range(len(document)) if abs(document.time(i) - distractor.t) <= reach]
    text, word_at = "", []
    for i in near:
        word = f"{document.lower[i]} "
        text += word
        word_at += [i] * len(word)
    found = fuzz.partial_ratio_alignment(distractor.words.lower(), text, score_cutoff=_ALIKE)
    if found is None or found.dest_start >= found.dest_end:
        return None
    return word_at[found.dest_start], word_at[found.dest_end - 1]


def _told_live(truth: Truth, heard: Heard, starts: Sequence[int], elsewhere: set[int]) -> Iterator[Mention]:
    """The mention of each labelled score, and of each event that is called outside of the passages ``elsewhere``."""
    scores = [m for m in heard.mentions if isinstance(m, ScoreMention)]
    for row in truth.scores:
        same = [m for m in scores if row in labels_of(m, heard, truth)[:1]]
        if same:
            yield min(same, key=lambda m: abs(heard.said_at(m) - row.t))
    calls = [
        m
        for m in heard.mentions
        if isinstance(m, CallMention) and bisect_right(starts, m.start) - 1 not in elsewhere
    ]
    for event in truth.events:
        if event.points or event.kind in WARNINGS or event.kind == "fall":
            told = [m for m in calls if fits_event(m, event, truth.near_s)]
            if told:
                yield min(told, key=lambda m: abs(m.t - event.t))


def stretches_found(truth: Truth, heard: Heard, record: Record) -> Counter[tuple[str, str]]:
    """How often the labels tell of each kind of passage and the record has each: ``(labelled, found)``."""
    out: Counter[tuple[str, str]] = Counter()
    begins = [(one.cue, one.start) for one in record.stretches]
    for passage, kind in zip(heard.passages, labelled_kinds(truth, heard), strict=True):
        place = heard.document.place(passage.start, passage.end)
        at = bisect_right(begins, (place.cue, place.start)) - 1
        if kind is not None and at >= 0:
            out[kind, record.stretches[at].kind] += 1
    return out


def count_stretches(truth: Truth, read: BoutRead, parameters: Parameters, out: Counts) -> None:
    """Adds what is seen of the passages of a bout to the counts, by their kind."""
    passages = read.heard.passages
    kinds = labelled_kinds(truth, read.heard)
    known = [(k, kind) for k, kind in enumerate(kinds) if kind is not None]
    if not known or not truth.distractors:
        return
    seen = seen_in(passages, read.mentions, read.log, parameters)
    others = sorted(d.t for d in truth.distractors if d.stretch != LIVE)
    for k, (passage, kind) in enumerate(zip(passages, kinds, strict=True)):
        near = bisect_left(others, passage.t - _FAR_S) < bisect_right(others, passage.t + _FAR_S)
        if kind is not None or not near:
            signs = (*word_signs(passage.said, passage.beside), *seen[k].signs)
            out.talk.append((kind or LIVE, signs))
    out.kinds_of_talk["first", "", known[0][1]] += 1
    for k, kind in known:
        out.kinds_of_talk["around", kind, seen[k].around] += 1
        for what in seen[k].taken:
            out.kinds_of_talk["taken", kind, what] += 1
        for back in range(1, _NEAR + 1):
            before = kinds[k - back] if k >= back else None
            if before is not None:
                out.kinds_of_talk["next", before, kind] += 1
