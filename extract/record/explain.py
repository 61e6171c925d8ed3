"""One sentence on each event of the log: why it is there, and what else it might have been."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from itertools import accumulate

from extract.checks import StatementCheck
from extract.checks.sides import Sides, entry_text, leading
from extract.checks.words import kind_text, moment_text, share_text, words_text
from extract.log import BoutLog, LogEvent
from extract.log.compare import RunnerUp, runners_up
from extract.log.hypothesis import ReadingEvent
from extract.log.known import shown_by_known
from extract.mentions import Heard
from extract.rules.base import BOUNDS
from extract.rules.kinds import kinds_that

#: The end of a bout belongs to somebody, unless nobody knows to whom.
_ENDS = kinds_that("end")
#: The least share of other readings that is mentioned.
_WORTH_SAYING = 0.05
#: Words that are quoted for a called event.
_QUOTED = 2
#: An event without which the rules do not allow a call stands no more than this many seconds before it.
_FORCED_S = 1.0


def explain_events(
    log: BoutLog, heard: Heard, checked: Sequence[StatementCheck], sides: Sides
) -> tuple[str, ...]:
    """A sentence for each event of the log."""
    agreeing = tuple(c for c in checked if c.verdict == "agrees" and c.said == c.computed)
    explainer = _Explainer(log, heard, agreeing, sides)
    others = runners_up(log)
    return tuple(explainer.sentence(n, others.get(n)) for n in range(len(log.events)))


class _Explainer:
    """What the sentences are made from. ``agreeing`` are the stated scores that agree with the board, as they were
    said."""

    def __init__(self, log: BoutLog, heard: Heard, agreeing: Sequence[StatementCheck], sides: Sides) -> None:
        self.log, self.heard, self.agreeing, self.sides = log, heard, agreeing, sides
        self._places = [c.mention for c in agreeing]
        self._times = [self._t(c) for c in agreeing]
        # Times go back a little at places. So the search is over the latest time up to each score and the earliest
        # after it.
        self._latest = list(accumulate(self._times, max))
        self._earliest = list(accumulate(reversed(self._times), min))[::-1]
        self._said = frozenset(taken.said.t for taken in log.taken)
        # The first call after each event.
        self._calls: list[ReadingEvent | None] = []
        call: ReadingEvent | None = None
        for event in reversed(log.events):
            self._calls.append(call)
            call = event.entry if event.entry.basis == "called" else call
        self._calls.reverse()

    def sentence(self, n: int, other: RunnerUp | None) -> str:
        event = self.log.events[n]
        if event.entry.move.kind in BOUNDS:
            return "Timed from the whistles, horns and clock times that were said."
        parts = [self._origin(n, event), *self._fate(event)]
        if event.entry.move.kind in _ENDS and event.entry.move.corner is None:
            parts.append("nobody said for whom")
        elif other is not None and other.share > _WORTH_SAYING:
            parts.append(_runner_up(event.entry, other, self.sides))
        return f"{'; '.join(parts)}."

    def _origin(self, n: int, event: LogEvent) -> str:
        entry = event.entry
        if entry.fact is not None:
            words = " and ".join(self._quote(i) for i in dict.fromkeys(entry.mentions))
            return f"Corrected by hand (correction {entry.fact})" + (f"; said: {words}" if words else "")
        if entry.review is not None:
            review = self.log.best.reviews[entry.review]
            at = "" if review.t_outcome is None else f" at {moment_text(review.t_outcome, self.log.order)}"
            words = _in_brackets(self._words(review.answer))
            return (
                f"Follows from {self.sides.whose(review.by)} challenge, which was {review.outcome}{at}{words}"
            )
        if entry.basis == "inferred" or not entry.mentions:
            return self._uncalled(n, entry)
        calls = tuple(dict.fromkeys(entry.mentions))
        quoted = " and ".join(self._quote(i) for i in calls[:_QUOTED])
        more = len(calls) - _QUOTED
        again = "" if more <= 0 else ", and once more" if more == 1 else f", and {more} times more"
        return f"Said: {quoted}{again}"

    def _uncalled(self, n: int, entry: ReadingEvent) -> str:
        """The stated scores before and after an event that nobody called, or the call that needs it."""
        if known := shown_by_known(self.log, self.log.events[n]):
            return f"Nobody mentioned it; only {known} implies it"
        needs = self._next_call(n, entry)
        if needs is not None:
            return f"Nobody mentioned it, but without it the rules do not allow what was said next, {self._quote(needs)}"
        after = self._confirmed_by(entry)
        if after is None:
            return "Nobody mentioned it, but without it what was said afterwards would not be possible"
        before = bisect_left(self._earliest, entry.t)
        start = self._score(self.agreeing[before - 1]) if before else "the start (0-0)"
        return f"Nobody mentioned it; it lies between {start} and {self._score(after)}"

    def _next_call(self, n: int, entry: ReadingEvent) -> int | None:
        """The mention of the call right after an uncalled event, if no score said at that moment shows the event."""
        if entry.t in self._said:
            return None
        after = self._calls[n]
        if after is None or not after.mentions or after.t - entry.t > _FORCED_S:
            return None
        return after.mentions[0]

    def _fate(self, event: LogEvent) -> Iterator[str]:
        """What became of points: confirmed by a score said later, or overturned."""
        entry = event.entry
        if not entry.move.points:
            return
        if entry.overturned is not None:
            review = self.log.best.reviews[entry.overturned]
            at = "" if entry.off is None else f" at {moment_text(entry.off, self.log.order)}"
            words = _in_brackets(self._words(review.answer))
            yield f"overturned{at}, when {self.sides.whose(review.by)} challenge was won{words}"
        elif entry.basis == "called" or entry.review is not None:
            after = self._confirmed_by(entry)
            if after is None:
                yield "no score said later confirms it"
            elif after.computed == event.score_after:
                yield f"confirmed by {self._score(after)}"
            else:
                yield f"confirmed, with what was scored next, by {self._score(after)}"

    def _confirmed_by(self, entry: ReadingEvent) -> StatementCheck | None:
        """The first stated score after an event that agrees with the board."""
        called = entry.mentions[0] if entry.mentions else -1
        first = max(bisect_left(self._latest, entry.t), bisect_right(self._places, called))
        later = (k for k in range(first, len(self.agreeing)) if self._times[k] >= entry.t)
        return next((self.agreeing[k] for k in later), None)

    def _t(self, c: StatementCheck) -> float:
        return self.heard.mentions[c.mention].t

    def _quote(self, mention: int) -> str:
        """Words with their time: '"two for red" at 4:27'."""
        found = self.heard.mentions[mention]
        return f"{words_text(self.heard.place(found).text)} at {moment_text(self.heard.said_at(found), self.log.order)}"

    def _score(self, c: StatementCheck) -> str:
        """A stated score with its time: '"three-two" (3-2 Varnholt) at 5:12'."""
        found = self.heard.mentions[c.mention]
        words = words_text(self.heard.place(found).text)
        at = moment_text(self.heard.said_at(found), self.log.order)
        return f"{words} ({leading(self.sides, c.computed)}) at {at}"

    def _words(self, mention: int | None) -> str:
        return "" if mention is None else words_text(self.heard.place(self.heard.mentions[mention]).text)


def _in_brackets(words: str) -> str:
    return f" ({words})" if words else ""


def _runner_up(entry: ReadingEvent, other: RunnerUp, sides: Sides) -> str:
    """What other readings have in place of an event."""
    move = entry.move
    if other.entry is None:
        what = "no such points" if move.points else f"no such {kind_text(move.kind)}"
    else:
        theirs = other.entry.move
        ours_text = entry_text(sides, move.kind, move.corner, move.against, move.points)
        text = entry_text(sides, theirs.kind, theirs.corner, theirs.against, theirs.points)
        fate = "it overturned" if other.entry.overturned is not None else "it not overturned"
        what = f"{text} instead" if text != ours_text else fate
    return f"{share_text(other.share)} of the interpretations have {what}"
