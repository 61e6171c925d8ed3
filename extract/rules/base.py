"""What every ruleset is: a state, the events that are legal in it, what each does, and when the bout is over."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Literal, NamedTuple

Corner = Literal["red", "blue"]
CORNERS: tuple[Corner, Corner] = ("red", "blue")


def other(corner: Corner) -> Corner:
    """The opposite corner.

    >>> other("red")
    'blue'
    """
    return "blue" if corner == "red" else "red"


class Move(NamedTuple):
    """Something that happens in a bout: its kind, who is credited, for how many points, and who is warned or
    penalised. A warning has no ``corner``; a caution credits the other corner and is ``against`` the offender."""

    kind: str
    corner: Corner | None = None
    points: int = 0
    against: Corner | None = None


class Outcome(NamedTuple):
    """How a bout stands when it is over: ``by`` is one of points, criteria, superiority, fall, disqualification,
    injury, forfeit, unknown; ``winner`` is None when nobody can be named (nobody scored, say)."""

    winner: Corner | None
    by: str


@dataclass(frozen=True, slots=True)
class State:
    """All of a bout that decides what may happen next. Pairs are ``(red, blue)``.

    ``period`` counts from 1 and is 0 before the bout; ``running`` is false in the breaks. ``control`` is who is
    on top (collegiate and scholastic) or None for neutral. ``warnings`` are passivity or stalling calls,
    ``cautions`` cautions, ``challenges`` what is left to each side. ``activity`` is who is on the activity clock.
    ``values`` holds the technical points scored, in order, as ``(corner, points)``: criteria are decided on it.
    ``over`` is set by a fall, superiority, disqualification or the end of the last period.
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
    period_seconds: tuple[int, ...]
    rest_seconds: int
    #: Points the other side gets when a challenge is lost (0 where the rules give none).
    lost_challenge_points: int
    #: Lead that ends the bout at once (superiority, technical fall), or None.
    superiority_lead: int | None

    @abstractmethod
    def initial(self) -> State:
        """The state before the first whistle."""

    @abstractmethod
    def legal_events(self, state: State) -> tuple[Move, ...]:
        """Every move that may come next in ``state``."""

    @abstractmethod
    def apply(self, state: State, move: Move) -> State:
        """The state after ``move``. Raises IllegalMove when the rules do not allow it."""

    @abstractmethod
    def outcome(self, state: State) -> Outcome | None:
        """Who has won and how if the bout ended in ``state`` now; None while nobody leads by any rule and
        ``state`` is not over. With equal scores the criteria decide where the style has them."""

    @abstractmethod
    def points_of(self, kind: str) -> tuple[int, ...]:
        """The points an event of ``kind`` can bring, most usual first; empty for a kind the style lacks."""
