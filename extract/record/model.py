"""The bout record: everything that was found in one transcript, each fact with the words it rests on.

Times ``t`` are seconds from the recording's start. That holds also if the bout is a part of it; the board's first
entry is then at the start of the part. Score pairs are ``(red, blue)``. Ids are a letter and a number: events ``e1``,
statements ``s1``, clock readings ``c1``, challenges ``h1``, flags ``f1``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from extract.rules.base import Corner
from extract.rules.kinds import KINDS
from extract.transcript.cue import Order, PartOf

SCHEMA = "saidscore.record/1"
NOTE = (
    "A computed score is a reading of commentary, not an official result; the officials' score sheet stands."
)

#: A field that is left out of the JSON if it is None.
IF_KNOWN = {"if_known": True}

Pair = tuple[int, int]
#: Where a fact about the bout came from: a bout file or an option, the talk itself, or neither of them.
Origin = Literal["given", "heard", "assumed"]
if TYPE_CHECKING:
    EventKind = str
else:
    # The kinds are data of the rules. Reading a record back checks them.
    EventKind = Literal[tuple(KINDS)]
Status = Literal["stands", "overturned"]
Basis = Literal["called", "inferred"]
Verdict = Literal["agrees", "disagrees", "unclear"]
Slip = Literal["wrong", "stale", "swapped", "ahead"]
Bound = Literal["exact", "under", "over", "about"]
ClockKind = Literal["bout", "activity", "riding", "rest"]
ChallengeOutcome = Literal["won", "lost", "withdrawn", "unknown"]
WonBy = Literal[
    "points", "criteria", "superiority", "fall", "disqualification", "injury", "forfeit", "unknown"
]
Severity = Literal["error", "warning", "note"]
#: What a stretch of the talk is about. All but the first is not what happens now.
StretchKind = Literal["live", "recounted", "another bout", "supposed", "debated", "other"]


@dataclass(frozen=True, slots=True)
class Source:
    """The transcript: file name, format, SHA-256 of its bytes, number of cues, end of the last in seconds. If the
    bout is ``part`` of a longer recording, the last two are those of its part. If it has no times, ``times`` is "by order":
    then all times of the record stand for places in an ``order`` and nobody measured them. A record of a transcript with
    times has neither of these two keys."""

    file: str
    format: str
    sha256: str
    cues: int
    seconds: float
    part: PartOf | None = None
    times: Literal["by order"] | None = field(default=None, metadata=IF_KNOWN)
    order: Order | None = field(default=None, metadata=IF_KNOWN)

    @property
    def begins(self) -> float:
        """Where the talk over the bout begins, seconds of recording."""
        return self.part.start if self.part is not None else 0.0


@dataclass(frozen=True, slots=True)
class SideInfo:
    """One corner: name and team (None if nobody said), and where each came from."""

    name: str | None = None
    name_from: Origin | None = None
    team: str | None = None
    team_from: Origin | None = None


@dataclass(frozen=True, slots=True)
class BoutInfo:
    """The style, the edition of its rules, and the two sides.

    ``from_`` says where ``rules``, ``edition`` and any other fact came from, by its name. In JSON it is ``from``.
    ``age_group`` is the one whose period lengths hold, if it was given.
    """

    rules: str
    edition: str
    red: SideInfo
    blue: SideInfo
    from_: Mapping[str, Origin]
    age_group: str | None = None


@dataclass(frozen=True, slots=True)
class Evidence:
    """Words that something rests on: ``start`` and ``end`` are offsets in characters into the text of cue
    number ``cue`` (counted from 1) as it stands in the source. ``row`` is the id of the way of saying that they were
    found by (a row in ``lexicons/phrases/`` or in a lexicon of the user's), "" where there is none."""

    cue: int
    start: int
    end: int
    text: str
    row: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of the log.

    ``t_range`` is the earliest and latest it can have been. ``clock_s`` is the bout clock in seconds left, give or
    take ``clock_uncertainty_s``. ``corner`` is credited, ``against`` is warned or penalised. ``confidence`` is 0 to
    1. ``why`` is one sentence for a person. ``decided`` is the id of the decision of a person that it is based on.
    """

    id: str
    t: float
    t_range: tuple[float, float]
    period: int
    clock_s: float | None
    clock_uncertainty_s: float | None
    kind: EventKind
    corner: Corner | None
    against: Corner | None
    points: int
    status: Status
    basis: Basis
    confidence: float
    evidence: tuple[Evidence, ...]
    score_after: Pair
    why: str
    decided: str | None = None


@dataclass(frozen=True, slots=True)
class BoardEntry:
    """The computed score from ``t`` on."""

    t: float
    red: int
    blue: int


@dataclass(frozen=True, slots=True)
class Statement:
    """A score that somebody states as the score of this bout, held against ``computed``, the board at that
    moment.

    ``said`` is None for a remark about the margin: then ``margin`` is the lead (0: level) and ``leader`` who
    has it. ``decided`` is the id of the decision of a person on what it states, ``row`` the way of saying that it was
    found by (see ``Evidence``).
    """

    id: str
    t: float
    cue: int
    start: int
    end: int
    text: str
    said: Pair | None
    margin: int | None
    leader: Corner | None
    computed: Pair
    verdict: Verdict
    slip: Slip | None
    confidence: float
    why: str
    decided: str | None = None
    row: str = ""


@dataclass(frozen=True, slots=True)
class ClockReading:
    """A time left that somebody states, in seconds, and the clock it is ``about``; ``row`` is the way of saying that it
    was found by (see ``Evidence``)."""

    id: str
    t: float
    cue: int
    start: int
    end: int
    text: str
    seconds_left: float
    bound: Bound
    period: int | None
    about: ClockKind = "bout"
    row: str = ""


@dataclass(frozen=True, slots=True)
class Challenge:
    """A challenge: who asked and how it ended. ``events`` are the ids of the calls that it changed or added."""

    id: str
    t: float
    by: Corner | None
    outcome: ChallengeOutcome
    t_outcome: float | None
    events: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    decided: str | None = None


@dataclass(frozen=True, slots=True)
class RidingTime:
    """The balance of riding time at ``t``, when the control may have changed. ``leader`` has been in control
    ``seconds`` longer than the other (nobody: 0), give or take ``uncertainty_s``. ``control`` is who is on top from
    then on. ``clock_s`` is the bout clock in seconds left."""

    t: float
    period: int
    clock_s: float
    leader: Corner | None
    seconds: float
    uncertainty_s: float
    control: Corner | None


@dataclass(frozen=True, slots=True)
class Victory:
    """What a result sheet calls the victory, and the points for winner and loser: classification points in the
    olympic styles, team points of a dual meet in the US ones."""

    code: str
    name: str
    points: Pair


@dataclass(frozen=True, slots=True)
class Result:
    """How the bout ended; ``score`` is computed, ``said_score`` the last that somebody gave as final. ``victory`` is
    None where the end is not known. ``row`` is the way of saying by which that winner was told at the end, "" where
    nobody told (see ``Evidence``). ``why`` says of a win on criteria which of them decided, in one line.
    """

    winner: Corner | None
    by: WonBy
    score: Pair
    said_score: Pair | None
    confidence: float
    victory: Victory | None = None
    row: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Flag:
    """What a person should look at. ``kind`` is the name of the check that raised it.

    ``said`` and ``computed`` are scores, or a few words if it is not about a score, or None. ``cue`` is where
    ``text`` stands. ``refs`` are the ids of the entries concerned. ``period`` and ``clock_s`` say when that was on the bout
    clock, as in an event (None: not in a period). ``confidence`` that the flag is right is 0 to 1 (None: not known).
    """

    id: str
    kind: str
    severity: Severity
    t: float
    cue: int | None
    text: str
    said: Pair | str | None
    computed: Pair | str | None
    why: str
    refs: tuple[str, ...] = ()
    period: int | None = None
    clock_s: float | None = None
    clock_uncertainty_s: float | None = None
    confidence: float | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another log of the same talk: its share of the readings' probability (0 to 1), how the bout ends in it, and how
    it differs from the log of the record, in words."""

    share: float
    score: Pair
    winner: Corner | None
    by: WonBy
    differences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Search:
    """How sure it is that the log is the most probable one. The readings that the search dropped have no more than
    the share ``dropped`` of the probability (0 to 1). At 0 the search was exact. ``lost`` are signs that the log is more
    guessed than read: "some" or "much", and ``dropped`` (let go in the search), ``guessed`` (awards that nobody called)
    or ``unexplained`` (said scores that do not fit)."""

    dropped: float
    lost: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OwnLexicon:
    """A lexicon of the user's own that the transcript was read with: file name and SHA-256 of its bytes."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Guess:
    """Another answer to a doubt, in words, with the share of the readings that have it. ``to`` is what a decision
    must say to make it hold. It is empty if no decision on this entry alone can, and None if the entry did not
    happen."""

    share: float
    text: str
    to: Mapping[str, str | int | float | bool | None] | None


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question that a person might answer about ``ref``, an entry of the record (None: one that it lacks, or the
    result). ``gain`` is how many entries the answer is expected to correct. ``text`` is what the record has, in
    words, and ``share`` the probability that it is right. ``others`` are other answers, likeliest first."""

    ref: str | None
    about: Literal["event", "score", "challenge", "result"]
    t: float
    gain: float
    share: float
    text: str
    others: tuple[Guess, ...]


@dataclass(frozen=True, slots=True)
class Decided:
    """A decision of a person that is in force: its id, the moment (ISO 8601, UTC), who made it, ``what`` it is about
    (event, score, challenge, sides, result), and its text."""

    id: str
    at: str
    by: str
    what: str
    text: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """Words in a row that were taken for talk of one ``kind``, from ``t`` until ``until``. They begin in cue number
    ``cue`` at ``start`` and end in ``last_cue`` before ``end``, both offsets into the cue's text as in ``Evidence``.
    ``confidence`` is the mean chance of its words that they are of that kind."""

    t: float
    until: float
    cue: int
    start: int
    last_cue: int
    end: int
    kind: StretchKind
    confidence: float


@dataclass(frozen=True, slots=True)
class PassedOver:
    """Two numbers heard that may be a score and were taken for none of this bout, and the ``kind`` of talk that their words
    were taken for, with its ``confidence`` (see ``Stretch``)."""

    t: float
    cue: int
    start: int
    end: int
    text: str
    kind: StretchKind
    confidence: float


@dataclass(frozen=True, slots=True)
class Record:
    """All that was found in one transcript. ``flags`` begin with the most serious one, ``alternatives`` (none unless
    asked for) with the likeliest, ``doubts`` with the one whose answer gains most. All else is in order of time.
    ``riding_time`` is empty if the style has none. ``lexicons`` are the user's own, in the order given. ``decisions``
    are in the order in which they were made. ``stretches`` cover the whole talk, and neighbours differ in kind;
    ``passed_over`` are scores heard in it that count for nothing."""

    source: Source
    bout: BoutInfo
    events: tuple[Event, ...]
    board: tuple[BoardEntry, ...]
    statements: tuple[Statement, ...]
    clock: tuple[ClockReading, ...]
    challenges: tuple[Challenge, ...]
    result: Result
    flags: tuple[Flag, ...]
    riding_time: tuple[RidingTime, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    search: Search = Search(0.0)
    lexicons: tuple[OwnLexicon, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    decisions: tuple[Decided, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    passed_over: tuple[PassedOver, ...] = ()
    schema: Literal["saidscore.record/1"] = "saidscore.record/1"
    note: str = NOTE
