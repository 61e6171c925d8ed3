"""Which clock a caption belongs to: that of the stream, one that was set anew, or that of another producer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from extract.checks.words import clock_text
from extract.live.captions import Piece

#: A caption may come this much behind the last one, seconds: it is put in its place.
_ORDER_S = 5.0
#: From one caption to the next no more than this passes, seconds, unless the clock was changed or nobody spoke.
_JUMP_S = 60.0
#: A jump is told unless this share of it has passed while nothing came.
_SILENT = 0.5
#: A stream that was begun again begins before this, and goes back by at least so much, seconds.
_ZERO_S, _BACK_S = 30.0, 15.0
#: The clock before a change is remembered for this many captions.
_RECENT = 12
#: A step of more than this is none of a clock, seconds, if another clock has one of less than half.
_LONG_S = 15.0
#: Captions of another clock count after this many in a row; after this many if they have come before in between.
_ADOPTED, _ADOPTED_MIXED = 3, 8
#: Captions of another clock have come in between this many times before two producers are supposed.
_RETURNS = 2


@dataclass(slots=True)
class _Clock:
    """A clock of the stream: the start of its last caption as it stands there, and what is added to its times."""

    last: float
    offset: float = 0.0

    def step(self, piece: Piece) -> float:
        return piece.start - self.last

    def fits(self, piece: Piece) -> bool:
        return -_ORDER_S <= self.step(piece) <= _JUMP_S


@dataclass(slots=True)
class Verdict:
    """What becomes of a caption: the captions that are ``taken``, this one or some that were held; the position from which
    captions are taken back (``undo``); whether some are ``lost``; what there is to tell, kind and sentence."""

    taken: list[Piece] = field(default_factory=list)
    undo: int | None = None
    lost: bool = False
    notices: list[tuple[str, str]] = field(default_factory=list)


class Clocks:
    """Follows the clock of a stream. ``offset`` is what is now added to the times of captions, seconds."""

    def __init__(self) -> None:
        self._clock: _Clock | None = None
        # The clock before the last change, and the position of the first caption after it.
        self._before: tuple[_Clock, int] | None = None
        self._other: _Clock | None = None
        self._held: list[Piece] = []
        self._returns = 0
        self._mixed = False

    @property
    def offset(self) -> float:
        return self._clock.offset if self._clock is not None else 0.0

    def known(self, start: float) -> None:
        """A caption that is known is at this time, seconds."""
        self._clock = _Clock(max(start, self._clock.last if self._clock is not None else start))

    def place(self, piece: Piece, pieces: Sequence[Piece], waited_s: float) -> Verdict:
        """What becomes of a caption that comes after ``pieces``, so many seconds after the last one by another clock."""
        clock = self._clock
        if clock is None:
            self._clock = _Clock(piece.start)
            return Verdict([piece])
        before = self._recent(len(pieces))
        if before is not None and self._goes_back(piece, clock, before[0]):
            return self._back_to(piece, pieces, *before)
        if clock.fits(piece):
            return self._goes_on(piece, clock)
        if self._other is not None and self._other.fits(piece):
            return self._hold(piece, pieces)
        step = clock.step(piece)
        if step > _JUMP_S and not self._mixed:
            verdict = self._jump([piece], len(pieces))
            if waited_s >= _SILENT * step:
                # Nobody spoke.
                verdict.notices.clear()
            return verdict
        if piece.start <= _ZERO_S and step < -_BACK_S and not self._mixed:
            return self._restart([piece], pieces)
        self._other, self._held = None, []
        return self._hold(piece, pieces)

    def longer(self, piece: Piece) -> None:
        """A caption that is held has got more of its text."""
        self._held = [piece if held.serial == piece.serial else held for held in self._held]

    def _recent(self, count: int) -> tuple[_Clock, int] | None:
        if self._before is not None and count - self._before[1] > _RECENT:
            self._before = None
        return self._before

    @staticmethod
    def _goes_back(piece: Piece, clock: _Clock, before: _Clock) -> bool:
        """Whether a caption goes on with the clock before the change and not with the one after it."""
        if not before.fits(piece):
            return False
        step = abs(clock.step(piece))
        return not clock.fits(piece) or (step > _LONG_S and abs(before.step(piece)) < step / 2)

    def _back_to(self, piece: Piece, pieces: Sequence[Piece], before: _Clock, position: int) -> Verdict:
        clock = self._clock
        assert clock is not None
        self._other, self._held, self._mixed = _Clock(clock.last), [], True
        self._clock, self._before = before, None
        verdict = Verdict([piece], undo=position, lost=True)
        verdict.notices.append(("mixed", _mixed(pieces[position].start - clock.offset)))
        before.last = max(before.last, piece.start)
        return verdict

    def _goes_on(self, piece: Piece, clock: _Clock) -> Verdict:
        verdict = Verdict([piece])
        clock.last = max(clock.last, piece.start)
        if self._held:
            verdict.lost = True
            first, last = self._held[0].start, self._held[-1].start
            self._returns += 1
            if self._returns >= _RETURNS and not self._mixed:
                self._mixed = True
                verdict.notices.append(("mixed", _mixed(first)))
            elif not self._mixed:
                span = f"at {_at(first)}" if len(self._held) == 1 else f"from {_at(first)} to {_at(last)}"
                what = "A caption" if len(self._held) == 1 else f"{len(self._held)} captions"
                left = "it is left out" if len(self._held) == 1 else "they are left out"
                said = f"The times went back: {what} {span} came when those before had got further; {left}."
                verdict.notices.append(("went_back", said))
            self._held = []
        return verdict

    def _hold(self, piece: Piece, pieces: Sequence[Piece]) -> Verdict:
        """Keep a caption of another clock until it is known whether that clock goes on."""
        self._other = _Clock(piece.start)
        self._held.append(piece)
        clock = self._clock
        assert clock is not None
        if len(self._held) < (_ADOPTED_MIXED if self._mixed else _ADOPTED):
            return Verdict(lost=False)
        held = self._held
        if clock.step(held[0]) > 0:
            return self._jump(held, len(pieces))
        return self._restart(held, pieces)

    def _jump(self, taken: list[Piece], count: int) -> Verdict:
        assert self._clock is not None
        said = f"The times jump from {_at(self._clock.last)} to {_at(taken[0].start)}; they are kept as they are."
        return self._switch(taken, self._clock.offset, count, "clock", said)

    def _restart(self, taken: list[Piece], pieces: Sequence[Piece]) -> Verdict:
        last = pieces[-1]
        zero = taken[0].start <= _ZERO_S
        end = max(last.start, last.end or 0.0)
        # A clock that was only set back has no time of its own before its first caption.
        offset = end if zero else end + 1.0 - taken[0].start
        said = "was begun again" if zero else "was set back"
        said = (
            f"The clock of the captions {said}, from {_at(self._clock.last if self._clock else 0.0)} to "
            f"{_at(taken[0].start)}; times go on at {clock_text(taken[0].start + offset)}."
        )
        return self._switch(taken, offset, len(pieces), "restarted" if zero else "clock", said)

    def _switch(self, taken: list[Piece], offset: float, count: int, kind: str, said: str) -> Verdict:
        assert self._clock is not None
        self._before = (self._clock, count)
        self._clock = _Clock(max(piece.start for piece in taken), offset)
        self._other, self._held, self._mixed, self._returns = None, [], False, 0
        return Verdict(list(taken), lost=offset != self._before[0].offset, notices=[(kind, said)])


def _at(raw: float) -> str:
    return clock_text(raw)


def _mixed(start: float) -> str:
    return (
        f"Captions of another clock (about {_at(start)}) come between those of this one, as of two producers; "
        "they are left out."
    )
