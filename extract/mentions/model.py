"""What is heard in the talk: one plain data type for each sort of mention.

Every mention has ``start`` and ``end`` (tokens, end exclusive), ``t`` (seconds of recording), ``stance`` and
``grade``. A grade names the sort of evidence that the words are (``"points+corner"``, ``"bare pair"``); how often
a mention of that grade is what it looks like is no business of this stage: the log's fitted parameters say it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from extract.rules.base import Corner

Stance = Literal["asserted", "asked", "negated", "hoped", "hypothetical", "recalled"]
Bound = Literal["exact", "under", "over", "about"]
#: How a corner was tied to a mention: named in the same phrase, named elsewhere in the clause, named or meant
#: shortly before or after, or not at all.
Tie = Literal["attached", "clause", "near", "none"]
#: The same for a score; ``order``: all scores of the talk are thought to be in one order.
ScoreTie = Literal[Tie, "order"]
Review = Literal["ask", "won", "lost", "withdrawn"]
Clock = Literal["bout", "activity", "riding", "rest"]
Mark = Literal["period_start", "period_end", "bout_end"]
#: What the sign begins with that says by which row something was found; and those that name a word of the same segment,
#: or of the segments beside it.
ROW_SIGN = "row "
SAID_SIGN, BESIDE_SIGN = "said ", "beside "


@dataclass(frozen=True, slots=True)
class Mention:
    """Where and when something is said, and how. ``row`` is the way of saying that it was found by (its id in
    ``lexicons/phrases/``)."""

    start: int
    end: int
    t: float
    stance: Stance
    grade: str
    row: str = field(default="", kw_only=True)

    def row_sign(self) -> tuple[str, ...]:
        """The sign that says by which row it was found; none where that is not known."""
        return (f"{ROW_SIGN}{self.row}",) if self.row else ()


@dataclass(frozen=True, slots=True)
class ScoreMention(Mention):
    """Two numbers that may be the score.

    ``pair`` is in the order said; ``first`` is who holds its first number, None where nobody is named; ``tie`` how
    that is known. ``final`` where it is said as the end result; ``repair`` are the signs around it that it takes back
    the score said before it ("no, sorry, ten-eight", "the board says ten-eight"). ``grade`` is the form in which the
    numbers are said, ``signs`` what around them speaks for a score of this bout or against it, ``context`` the words of
    the talk around. ``decided`` where a person has said that it is a score of this bout, with ``first`` for its first
    number.
    """

    pair: tuple[int, int]
    first: Corner | None
    tie: ScoreTie
    final: bool = False
    decided: bool = False
    repair: tuple[str, ...] = ()
    signs: tuple[str, ...] = ()
    context: tuple[str, ...] = ()

    def all_signs(self) -> tuple[str, ...]:
        """All that speaks for or against it, by name: its own signs and the words around it."""
        return (*self.own_signs(), *self.context)

    def own_signs(self) -> tuple[str, ...]:
        """Its form and its row, its stance and the signs around it."""
        return (f"form {self.grade}", *self.row_sign(), f"stance {self.stance}", *self.signs)

    def values(self) -> tuple[tuple[int, int], ...]:
        """The scores ``(red, blue)`` that the numbers may state: one where it is known who holds the first, else as
        they were said and turned round."""
        turned = self.pair[::-1]
        if self.first is None:
            return self.pair, turned
        return (self.pair if self.first == "red" else turned,)


@dataclass(frozen=True, slots=True)
class MarginMention(Mention):
    """A lead said as one number, or level (``margin`` 0). ``leader`` is None where it is not said."""

    margin: int
    leader: Corner | None
    tie: Tie


@dataclass(frozen=True, slots=True)
class CallMention(Mention):
    """Something awarded: ``kinds`` that the words may mean (empty: any), ``points`` if said, the ``corner``
    credited if known and how, ``more`` where the words say that it comes on top of something. ``grade`` is the
    sort of words that it is made of, ``signs`` what around them speaks for an award or against it, ``context`` the words
    of the talk around."""

    kinds: tuple[str, ...]
    points: int | None
    corner: Corner | None
    tie: Tie
    more: bool = False
    signs: tuple[str, ...] = ()
    context: tuple[str, ...] = ()

    def all_signs(self) -> tuple[str, ...]:
        """All that speaks for or against it, by name: its own signs and the words around it."""
        return (*self.own_signs(), *self.context)

    def own_signs(self) -> tuple[str, ...]:
        """Its grade and its row, its stance, how its corner is known, and the signs around it."""
        more = ("more",) if self.more else ()
        of_words = (f"grade {self.grade}", *self.row_sign(), f"stance {self.stance}")
        return (*of_words, f"corner {self.tie}", *more, *self.signs)


@dataclass(frozen=True, slots=True)
class ClockMention(Mention):
    """A time left on a clock: ``seconds`` and its ``bound``; ``clock`` is bout, activity, riding or rest;
    ``period`` if the words say which."""

    seconds: int
    bound: Bound
    clock: Clock
    period: int | None


@dataclass(frozen=True, slots=True)
class ReviewMention(Mention):
    """A challenge asked for or decided; ``corner`` is who asked, where said."""

    what: Review
    corner: Corner | None
    tie: Tie


@dataclass(frozen=True, slots=True)
class WaveOffMention(Mention):
    """Words that take an award back or say that none was given."""


@dataclass(frozen=True, slots=True)
class MarkMention(Mention):
    """A whistle or a horn. ``period`` is which, where said."""

    what: Mark
    period: int | None


@dataclass(frozen=True, slots=True)
class CriteriaMention(Mention):
    """Words that say who is ahead on criteria."""

    leader: Corner | None


@dataclass(frozen=True, slots=True)
class ResultMention(Mention):
    """Words that say who won (``winner``), or how (``by``), or both."""

    winner: Corner | None
    by: str | None


@dataclass(frozen=True, slots=True)
class PositionMention(Mention):
    """Who is on top (collegiate and scholastic), None for neutral; ``grade`` is ``chosen`` where the words tell of the
    choice before a period, ``told`` where they say how the two are placed."""

    top: Corner | None


@dataclass(frozen=True, slots=True)
class ActionMention(Mention):
    """Words that show that something happened on the mat, without saying what: a sign of a bout in a recording."""


@dataclass(frozen=True, slots=True)
class Passage:
    """A segment of the talk as a whole: words ``start`` to ``end`` (exclusive), said from ``t`` on, until the next one
    begins at ``until``; and the distinct words that are ``said`` in it and in the segments ``beside`` it. They tell
    roughly whether something was just given, and what."""

    start: int
    end: int
    t: float
    until: float
    said: frozenset[str]
    beside: frozenset[str]
