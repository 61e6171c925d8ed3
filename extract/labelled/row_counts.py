"""How each row of the lexicon did on labelled bouts: how often it fired, how often that was right, wrong, in conflict.

After the analysis of labelling functions in snorkel (``labeling/analysis.py``: coverage, overlaps, conflicts and
empirical accuracy of each function; Ratner et al., VLDB 2018). A row *fires* with each mention that carries its id. What
a mention says is right or wrong by the yardstick's reach and equalities:

========= ===========================================================================================================
mention   right where
========= ===========================================================================================================
score     a labelled score of its numbers, on the corners it gives them to, is within reach
call      a labelled event that its points and kinds may mean is about as near as the fit asks, whoever gets it
time left a labelled time left within a second of it is within reach
review    a labelled challenge was asked for, or ended so, as shortly before as the fit asks
lead      the true board has that lead, for that corner
mark      a labelled event of that kind is within reach
result    the labelled winner is named, or, where none is named, the labelled way of winning
========= ===========================================================================================================

It is *wrong* where it is not right and the record rests on it all the same: a stated score or lead, a standing award, a
time left, a challenge; a stated score that says the true board is neither. What is left is *unused*: the log took it for
nothing of this bout, or no label tells of its sort. A mention is in *conflict* where one by another row, of another sort
or value, has a word in common with it. Rows whose hits are no mentions of their own (vetoes, signs, whose it is) have only
the number of bouts in which they were found or fitted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from itertools import takewhile
from typing import Any

from extract.labelled.count_words import is_meant
from extract.labelled.counts import fits_event
from extract.labelled.labels import Truth
from extract.labelled.measures import Matched, leads, match_record, said_reach
from extract.labelled.truth import LabelledBout
from extract.mentions import Heard
from extract.mentions.model import (
    CallMention,
    ClockMention,
    MarginMention,
    MarkMention,
    Mention,
    ResultMention,
    ReviewMention,
    ScoreMention,
)
from extract.record.model import Evidence, Record
from extract.rules.base import WARNINGS

#: Cue and offsets of some words.
Spot = tuple[int, int, int]
#: What of a mention is no value of it: where, by which row, and how it is said.
_NO_VALUE = frozenset("start end t stance grade row signs repair tie final more decided".split())  # noqa: SIM905


@dataclass(frozen=True, slots=True)
class RowCount:
    """What a row did: how often it ``fired``, was ``right``, ``wrong``, in ``conflicts``; and the number of ``bouts`` in
    which it was found or fitted."""

    gives: str = ""
    fired: int = 0
    right: int = 0
    wrong: int = 0
    conflicts: int = 0
    bouts: int = 0

    @property
    def unused(self) -> int:
        """How often what it found was taken for nothing, or is of a sort that no label tells of."""
        return self.fired - self.right - self.wrong

    @property
    def accuracy(self) -> float | None:
        """The share right of right and wrong, None where there is neither."""
        told = self.right + self.wrong
        return self.right / told if told else None

    def __add__(self, other: RowCount) -> RowCount:
        return RowCount(
            self.gives,
            self.fired + other.fired,
            self.right + other.right,
            self.wrong + other.wrong,
            self.conflicts + other.conflicts,
            self.bouts + other.bouts,
        )


RowCounts = Mapping[str, RowCount]


def count_rows(bout: LabelledBout, heard: Heard, record: Record) -> dict[str, RowCount]:
    """What each row of the lexicon did in one bout, by its id."""
    got = match_record(bout.truth, record)
    right, rests = _right_spots(got), _rests_on(record, got)
    out = {
        row.id: RowCount(row.gives, bouts=int(row.id in heard.talk.fitted))
        for row in heard.lexicon.rows.by_id.values()
    }
    for n, mention in enumerate(heard.mentions):
        if mention.row not in out:
            continue
        place = heard.place(mention)
        spot = place.cue, place.start, place.end
        is_right = spot in right or _is_true(mention, heard.said_at(mention), bout.truth)
        is_wrong = not is_right and spot in rests
        conflict = _in_conflict(heard.mentions, n)
        out[mention.row] += RowCount("", 1, int(is_right), int(is_wrong), int(conflict))
    return out


def total_rows(parts: Iterable[RowCounts]) -> dict[str, RowCount]:
    """The counts of several bouts added up, the most useful row first: by how much oftener it was right than wrong, then
    by how often it fired or fitted."""
    out: dict[str, RowCount] = {}
    for part in parts:
        for name, count in part.items():
            out[name] = out[name] + count if name in out else count
    by_use = sorted(out.items(), key=lambda pair: (_use(pair[1]), pair[0]))
    return dict(by_use)


def _use(count: RowCount) -> tuple[int, int, int]:
    return count.wrong - count.right, -count.fired, -count.bouts


def _spot(words: Evidence) -> Spot:
    return words.cue, words.start, words.end


def _right_spots(got: Matched) -> set[Spot]:
    """Where the record has what a label has."""
    said = {(s.cue, s.start, s.end) for _, s in got.scores} | {(c.cue, c.start, c.end) for _, c in got.clocks}
    challenges = {_spot(piece) for _, c in got.challenges for piece in c.evidence}
    return said | challenges


def _rests_on(record: Record, got: Matched) -> set[Spot]:
    """The words that what counts in a record rests on."""
    stated = {s.id for s in got.stated}
    out = {(s.cue, s.start, s.end) for s in record.statements if s.said is None or s.id in stated}
    out |= {(c.cue, c.start, c.end) for c in record.clock}
    out |= {_spot(piece) for c in record.challenges for piece in c.evidence}
    standing = (e for e in record.events if e.status == "stands")
    return out | {_spot(piece) for e in standing for piece in e.evidence}


def _is_true(m: Mention, t: float, truth: Truth) -> bool:
    """Whether a label tells what a mention says."""
    told = _LABELS.get(type(m))
    return told is not None and told(m, t, truth)


def _score(m: ScoreMention, t: float, truth: Truth) -> bool:
    return any(s.said in m.values() and abs(s.t - t) <= said_reach(truth) for s in truth.scores)


def _call(m: CallMention, _: float, truth: Truth) -> bool:
    events = (e for e in truth.events if e.points or e.kind in WARNINGS or e.kind == "fall")
    return any(fits_event(m, e, truth.near_s) for e in events)


def _clock(m: ClockMention, t: float, truth: Truth) -> bool:
    clocks = (c for c in truth.clocks if abs(c.t - t) <= said_reach(truth))
    return m.clock == "bout" and any(abs(c.seconds_left - m.seconds) <= 1 for c in clocks)


def _review(m: ReviewMention, _: float, truth: Truth) -> bool:
    return any(is_meant(m, c, truth.near_s) for c in truth.challenges)


def _margin(m: MarginMention, t: float, truth: Truth) -> bool:
    lead = m.margin if m.leader == "red" else -m.margin
    return (m.leader is not None or not m.margin) and leads(truth, lead, t)


def _mark(m: MarkMention, t: float, truth: Truth) -> bool:
    return any(e.kind == m.what and abs(e.t - t) <= truth.near_s for e in truth.events)


def _result(m: ResultMention, _: float, truth: Truth) -> bool:
    return m.by == truth.result.by if m.winner is None else m.winner == truth.result.winner


#: How a label tells what a mention of each sort says; of other sorts no label tells.
_LABELS: Mapping[type[Mention], Callable[[Any, float, Truth], bool]] = {
    ScoreMention: _score,
    CallMention: _call,
    ClockMention: _clock,
    ReviewMention: _review,
    MarginMention: _margin,
    MarkMention: _mark,
    ResultMention: _result,
}


def _in_conflict(mentions: tuple[Mention, ...], n: int) -> bool:
    """Whether a mention by another row says something else with words of this one's. Mentions stand in the order in which
    they begin."""
    one = mentions[n]
    later = takewhile(lambda m: m.start < one.end, mentions[n + 1 :])
    # No phrase is so long that it begins further back than this.
    earlier = (m for m in mentions[max(n - 20, 0) : n] if m.end > one.start)
    return any(m.row != one.row and _value(m) != _value(one) for m in (*later, *earlier))


def _value(m: Mention) -> tuple[object, ...]:
    """What a mention says: its sort, and its fields but for where and how it is said."""
    names = (f.name for f in fields(m) if f.name not in _NO_VALUE)
    return type(m), *(getattr(m, name) for name in names)
