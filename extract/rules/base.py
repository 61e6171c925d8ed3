"""What every ruleset is: a state, the events legal in it, what each does, and when the bout is over."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, fields
from typing import Any, Literal, NamedTuple

from extract.rules.edition import VictoryKind
from extract.rules.kinds import kinds_that

Corner = Literal["red", "blue"]
CORNERS: tuple[Corner, Corner] = ("red", "blue")
#: Kinds that bound a period or the bout.
BOUNDS = kinds_that("mark")
#: Kinds that a score sheet does not list.
UNLISTED = BOUNDS | {"activity_clock_start"}
#: Kinds that warn one side and bring no points.
WARNINGS = kinds_that("warning")
#: Kinds that penalise one side and bring the other points.
PENALTIES = kinds_that("penalty")
#: No single award brings more points, in any style.
MOST_POINTS = 5


def other(corner: Corner) -> Corner:
    """The opposite corner.

    >>> other("red")
    'blue'
    """
    return "blue" if corner == "red" else "red"


class Move(NamedTuple):
    """Something that happens in a bout: its kind, who is credited, for how many points, and who is warned or
    penalised. A warning has no ``corner``; a caution credits the other corner and is ``against`` the
    offender.

    ``Move("period_start")`` is a start from neutral. Where the position is chosen (collegiate, scholastic),
    ``Move("period_start", "red")`` is a start with red on top.
    """

    kind: str
    corner: Corner | None = None
    points: int = 0
    against: Corner | None = None


class Outcome(NamedTuple):
    """How a bout stands when it is over: ``by`` is one of points, criteria, superiority, fall,
    disqualification, injury, forfeit, unknown; ``winner`` is None when nobody can be named (nobody scored,
    say)."""

    winner: Corner | None
    by: str


@dataclass(slots=True)
class State:
    """All of a bout that decides what may happen next. Pairs are ``(red, blue)``. Nothing of a state is ever changed; it
    is not frozen only because a frozen one takes twice as long to make.

    ``period`` counts from 1 and is 0 before the bout; ``running`` is false in the breaks. ``control`` is who
    is on top (collegiate and scholastic) or None for neutral. ``warnings`` are passivity or stalling calls
    without a point, ``penalties`` those with one. ``cautions`` are cautions, in collegiate and scholastic
    bouts penalties for other offences. ``challenges`` is what is left to each side. ``activity`` is who is on
    the activity clock. ``values`` holds the points scored, in order, as ``(corner, points)``: criteria are
    decided on it; ``earned`` says of each whether an action on the mat earned it. ``over`` is set
    by a fall, superiority, disqualification or the end of the last period. ``riding_time`` is whether the
    riding-time point, of regulation or of overtime, has been given.
    """

    score: tuple[int, int] = (0, 0)
    period: int = 0
    running: bool = False
    control: Corner | None = None
    warnings: tuple[int, int] = (0, 0)
    cautions: tuple[int, int] = (0, 0)
    challenges: tuple[int, int] = (1, 1)
    activity: Corner | None = None
    values: tuple[tuple[Corner, int], ...] = ()
    over: Outcome | None = None
    penalties: tuple[int, int] = (0, 0)
    riding_time: bool = False
    earned: tuple[bool, ...] = ()
    #: A search looks states up far more often than it makes new ones.
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        self._hash = hash((
            self.score, self.period, self.running, self.control, self.warnings, self.cautions, self.challenges,
            self.activity, self.values, self.over, self.penalties, self.riding_time, self.earned,
        ))  # fmt: skip

    def __hash__(self) -> int:
        return self._hash

    def but(self, **changes: Any) -> State:
        """This state with other values of some fields (``dataclasses.replace``, which takes twice as long)."""
        return State(**{
            "score": self.score, "period": self.period, "running": self.running, "control": self.control,
            "warnings": self.warnings, "cautions": self.cautions, "challenges": self.challenges,
            "activity": self.activity, "values": self.values, "over": self.over, "penalties": self.penalties,
            "riding_time": self.riding_time, "earned": self.earned, **changes,
        })  # fmt: skip

    def __reduce__(self) -> tuple[object, ...]:
        # The hash of a text is another one in another process, so a copy has to be made anew.
        return State, tuple(getattr(self, f.name) for f in fields(self) if f.init)


class Played(NamedTuple):
    """Moves replayed, the end not judged yet: the state, how one of them ended the bout, whether its end was said."""

    state: State
    decided: Outcome | None = None
    closed: bool = False


class IllegalMove(ValueError):
    """A move that the rules do not allow in the state it is applied to; the message says why."""


class Ruleset(ABC):
    """One style in one edition. States are immutable and hashable, so a search may branch freely.

    >>> from extract.rules import get_ruleset
    >>> rules = get_ruleset("freestyle")
    >>> state = rules.apply(rules.initial(), Move("period_start"))
    >>> rules.apply(state, Move("takedown", "red", 2)).score
    (2, 0)
    """

    name: str
    edition: str
    #: The age group whose period lengths hold; None for the edition's own.
    age_group: str | None
    period_seconds: tuple[int, ...]
    rest_seconds: int
    #: Kinds that can bring points, as the edition lists them.
    scoring_kinds: tuple[str, ...]
    #: Points the other side gets when a challenge is lost (0 where the rules give none).
    lost_challenge_points: int
    #: Lead that ends the bout at once (superiority, technical fall), or None.
    superiority_lead: int | None
    #: Length of the activity clock in seconds, or None where there is none.
    activity_seconds: int | None = None
    #: Lengths of the sudden-victory and tie-breaker periods, in seconds; empty where a level bout gets none.
    extra_period_seconds: tuple[int, ...] = ()
    #: What each of them is: sudden_victory, tiebreaker, ultimate, extra_minute.
    extra_period_kinds: tuple[str, ...] = ()
    #: Least advantage in riding time that brings a point, in seconds; None where the style reckons none.
    riding_time_seconds: int | None = None

    def seconds_of(self, period: int) -> int | None:
        """Length in seconds of ``period``, counted from 1 and on into the extra periods; None past them."""
        lengths = self.period_seconds + self.extra_period_seconds
        return lengths[period - 1] if 1 <= period <= len(lengths) else None

    def riding_round(self, period: int) -> int | None:
        """The reckoning of riding time that control in ``period`` counts in: 0 for regulation, 1 for overtime; None
        where it counts in none."""
        return None

    @abstractmethod
    def initial(self) -> State:
        """The state before the first whistle."""

    @abstractmethod
    def legal_events(self, state: State) -> tuple[Move, ...]:
        """Every move that may come next in ``state``."""

    @abstractmethod
    def allows(self, state: State, move: Move) -> bool:
        """Whether ``apply`` takes ``move`` in ``state``, which is found out sooner than what comes of it."""

    @abstractmethod
    def after(self, state: State, move: Move) -> State | None:
        """The state after ``move``, or None where ``apply`` raises IllegalMove."""

    @abstractmethod
    def search_key(self, state: State) -> State:
        """A state with fewer particulars in which the same moves may come, and after each of them the same again: what
        has been found out for one state of a search_key about its next two moves holds for all of them."""

    @abstractmethod
    def apply(self, state: State, move: Move) -> State:
        """The state after ``move``. Raises IllegalMove when the rules do not allow it.

        What is decided after the whistle is taken although ``legal_events`` lists nothing once the bout is
        over: ``bout_end`` (changes nothing), and the late points that each family's class names.
        """

    @abstractmethod
    def played(self, moves: Iterable[Move], after: Played | None = None) -> Played:
        """What ``replay`` knows of a log after ``moves``, and where to go on from with more: ``after`` is the same of those
        before. Raises IllegalMove as ``replay``."""

    @abstractmethod
    def replay(self, moves: Iterable[Move], after: Played | None = None) -> State:
        """The state after ``moves`` from the start, or on from those ``played`` before, for a log from which a review has
        dropped an event.

        Lenient: what was legal when it was called may no longer be, so legality is not checked and no lead
        ends the bout on the way; whether it is over is judged once, after the last move. Raises IllegalMove
        for a kind that the style lacks.
        """

    @abstractmethod
    def outcome(self, state: State) -> Outcome | None:
        """Who has won and how if the bout ended in ``state`` now; None while nobody leads by any rule and
        ``state`` is not over. With equal scores the criteria decide where the style has them."""

    def criteria(self, state: State) -> Corner | None:
        """Who leads by criteria at a level score; None where the style has none, at 0-0, or when somebody
        leads on points."""
        return next((holder for _, holder in self.criteria_in_order(state) if holder is not None), None)

    def criteria_in_order(self, state: State) -> Iterator[tuple[str, Corner | None]]:
        """The names of the criteria that ``criteria`` goes by, in order, up to the one that decides, each with whom it
        is for (None: it does not decide)."""
        return iter(())

    def victory(self, outcome: Outcome, state: State) -> VictoryKind | None:
        """What a result sheet calls a bout that ended so in ``state``, with the points that it brings; None where the
        style names no such kind of victory."""
        return None

    @abstractmethod
    def kinds(self) -> frozenset[str]:
        """Every kind of event that the style has."""

    @abstractmethod
    def points_of(self, kind: str) -> tuple[int, ...]:
        """The points an event of ``kind`` can bring, most usual first; empty for a kind the style lacks."""
