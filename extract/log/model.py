"""The model: how probable what was said is under each reading of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import get_args

from extract.log.hypothesis import Score, Verdict
from extract.log.moments import Moments
from extract.log.parameters import Parameters, default_parameters, genuine, log_p
from extract.log.uncalled_events import Pace, UncalledEvents
from extract.mentions.model import CallMention, ReviewMention, ScoreMention
from extract.rules.base import CORNERS, Corner, Move, Ruleset
from extract.rules.kinds import KINDS
from extract.transcript.cue import Order
from extract.transcript.known import Known

#: Up to so many points of both corners together a wrong score is a few off.
_FEW = 4


@dataclass(slots=True)
class Model:
    """A ruleset with the parameters, and the look-ups that the search needs often. ``begins`` is where the talk begins,
    seconds of recording; ``typed`` says that it is notes; ``moments`` is what its words show of when awards came; ``known``
    is how the bout ended, as known beforehand."""

    rules: Ruleset
    parameters: Parameters
    uncalled: UncalledEvents
    begins: float = 0.0
    typed: bool = False
    moments: Moments = field(default_factory=lambda: Moments((), default_parameters()))
    known: Known | None = None
    #: Set where times tell no more than the order of entries.
    order: Order | None = None
    verdict: dict[str, float] = field(init=False)
    result_agrees: float = field(init=False)
    result_differs: float = field(init=False)
    final_agrees: float = field(init=False)
    final_differs: float = field(init=False)
    unfinished: float = field(init=False)
    resumed: float = field(init=False)
    talks_on_s: float = field(init=False)
    undecided: float = field(init=False)
    unsaid_position: float = field(init=False)
    awards: frozenset[int] = field(init=False)
    _nominal: dict[Verdict, float] = field(init=False)
    _wrong: dict[Score, float] = field(init=False, default_factory=dict)
    _few: int = field(init=False)
    #: Log probability of what a won challenge does, and of each award that it may bring to either side.
    won: dict[str, float] = field(init=False)
    gifts: dict[Corner, tuple[tuple[Move, float], ...]] = field(init=False)
    breaks: tuple[tuple[float, float], ...] = ()
    #: When the bout ends; what is said from there on tells the result.
    end: float = math.inf
    #: When the talk of a bout that goes on was heard last: nothing is known of what comes later.
    now: float = math.inf
    #: When somebody says that a challenge is lost, in order.
    told_lost: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        get = self.parameters.get
        kinds = self.parameters.table("uncalled.kind")
        self.awards = frozenset(
            p for kind in kinds if kind != "least" for p in self.rules.points_of(kind) if p
        )
        self.verdict = {k: log_p(v) for k, v in self.parameters.table("score.verdict").items()}
        self._few = sum(_other_ways(off, self.awards) for off in range(1, _FEW + 1))
        spread = {"wrong": self.wrong(1, 0), "ahead": self.ahead(1)}
        self._nominal = {
            verdict: self.verdict.get(verdict, 0.0) + spread.get(verdict, 0.0)
            for verdict in get_args(Verdict)
        }
        self.won = {k: log_p(v) for k, v in self.parameters.table("review.won").items()}
        self.gifts = {
            corner: tuple(
                (Move(kind, corner, self.rules.points_of(kind)[0]), log_p(share))
                for kind, share in self._given().items()
            )
            for corner in CORNERS
        }
        self.result_agrees = log_p(get("result", "agrees"))
        self.undecided = log_p(get("review.unheard", "never"))
        self.unfinished = log_p(get("result", "unfinished"))
        self.resumed = log_p(get("result", "resumed"))
        self.talks_on_s = get("result", "talks_on_s")
        self.result_differs = log_p(1 - get("result", "agrees"))
        self.final_agrees = log_p(get("result", "final"))
        self.final_differs = log_p(1 - get("result", "final"))
        self.unsaid_position = log_p(get("position", "unsaid"))

    def wrong(self, red: int, blue: int) -> float:
        """Log probability of one plainly wrong score, so many points of each corner above the board, among the wrong ones.
        Most are one award too many or too few, or one that is counted for the other corner."""
        known = self._wrong.get((red, blue))
        if known is None:
            known = self._wrong[red, blue] = log_p(self._wrong_share(red, blue))
        return known

    def difference(self, red: int, blue: int) -> str:
        """How a wrong score differs from the board, so many points of each corner above it: a key of ``score.wrong``."""
        fewer = min(red, blue) < 0
        points, off = max(abs(red), abs(blue)), abs(red) + abs(blue)
        if red == -blue and points in self.awards:
            return "turned"
        if off == 1:
            return "one_less" if fewer else "one_more"
        if off == points and points in self.awards:
            return "less" if fewer else "more"
        return "few" if off <= _FEW else "wild"

    def _wrong_share(self, red: int, blue: int) -> float:
        fading = float(self.parameters.get("score.spread", "wild_decay"))
        kind = self.difference(red, blue)
        share = self.parameters.get("score.wrong", kind)
        points, off = max(abs(red), abs(blue)), abs(red) + abs(blue)
        match kind:
            case "turned":
                return share * _faded(points, self.awards, fading) / 2
            case "one_more" | "one_less":
                return share / 2
            case "more" | "less":
                return share * _faded(points, self.awards - {1}, fading) / 2
            case "few":
                return share / self._few
        return share * (1 - fading) * fading ** (off - _FEW - 1) / (4 * off)

    def ahead(self, by: int) -> float:
        """Log probability of one score that is ``by`` points ahead of the board, among those ahead of it: one or two
        points, or the three that a bigger award can bring, for either corner."""
        shares = self.parameters.table("score.ahead")
        return log_p(shares["one"] / 2 if by <= 1 else shares["two"] / 2 if by == 2 else shares["more"] / 6)

    def _given(self) -> dict[str, float]:
        """What a challenge may bring the challenger, share of each kind: those of the table that the rules have, else each
        of their actions alike."""
        table = self.parameters.table("review.gives")
        known = {kind: float(share) for kind, share in table.items() if self.rules.points_of(kind)}
        actions = [kind for kind in self.rules.scoring_kinds if KINDS[kind].does == "action"]
        return known or dict.fromkeys(actions, 1 / max(len(actions), 1))

    def nominal(self, verdict: Verdict) -> float:
        """What a verdict costs, its values spread as usual."""
        return self._nominal[verdict]

    def pace(self, since: float, until: float, *, flurry: bool) -> Pace:
        """How probable events that nobody calls are between two moments: by the time, or by the gaps between the entries
        if their order is all that is known."""
        if self.order is None:
            return self.uncalled.pace(until - since, flurry=flurry)
        return self.uncalled.pace_of_gaps((until - since) / self.order.step_s, flurry=flurry)

    def in_break(self, t: float) -> bool:
        """Whether ``t`` lies between two periods, or after the last."""
        return any(start < t < end for start, end in self.breaks)

    def score_genuine(self, mention: ScoreMention) -> float:
        """Probability that a score mention is a score of this bout."""
        if mention.decided:
            return 1.0
        return self.parameters.chance("score.sign", mention.all_signs())

    def call_genuine(self, mention: CallMention) -> float:
        """Probability that a call mention tells of something that was given."""
        return self.parameters.chance("call.sign", mention.all_signs())

    def review_genuine(self, mention: ReviewMention) -> float:
        """Probability that words of a challenge are about one in this bout, now."""
        return genuine(
            self.parameters.get("review.grade", mention.grade),
            self.parameters.get("review.stance", mention.stance),
        )

    def corner_costs(self, corner: Corner | None, tie: str, path: str = "tie") -> dict[Corner, float]:
        """Log probability of each corner, given the one that was named and how; ``path`` is the table of shares
        (``score.tie`` for who holds the first number of a score)."""
        p = self.parameters.get(path, tie) if corner is not None else 0.5
        red = p if corner in (None, "red") else 1 - p
        return {"red": log_p(red), "blue": log_p(1 - red)}


def _faded(points: int, awards: frozenset[int], fading: float) -> float:
    """The share of an award among some, of which greater ones are rarer."""
    return fading**points / sum(fading**each for each in awards)


def _other_ways(off: int, awards: frozenset[int]) -> int:
    """How many scores are so many points off in all, but not by one award too many, too few or for the wrong corner."""
    one_corner = 4 if off == 1 or off in awards else 0
    turned = 2 if off % 2 == 0 and off // 2 in awards else 0
    return 4 * off - one_corner - turned
