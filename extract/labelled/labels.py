"""The data types of a label file. Scores are ``(red, blue)``, times are seconds from the recording's start.

The form of the file is described in docs/labelled-bouts.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from extract.record.model import Bound, ChallengeOutcome, EventKind, Pair, Slip, Status, StretchKind, WonBy
from extract.rules.base import Corner

#: How an award was told when it was made.
Called = Literal["full call", "points only", "kind only", "score only", "missed"]
#: The ways of telling that a listener can take for a call. The others leave an award to the scores said later.
HEARD_AS_CALL: frozenset[Called] = frozenset({"full call", "points only", "kind only"})


@dataclass(frozen=True, slots=True)
class TrueEvent:
    """Something that happened. ``corner`` is credited with ``points``. ``called`` is None if no points are given."""

    t: float
    kind: EventKind | Literal["challenge", "correction"]
    corner: Corner | None
    points: int
    against: Corner | None = None
    called: Called | None = None
    status: Status = "stands"


@dataclass(frozen=True, slots=True)
class TrueBoard:
    """What the scoreboard showed from ``t`` on."""

    t: float
    red: int
    blue: int


@dataclass(frozen=True, slots=True)
class TrueScore:
    """A stated score of this bout, and which slip it is, if any."""

    t: float
    said: Pair
    slip: Slip | None


@dataclass(frozen=True, slots=True)
class TrueClock:
    """A stated time left of the bout clock, in seconds."""

    t: float
    seconds_left: float
    bound: Bound = "exact"


@dataclass(frozen=True, slots=True)
class TrueChallenge:
    """A challenge, who asked for it, and how it ended."""

    t: float
    by: Corner | None
    outcome: ChallengeOutcome


@dataclass(frozen=True, slots=True)
class TrueResult:
    """How the bout ended."""

    winner: Corner | None
    by: WonBy
    red: int
    blue: int


@dataclass(frozen=True, slots=True)
class TrueDistractor:
    """Words that are no score or call of this bout, said about ``t``, and which kind of talk they are."""

    t: float
    words: str
    stretch: StretchKind


@dataclass(frozen=True, slots=True)
class Truth:
    """What is known of a bout.

    ``id`` is the name that its files share, ``rules`` the ruleset's name. ``format`` groups the bouts in the totals.
    ``seconds`` is the length of the talk (None: that of the transcript). ``near_s`` is how far an event may be off in
    time and still count as found. More than 12 says that the transcript has times of paragraphs only. ``distractors``
    are those that say which kind of talk they are.
    """

    id: str
    rules: str
    events: tuple[TrueEvent, ...]
    board: tuple[TrueBoard, ...]
    scores: tuple[TrueScore, ...]
    clocks: tuple[TrueClock, ...]
    challenges: tuple[TrueChallenge, ...]
    result: TrueResult
    format: str = ""
    seconds: float | None = None
    near_s: float = 12.0
    distractors: tuple[TrueDistractor, ...] = ()

    @property
    def coarse(self) -> bool:
        """Whether the transcript has the times of whole paragraphs only."""
        return self.near_s > 12.0
