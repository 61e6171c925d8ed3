"""The captions of a stream in order, whatever the stream does to them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from rapidfuzz import fuzz

from extract.checks.words import clock_text
from extract.live.captions import Piece
from extract.live.clocks import Clocks, Verdict

#: A caption with the start of another one is that one rewritten if the words are this much alike (0 to 100).
_ALIKE = 50.0
#: Two notes of one second may be alike. A long one is that one rewritten if its words are this much alike.
_NEARLY_SAME, _LONG = 75.0, 5
#: A caption may be rewritten by another of the same start if no more than this many came in between.
_REWRITTEN_REACH = 30
#: A caption of the same name is that one rewritten whatever it says, if no more than this many came in between.
_NAMED_REACH = 5
#: A caption with the name of another one, in seconds between their starts.
_SAME_NAME_S = {"json": 30.0, "vtt": 0.5, "srt": 0.5}
#: Readers put starts in order that go back by this much, seconds.
_UNSORTED_S = 1.0
#: Numbers of captions tell of lost ones after this many have followed on each other.
_COUNTED = 2
#: Where times run backwards, as those of the bout clock do, a caption may be repeated after this many others.
_LATELY = 10

Tell = Callable[[str, float, str], None]


@dataclass(slots=True)
class _Numbers:
    """The numbers of the captions as they come."""

    last: int | None = None
    run: int = 0

    def missing(self, piece: Piece) -> tuple[int, int] | None:
        """The first and the last number that is missing before a caption."""
        name = piece.id
        number = (
            int(name) if name is not None and name.isascii() and name.isdigit() and len(name) < 10 else None
        )
        last, self.last = self.last, number
        if number is None or last is None:
            self.run = 0
            return None
        if number == last + 1:
            self.run += 1
            return None
        counted, self.run = self.run >= _COUNTED, 0 if number <= last else self.run
        return (last + 1, number - 1) if counted and number > last + 1 else None


class Timeline:
    """Puts captions in order. ``moved`` gives a caption at a later time. ``tell`` is called with the kind of a notice, the
    time of the recording and a sentence. ``first_changed`` is the lowest position that has changed since it was set."""

    def __init__(self, tell: Tell, moved: Callable[[Piece, float], Piece]) -> None:
        self.pieces: list[Piece] = []
        self.first_changed = 0
        #: Whether the captions are those of the stream as they came.
        self.as_came = True
        self.ordered = True
        self._tell = tell
        self.moved = moved
        self._clocks = Clocks()
        self._numbers = _Numbers()
        self._known: set[tuple[float, float | None, str]] = set()
        self._names: dict[str, int] = {}
        self._last: tuple[int, int | None] = (-1, None)
        self._repeating = False
        # The positions that were rewritten since captions that are known began to come again.
        self._changed: set[int] = set()
        self._risen = False
        self._came, self._waited_s = 0.0, 0.0

    def add(self, piece: Piece, kind: str, came: float) -> None:
        """Take in one caption of a kind of stream, which came at a time of another clock, seconds."""
        self._waited_s, self._came = came - self._came, came
        serial, at = self._last
        if piece.serial == serial:
            if at is not None:
                self._put(at, self._later(piece))
            else:
                self._clocks.longer(piece)
            return
        missing = self._numbers.missing(piece)
        self._last = (piece.serial, None)
        if kind in ("block", "csv") and self.ordered and self._counts_down(piece):
            self.ordered = False
        if self._is_repeated(piece, kind):
            return
        at = self._rewritten(self._later(piece), kind)
        if at is not None:
            self._rewrite(at, self._later(piece))
            return
        if not self.ordered:
            self._insert(len(self.pieces), piece)
            return
        self._place(piece, missing)

    def resume(self, pieces: Sequence[Piece]) -> None:
        """Begin with captions that are known."""
        for piece in pieces:
            self._insert(len(self.pieces), piece)
            self._clocks.known(piece.start)
        self._risen = self.ordered

    def anew(self) -> None:
        """The stream begins again: what comes is no more of the last caption."""
        self._last = (-1, None)
        self._numbers = _Numbers()
        # What is known may come again; nobody needs to be told.
        self._repeating = True

    def end(self) -> None:
        """No caption comes any more."""
        for kind, said in self._clocks.end():
            self.as_came = False
            self._tell(kind, self.now, said)

    def remove(self, at: int) -> None:
        """Leave out the caption at a position."""
        self._cut(at, at + 1)

    def _later(self, piece: Piece) -> Piece:
        offset = self._clocks.offset
        return self.moved(piece, offset) if offset else piece

    def _counts_down(self, piece: Piece) -> bool:
        """Whether no time has risen yet and this one falls."""
        if self._risen or not self.pieces:
            return False
        self._risen = piece.start > self.now
        return piece.start < self.now

    def _is_repeated(self, piece: Piece, kind: str) -> bool:
        later = self._later(piece)
        key = _key(later)
        if self.ordered:
            known = key in self._known or _key(piece) in self._known
            at = self._rewritten(later, kind) if known and self._changed else None
            if at is not None and at in self._changed and self.pieces[at].text != later.text:
                # What comes again had it otherwise before.
                return False
        else:
            known = any(_key(other) == key for other in self.pieces[-_LATELY:])
        if known:
            self.as_came = False
            if not self._repeating:
                said = f"Captions that are known came again, from {clock_text(piece.start)} on; they are left out."
                self._tell("repeated", self.now, said)
                self._changed.clear()
            self._repeating = True
        return known

    def _rewritten(self, piece: Piece, kind: str) -> int | None:
        """The position of the caption that a caption rewrites."""
        if piece.id is not None and kind in _SAME_NAME_S:
            at = self._names.get(piece.id)
            if at is not None and abs(self.pieces[at].start - piece.start) <= _SAME_NAME_S[kind]:
                late = at < len(self.pieces) - _NAMED_REACH
                if not late or _alike(self.pieces[at], piece):
                    return at
        exact = kind in _SAME_NAME_S or piece.start % 1 > 0
        for at in range(len(self.pieces) - 1, max(len(self.pieces) - _REWRITTEN_REACH, 0) - 1, -1):
            old = self.pieces[at]
            last = at == len(self.pieces) - 1
            overlaps = piece.start < (old.end or old.start) and (piece.end or piece.start) > old.start
            if last and old.final is False and overlaps:
                # A recogniser says of a text that it may change, and sends another for the same time.
                return at
            if piece.start == old.start:
                grown = piece.text.startswith(old.text) and old.text != ""
                # Lines that are stamped as they come may come together and be different ones.
                alike = kind != "plain" and _alike(old, piece, _ALIKE if exact else _NEARLY_SAME)
                # Two captions that stand together on the screen end together.
                other = last and kind in _SAME_NAME_S and piece.end != old.end
                nameless = piece.id is None and old.id is None and piece.speaker == old.speaker
                if other and nameless:
                    return at
                if (grown and (exact or last)) or alike:
                    return at
        return None

    def _rewrite(self, at: int, piece: Piece) -> None:
        old = self.pieces[at]
        closed = at < len(self.pieces) - 1 or old.final is True
        if not closed:
            # It may be changed back.
            self._known.discard(_key(old))
        elif old.text != piece.text:
            said = (
                f"The caption at {clock_text(old.start)} was corrected: “{old.text}” is now “{piece.text}”."
            )
            self._tell("corrected", old.start, said)
        self.as_came = False
        if closed and self._repeating:
            self._changed.add(at)
        self._put(at, piece)

    def _place(self, piece: Piece, missing: tuple[int, int] | None) -> None:
        verdict = self._clocks.place(piece, self.pieces, self._waited_s)
        self._undo(verdict)
        if any(kind == "restarted" for kind, _ in verdict.notices):
            self._names.clear()
        for kind, said in verdict.notices:
            self._tell(kind, self.now, said)
        self.as_came &= not verdict.lost
        for taken in verdict.taken:
            self._accept(self._later(taken), missing if taken is piece and not verdict.notices else None)

    def _undo(self, verdict: Verdict) -> None:
        if verdict.undo is not None and verdict.undo < len(self.pieces):
            self._cut(verdict.undo, len(self.pieces))

    def _accept(self, piece: Piece, missing: tuple[int, int] | None) -> None:
        if missing is not None:
            first, last = missing
            lost = (
                f"Caption {first} is missing" if first == last else f"Captions {first} to {last} are missing"
            )
            self._tell("dropped", piece.start, f"{lost} before {clock_text(piece.start)}.")
        self._repeating = False
        self._changed.clear()
        at = len(self.pieces)
        latest = max((known.start for known in self.pieces[-_REWRITTEN_REACH:]), default=piece.start)
        if piece.start < latest - _UNSORTED_S:
            at = bisect_right(self.pieces, piece.start, key=lambda known: known.start)
            self.as_came = False
        self._insert(at, piece)

    def _insert(self, at: int, piece: Piece) -> None:
        self.pieces.insert(at, piece)
        self._known.add(_key(piece))
        for k in range(at, len(self.pieces)):
            self._name(k)
        self._last = (piece.serial, at)
        self.first_changed = min(self.first_changed, at)

    def _put(self, at: int, piece: Piece) -> None:
        self.pieces[at] = replace(piece, serial=self.pieces[at].serial)
        self._known.add(_key(piece))
        self._name(at)
        self._last = (piece.serial, at)
        self.first_changed = min(self.first_changed, at)

    def _name(self, at: int) -> None:
        name = self.pieces[at].id
        if name is not None:
            self._names[name] = at

    def _cut(self, start: int, stop: int) -> None:
        for piece in self.pieces[start:stop]:
            self._known.discard(_key(piece))
        del self.pieces[start:stop]
        self._names = {name: at for name, at in self._names.items() if at < start}
        for k in range(start, len(self.pieces)):
            self._name(k)
        self._last = (self._last[0], None)
        self.first_changed = min(self.first_changed, start)
        self.as_came = False

    @property
    def now(self) -> float:
        """The start of the last caption, seconds."""
        return self.pieces[-1].start if self.pieces else 0.0


def _alike(old: Piece, piece: Piece, least: float = _ALIKE) -> bool:
    words = piece.text.split()
    enough = least < _NEARLY_SAME or len(words) >= _LONG
    return enough and fuzz.ratio(old.text.split(), words) >= least


def _key(piece: Piece) -> tuple[float, float | None, str]:
    end = None if piece.end is None else round(piece.end, 2)
    return round(piece.start, 2), end, piece.text
