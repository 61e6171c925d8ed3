"""A row: one way of saying something, as data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from extract.phrases.pattern import Pattern, PatternItem


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """Something within so many words ``before`` what a row is about, or ``after`` it. None: it does not count there.
    With both it may also be inside. ``any_of`` are items, one of which it must be. The words looked at end with the
    segment, or ``over`` so many words further before and after it; with ``across`` they do not. ``seconds`` is how long
    before it may be; None: that does not count."""

    any_of: tuple[PatternItem, ...]
    before: int | None = None
    after: int | None = None
    over: tuple[int, int] = (0, 0)
    across: bool = False
    seconds: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One way of saying something.

    ``id`` is its name, ``gives`` what it is a way of saying, ``form`` the sign or the grade that the parameters weigh.
    ``words`` is what is said; a row without words is about words that another one has found. ``before`` must end where
    the words begin, ``after`` must begin where they end, ``not_before`` and ``not_after`` must not; ``near`` and
    ``not_near`` are looked for around. ``differ`` and ``same`` name two parts whose meanings must be two, or one. All
    stands in one segment (a clause, or a caption without marks), unless ``across``. ``more`` has what else the kind of
    row takes. ``says`` are sentences in which it is found, ``says_not`` such in which it is not.
    """

    id: str
    gives: str
    form: str = ""
    words: Pattern | None = None
    before: Pattern | None = None
    after: Pattern | None = None
    not_before: tuple[Pattern, ...] = ()
    not_after: tuple[Pattern, ...] = ()
    near: tuple[Near, ...] = ()
    not_near: tuple[Near, ...] = ()
    differ: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    across: bool = False
    styles: tuple[str, ...] = ()
    more: Mapping[str, object] = field(default_factory=dict)
    says: tuple[str, ...] = ()
    says_not: tuple[str, ...] = ()

    def patterns(self) -> tuple[Pattern, ...]:
        """The patterns that name parts."""
        return tuple(p for p in (self.words, self.before, self.after) if p is not None)

    def text(self, key: str) -> str:
        """A text among ``more``; "" where it is left out."""
        value = self.more.get(key, "")
        return value if isinstance(value, str) else ""

    def pattern(self, key: str) -> Pattern | None:
        """A pattern among ``more``."""
        value = self.more.get(key)
        return value if isinstance(value, Pattern) else None

    def number(self, key: str, default: int = 0) -> int:
        """A whole number among ``more``."""
        value = self.more.get(key, default)
        return value if isinstance(value, int) else default

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts among ``more``."""
        value = self.more.get(key, ())
        return tuple(map(str, value)) if isinstance(value, list | tuple) else ()

    def numbers(self, key: str) -> tuple[int, ...]:
        """A list of whole numbers among ``more``."""
        value = self.more.get(key, ())
        return tuple(map(int, value)) if isinstance(value, list | tuple) else ()
