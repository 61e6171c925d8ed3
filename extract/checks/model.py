"""What the checks go by, and what they find. A check is a function from a bout to what a person should look at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from extract.checks.sides import Sides, surnames
from extract.log.hypothesis import Score

if TYPE_CHECKING:
    from extract.checks.statements import StatementCheck
    from extract.log import BoutLog
    from extract.log.riding import Ride
    from extract.log.stretches import Stretch
    from extract.mentions import Heard
    from extract.mentions.edition import Misfit
    from extract.mentions.model import Mention
    from extract.rules.base import Ruleset
    from extract.transcript import Transcript

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One flag. ``mention`` is the position of the words it is about (None: no words). ``refs`` names what it
    refers to: ``("statement", n)``, ``("event", n)``, ``("challenge", n)``, ``("clock", mention)``."""

    kind: str
    severity: Severity
    t: float
    mention: int | None
    said: Score | str | None
    computed: Score | str | None
    why: str
    refs: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class BoutRead:
    """A bout as it was read. ``recording`` is the transcript that was given and ``talk`` the bout's part of it;
    ``statements`` are the scores that were stated, with their verdicts; ``rides`` the balance of riding time. ``misfit``
    says that another edition fits the points that were called. ``named`` says that the names came from outside the talk,
    ``understood`` that anything of a bout was heard. ``decisions`` are the findings on what people have decided,
    ``stretches`` what the parts of the talk were taken for. Of a bout that ``goes_on`` there are none yet."""

    recording: Transcript
    talk: Transcript
    heard: Heard
    rules: Ruleset
    log: BoutLog
    statements: Sequence[StatementCheck]
    rides: Sequence[Ride]
    misfit: Misfit | None
    named: bool
    understood: bool
    decisions: Sequence[Finding] = ()
    stretches: Sequence[Stretch] = ()
    goes_on: bool = False

    @property
    def sides(self) -> Sides:
        """The sides by the names that sentences use."""
        return sides_of(self.heard)

    @property
    def mentions(self) -> Sequence[Mention]:
        """All that was heard, in the order in which it was said."""
        return self.heard.mentions


def sides_of(heard: Heard) -> Sides:
    """The sides by the names that sentences use."""
    return surnames(heard.cast.red.name, heard.cast.blue.name)


Check = Callable[[BoutRead], Iterable[Finding]]
