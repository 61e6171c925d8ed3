"""The flags of a running bout: what was said and does not fit, raised when it is worth it, and taken back when what is said
later explains it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from extract.live.model import Answer, LiveFlag
from extract.live.waiting import Seen, Waiting
from extract.record.disagreements import OnAir, on_air, sentence, values
from extract.record.model import Pair, Record
from extract.record.said_table import spoken
from extract.transcript import Transcript

#: What is told of before the bout is over: whatever is said of the score, of who leads, of times.
_RUNNING = ("score", "score_unclear", "lead", "criteria", "riding_time", "riding_time_said")
_AT_END = ("final_score", "winner")
#: The same words may move by so much, seconds, when a caption is corrected.
_SAME_S = 2.0


@dataclass(slots=True)
class _Watched:
    """Something said that does not fit now, and what is known of how it came to that."""

    number: int
    t: float
    said: str
    waiting: Waiting
    flag: LiveFlag | None = None
    item: OnAir | None = None


class Flags:
    """The flags of one bout. ``at`` is how sure it has to be that a flag will stand before it is raised, 0 to 1 (None: as
    shipped)."""

    def __init__(self, bout: int, at: float | None = None, held: Sequence[LiveFlag] = ()) -> None:
        self._bout, self._at = bout, at
        self._watched: list[_Watched] = []
        for flag in held:
            number = int(flag.id.rpartition(".")[2])
            self._watched.append(_Watched(number, flag.t, flag.said, Waiting(at), flag))
        self._last = max((w.number for w in self._watched), default=0)

    @property
    def histories(self) -> Iterator[tuple[OnAir, Sequence[Seen]]]:
        """All that did not fit at some time, as it stood last, with how it looked on the way."""
        return ((w.item, w.waiting.history) for w in self._watched if w.item is not None)

    @property
    def raised(self) -> tuple[LiveFlag, ...]:
        """All flags that were raised, in the order of that."""
        return tuple(w.flag for w in self._watched if w.flag is not None)

    def answered(self, flag: str, answer: Answer | None) -> None:
        """Note what a person says of a flag; None takes it back."""
        for watched in self._watched:
            if watched.flag is not None and watched.flag.id == flag:
                if answer is None:
                    watched.flag = replace(watched.flag, state="open", answer=None)
                else:
                    watched.flag = replace(watched.flag, state="answered", answer=answer)

    def update(
        self,
        record: Record,
        transcript: Transcript,
        now: float,
        *,
        over: bool,
        until: float,
        score_sure: float,
    ) -> None:
        """Take up the record as it is at ``now``. ``over`` says that the bout has ended. What is said after ``until`` is
        not of it. ``score_sure`` is the confidence of the score."""
        wrong = [item for item in on_air(record) if _is_told(item, over=over)]
        seen: set[int] = set()
        for item in sorted(wrong, key=lambda item: item.flag.t):
            watched = self._of(item, record)
            seen.add(watched.number)
            watched.item = item
            sure = item.flag.confidence or 0.0
            state = Seen(
                now, sure if item.verdict == "wrong" else 0.5, item.kind, _slip(item), score_sure, item.flag.t
            )
            if (item.flag.t <= until and watched.waiting.is_worth(state)) or watched.flag is not None:
                self._raise(watched, item, record, transcript, now)
        for watched in self._watched:
            if watched.number not in seen:
                self._explained(watched)

    def _of(self, item: OnAir, record: Record) -> _Watched:
        said = values(item, record)[0]
        for watched in self._watched:
            if watched.said == said and abs(watched.t - item.flag.t) < _SAME_S:
                return watched
        self._last += 1
        self._watched.append(_Watched(self._last, item.flag.t, said, Waiting(self._at)))
        return self._watched[-1]

    def _raise(
        self, watched: _Watched, item: OnAir, record: Record, transcript: Transcript, now: float
    ) -> None:
        flag, before = item.flag, watched.flag
        said, should_be = values(item, record)
        if before is not None and before.state == "answered":
            return
        if item.verdict == "unclear" and before is not None:
            # It is no longer sure, and not explained either.
            watched.flag = replace(before, confidence=flag.confidence or 0.0)
            return
        watched.flag = LiveFlag(
            id=f"{self._bout}.{watched.number}",
            bout=self._bout,
            t=flag.t,
            raised=round(now, 2) if before is None else before.raised,
            period=flag.period,
            clock_s=flag.clock_s,
            kind=item.kind,
            head=item.head(record),
            spoken=spoken(flag, transcript),
            said=said,
            should_be=should_be,
            sentence=sentence(flag, record),
            why=flag.why,
            confidence=flag.confidence or 0.0,
            said_score=_score(flag.said),
            should_be_score=_score(flag.computed),
            cue_t=next((cue.start for cue in transcript.cues if cue.index == flag.cue), None),
        )

    def _explained(self, watched: _Watched) -> None:
        flag = watched.flag
        if flag is None or flag.state != "open":
            return
        why = f"What was said since explains {flag.said}."
        watched.flag = replace(flag, state="withdrawn", why=why)


def _is_told(item: OnAir, *, over: bool) -> bool:
    kinds = (*_RUNNING, *_AT_END) if over else _RUNNING
    return item.verdict in ("wrong", "unclear") and item.kind in kinds and item.differs


def _slip(item: OnAir) -> str:
    return next((s.slip for s in item.statements if s.slip is not None), "")


def _score(value: Pair | str | None) -> Pair | None:
    return value if isinstance(value, tuple) else None


def flags_in_order(flags: Sequence[LiveFlag]) -> Iterator[LiveFlag]:
    """Flags as they are shown: the newest first."""
    return iter(sorted(flags, key=lambda flag: (-flag.raised, -flag.t)))
