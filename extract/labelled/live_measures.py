"""How good the live desk is on labelled bouts that were replayed in time.

Flags: each one raised counts, also if it is taken back later. It is right if what was said is labelled as a slip.
The delay goes from the words to the end of the caption with which the flag is raised. Board: the score shown 15 s
after each change of the labelled score that no other one follows within these. An award that nobody mentions cannot
be known before the next score is said, so the changes that had been told by then are counted by themselves: each
award so far was mentioned, or a right score was stated after it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from extract.labelled.counts import said_place
from extract.labelled.live_replay import Doubted, Replayed
from extract.live.waiting import Waiting
from extract.rules.board import board_at

#: So long after a change the score shown is looked at, seconds.
LATER_S = 15.0
#: What labels call an award that was mentioned.
_MENTIONED = ("full call", "points only", "kind only")
#: A talk with captions longer than this, in seconds, in the middle, is one of paragraphs.
_PARAGRAPH_S = 12.0


@dataclass(frozen=True, slots=True)
class FlagCurve:
    """The flags raised with one option ``at``: how many, how many of them right, how many slips were ``found`` of those
    ``labelled``, and the delays of these, in seconds, in order."""

    at: float
    raised: int
    right: int
    found: int
    labelled: int
    delays: tuple[float, ...]

    @property
    def precision(self) -> float | None:
        """The share of flags that are right."""
        return self.right / self.raised if self.raised else None

    @property
    def recall(self) -> float | None:
        """The share of slips that were flagged."""
        return self.found / self.labelled if self.labelled else None

    @property
    def delay_s(self) -> float | None:
        """The median delay."""
        return median(self.delays) if self.delays else None


@dataclass(frozen=True, slots=True)
class BoardShare:
    """Of the changes of the score that no other follows at once, those at which the score shown was right 15 s later; and
    the same of those that had been told by then."""

    right: int
    changes: int
    right_told: int
    told: int


def is_slip(one: Replayed, doubted: Doubted) -> bool:
    """Whether what was doubted is labelled as a slip."""
    return _slip_of(one, doubted) is not None


def _slip_of(one: Replayed, doubted: Doubted) -> int | None:
    reach = said_place(one.bout.truth)
    near = [
        (abs(score.t - doubted.t), n)
        for n, score in enumerate(one.bout.truth.scores)
        if score.slip is not None and score.said == doubted.said and abs(score.t - doubted.t) <= reach
    ]
    return min(near)[1] if near else None


def flag_curve(bouts: Iterable[tuple[Replayed, Mapping[str, float] | None]], at: float) -> FlagCurve:
    """The flags of bouts, each with the weights to wait by (None: as shipped), at one value of the option."""
    raised = right = found = labelled = 0
    delays: list[float] = []
    for one, weights in bouts:
        labelled += sum(score.slip is not None for score in one.bout.truth.scores)
        hit: set[int] = set()
        for doubted in one.doubted:
            when = _raised(doubted, at, weights)
            if when is None or doubted.said is None:
                continue
            raised += 1
            slip = _slip_of(one, doubted)
            right += slip is not None
            if slip is not None and slip not in hit:
                hit.add(slip)
                delays.append(when - doubted.t)
        found += len(hit)
    return FlagCurve(at, raised, right, found, labelled, tuple(sorted(delays)))


def _raised(doubted: Doubted, at: float, weights: Mapping[str, float] | None) -> float | None:
    """When a flag is raised; None where it is not."""
    waiting = Waiting(at, weights)
    return next((seen.now for seen in doubted.history if waiting.is_worth(seen)), None)


def board_share(replayed: Iterable[Replayed]) -> BoardShare:
    """How often the score shown is right a little after a change."""
    moments = [moment for one in replayed for moment in _moments(one)]
    return BoardShare(
        sum(right for right, _ in moments),
        len(moments),
        sum(right for right, told in moments if told),
        sum(told for _, told in moments),
    )


def _moments(one: Replayed) -> Iterator[tuple[bool, bool]]:
    """For each change whether the score was right 15 s later, and whether it had been told by then."""
    truth = one.bout.truth
    last = one.scores[-1][0] if one.scores else 0.0
    changes = [row.t for row in truth.board[1:]]
    for changed, following in zip(changes, [*changes[1:], math.inf], strict=True):
        now = changed + LATER_S
        if now > last or following <= now:
            continue
        stated = max((s.t for s in truth.scores if s.slip is None and s.t <= now), default=-1.0)
        told = all(
            event.called in _MENTIONED or event.t <= stated
            for event in truth.events
            if event.points and event.t <= now
        )
        yield one.score_at(now) == board_at(truth.board, now), told


def is_of_paragraphs(one: Replayed) -> bool:
    """Whether the captions are paragraphs, whose words come only when each is over."""
    lengths = [cue.end - cue.start for cue in one.bout.transcript.cues]
    return bool(lengths) and median(lengths) > _PARAGRAPH_S


def shares(values: Sequence[float], share: float) -> float:
    """The value that a share of some values does not exceed; 0 of none."""
    ordered = sorted(values)
    return ordered[min(int(share * len(ordered)), len(ordered) - 1)] if ordered else 0.0
