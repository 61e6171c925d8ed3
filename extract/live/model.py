"""What the live desk shows: the score and the clock now, the points and flags so far, and what there is to tell of the
stream. All times ``t`` are seconds of the recording, as the captions have them. Score pairs are ``(red, blue)``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from extract.record.model import Pair, Status
from extract.record.said_table import Spoken
from extract.rules.base import Corner

SCHEMA = "saidscore.live/1"

#: ``waiting``: nothing was heard yet; ``stalled``: no caption has come for a while; ``ended``: the stream is over.
StreamState = Literal["waiting", "running", "stalled", "ended"]
#: What a person says of a flag. ``right``: the stated score was right; ``slip``: it was wrong, as the flag says;
#: ``other_bout``: it is none of this bout's.
Answer = Literal["right", "slip", "other_bout"]


@dataclass(frozen=True, slots=True)
class LiveSide:
    """One side on the plate. ``name`` is the short one. ``challenges`` are those left (None: the style has none),
    ``cautions`` and ``warnings`` those that were given to this side."""

    name: str
    full_name: str | None
    points: int
    challenges: int | None
    cautions: int
    warnings: int


@dataclass(frozen=True, slots=True)
class WouldBe:
    """What the score would be after one more award: its kind (``takedown``), whose, the score then, and who would lead."""

    kind: str
    text: str
    corner: Corner
    points: int
    score: Pair
    leader: Corner | None
    ends_bout: bool


@dataclass(frozen=True, slots=True)
class Board:
    """The score and the clock at ``t``.

    ``confidence`` is that of the score, 0 to 1. ``since`` is when the score last changed; it is ``tentative`` until
    what changed it can no longer change. ``clock_s`` is the bout clock, running on from the last time that was said,
    give or take ``clock_uncertainty_s`` (None: not in a period). ``activity`` is who is on the activity clock and has
    ``activity_s`` left. ``leader`` leads by ``leads_by`` ("points" or "criteria"), and ``why`` says by which
    criterion. ``needs`` are sentences: what each side needs to lead, or to end the bout. ``over`` tells how the bout
    ended, "" while it goes on.
    """

    bout: int
    t: float
    rules: str
    edition: str
    red: LiveSide
    blue: LiveSide
    confidence: float
    since: float
    tentative: bool
    period: int
    clock_s: float | None
    clock_uncertainty_s: float | None
    activity: Corner | None
    activity_s: float | None
    leader: Corner | None
    leads_by: str
    why: str
    would_be: tuple[WouldBe, ...] = ()
    needs: tuple[str, ...] = ()
    over: str = ""

    @property
    def score(self) -> Pair:
        """The points of red and of blue."""
        return self.red.points, self.blue.points


@dataclass(frozen=True, slots=True)
class LiveCall:
    """Points or a warning in the log of a running bout. ``id`` stays the same while it is in the log. ``text`` tells it
    in words ("Brannoway's takedown (2)"). It is ``tentative`` until it can no longer change. ``source`` is said or
    inferred."""

    id: str
    bout: int
    t: float
    period: int
    clock_s: float | None
    kind: str
    corner: Corner | None
    points: int
    text: str
    score_after: Pair
    status: Status
    source: str
    confidence: float
    tentative: bool


@dataclass(frozen=True, slots=True)
class LiveFlag:
    """Something said that does not fit what was computed.

    ``id`` stays the same as long as the flag does. ``t`` is when the words were said, ``raised`` when the flag was,
    both on the recording's clock. ``head`` names the slip ("old score"), ``said`` and ``should_be`` are in words,
    ``sentence`` is the one that corrects it ("" where there is none). ``confidence`` is 0 to 1. ``state`` is open
    until a person gives an ``answer``, or until what was said since takes the flag back (withdrawn, with ``why``).
    ``said_score`` and ``should_be_score`` are the same as ``said`` and ``should_be`` where these are scores. ``cue_t`` is
    when the caption with the words began.
    """

    id: str
    bout: int
    t: float
    raised: float
    period: int | None
    clock_s: float | None
    kind: str
    head: str
    spoken: Spoken
    said: str
    should_be: str
    sentence: str
    why: str
    confidence: float
    state: Literal["open", "answered", "withdrawn"] = "open"
    answer: Answer | None = None
    said_score: Pair | None = None
    should_be_score: Pair | None = None
    cue_t: float | None = None


@dataclass(frozen=True, slots=True)
class Notice:
    """Something about the stream or a change of mind, told once: ``kind`` is one of taken_back, name, bout, stalled,
    resumed, repeated, went_back, restarted, clock, dropped, corrected, mixed, skipped, broken, kept. ``number``
    counts from 1."""

    number: int
    t: float
    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class View:
    """All that a screen shows. ``revision`` rises with each change. ``flags`` and ``calls`` are all of the running bout,
    the newest first, ``notices`` the last few, oldest first. ``heard`` are the last lines of the transcript, ``bouts``
    how each earlier bout ended."""

    revision: int
    source: str
    state: StreamState
    t: float
    board: Board | None
    flags: tuple[LiveFlag, ...] = ()
    calls: tuple[LiveCall, ...] = ()
    notices: tuple[Notice, ...] = ()
    heard: tuple[tuple[float, str], ...] = ()
    bouts: tuple[str, ...] = ()
    captions: int = 0


class Shown(Protocol):
    """What a screen asks of the live desk. Safe to call from any thread."""

    def view(self) -> View:
        """What there is to show now."""

    def wait(self, revision: int, timeout_s: float) -> View:
        """The view as soon as it is another than ``revision``, or the same one after so many seconds."""

    def answer(self, flag: str, answer: Answer) -> str:
        """Keep what a person says of a flag. A sentence about what was kept. Raises ``decisions.make.Refused``."""

    def correct(self, score: Pair) -> str:
        """Keep that the score is now ``(red, blue)``. A sentence about what was kept. Raises ``decisions.make.Refused``."""

    def undo(self) -> str:
        """Undo the last answer or correction. A sentence. Raises ``decisions.make.Refused``."""

    def at(self, t: float) -> Board | None:
        """The score and the clock as they were at a moment of the running bout; None before it."""
