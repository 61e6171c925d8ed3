"""What a person should look at: scores that do not agree, clocks that cannot be, challenges and ends left open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, takewhile
from typing import Literal

from extract.checks.statements import Checked
from extract.checks.words import award_text, board_text, clock_text, score_text
from extract.log import BoutLog
from extract.log.hypothesis import Score
from extract.log.to_log import board_at
from extract.mentions.model import ClockMention, CriteriaMention, Mention, ResultMention, ScoreMention
from extract.rules.base import Ruleset

Severity = Literal["error", "warning", "note"]
#: From this confidence on a disagreement is an error, below it a warning.
_SURE = 0.8
#: A time left that is off by less, in seconds, is no matter for a person.
_TELLING_S = 5.0
#: A value said again within so many seconds is the same statement said over.
_AT_ONCE_S = 8.0
_RANK = {"error": 0, "warning": 1, "note": 2}


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


def find_flags(
    log: BoutLog,
    checked: Sequence[Checked],
    mentions: Sequence[Mention],
    rules: Ruleset,
    others: Sequence[Finding] = (),
) -> list[Finding]:
    """All flags, those of ``others`` too, the most serious first, then by time."""
    silent = any(finding.kind == "nothing_understood" for finding in others)
    found = [
        *others,
        *_scores(checked, mentions),
        # Of a bout of which nothing was understood there is no end that could be wrong.
        *(() if silent else _end(log, checked, mentions)),
        *_criteria(log, mentions, rules),
        *_challenges(log),
        *_clocks(log, mentions),
        *_uncalled(log),
        *_apart(log, mentions),
    ]
    return sorted(found, key=lambda f: (_RANK[f.severity], f.t))


def _scores(checked: Sequence[Checked], mentions: Sequence[Mention]) -> Iterator[Finding]:
    """A flag for each statement that does not agree; the same value said over again at once shares one."""
    held: Finding | None = None
    for n, c in enumerate(checked):
        if c.verdict == "agrees" or (c.said is None and c.verdict != "unclear"):
            continue
        t = mentions[c.mention].t
        said = c.said if c.said is not None else _lead(c)
        kind = "score" if c.verdict == "disagrees" else "score_unclear"
        severity: Severity = (
            "note" if kind == "score_unclear" else "error" if c.confidence >= _SURE else "warning"
        )
        if (
            held is not None
            and (held.kind, held.said, held.computed) == (kind, said, c.computed)
            and t - held.t < _AT_ONCE_S
        ):
            held = replace(held, refs=(*held.refs, ("statement", n)))
            continue
        if held is not None:
            yield held
        held = Finding(kind, severity, t, c.mention, said, c.computed, c.why, (("statement", n),))
    if held is not None:
        yield held


def _lead(c: Checked) -> str:
    return "level" if not c.margin else f"{c.leader} by {c.margin}"


def _end(log: BoutLog, checked: Sequence[Checked], mentions: Sequence[Mention]) -> Iterator[Finding]:
    """The winner and the final score as said, against the computed ones."""
    end = log.frame.periods[-1].end if log.frame.periods else 0.0
    outcome = log.outcome
    for index, m in enumerate(mentions):
        if (
            isinstance(m, ResultMention)
            and m.winner is not None
            and m.t >= end - 5
            and m.grade == "plain"
            and m.stance == "asserted"
            and outcome is not None
            and outcome.winner is not None
            and m.winner != outcome.winner
        ):
            why = f"{m.winner} was said to win, but the board ends at {board_text(log.best.score)}."
            yield Finding("winner", "error", m.t, index, m.winner, outcome.winner, why)
            break
    if outcome is None or outcome.winner is None:
        why = f"The board ends at {board_text(log.best.score)}, and no rule gives a winner from that."
        if outcome is not None and outcome.by != "unknown":
            why = f"The bout ended by {outcome.by}, and the talk does not tell who won."
        yield Finding("winner", "warning", end, None, None, score_text(log.best.score), why)
    finals = [
        (n, c) for n, c in enumerate(checked)
        if c.said is not None and isinstance(mentions[c.mention], ScoreMention) and mentions[c.mention].t >= end - 5
    ]  # fmt: skip
    if finals and all(c.verdict == "disagrees" for _, c in finals):
        n, c = finals[-1]
        why = f"No score said at the end is the one on the board: {board_text(log.best.score)}."
        yield Finding(
            "final_score",
            "error",
            mentions[c.mention].t,
            c.mention,
            c.said,
            log.best.score,
            why,
            (("statement", n),),
        )


def _criteria(log: BoutLog, mentions: Sequence[Mention], rules: Ruleset) -> Iterator[Finding]:
    recalled = [
        (index, m)
        for index, m in enumerate(mentions)
        if isinstance(m, CriteriaMention)
        and m.leader is not None
        and m.grade == "named"
        and m.stance == "asserted"
    ]
    events, played, done = log.events, rules.played(()), 0
    for index, m in sorted(recalled, key=lambda one: one[1].t):
        # What stands for good is played once for all that is told later.
        while done < len(events) and events[done].t <= m.t + 3 and (events[done].entry.off or 0.0) <= m.t:
            if events[done].entry.off is None:
                played = rules.played([events[done].entry.move], played)
            done += 1
        lately = takewhile(lambda e, m=m: e.t <= m.t + 3, islice(events, done, None))  # type: ignore[misc]
        state = rules.replay(
            [e.entry.move for e in lately if e.entry.off is None or e.entry.off > m.t], played
        )
        if state.score[0] != state.score[1]:
            continue
        outcome = rules.outcome(state)
        leader = outcome.winner if outcome is not None else None
        if leader is not None and leader != m.leader:
            why = f"At {score_text(state.score)} the calls give {leader} the criteria, not {m.leader}."
            yield Finding("criteria", "warning", m.t, index, m.leader, leader, why)


def _challenges(log: BoutLog) -> Iterator[Finding]:
    for n, review in enumerate(log.best.reviews):
        if review.outcome == "unknown":
            why = f"{review.by} asked for a review and nothing that was said tells how it came out."
            yield Finding(
                "challenge_open", "warning", review.t, review.asked, review.by, None, why, (("challenge", n),)
            )
        elif review.answer is None:
            why = (
                f"The outcome of {review.by}'s challenge was not said; "
                f"the score afterwards shows that it was {review.outcome}."
            )
            yield Finding(
                "challenge_unsaid",
                "note",
                review.t,
                review.asked,
                None,
                review.outcome,
                why,
                (("challenge", n),),
            )


def _clocks(log: BoutLog, mentions: Sequence[Mention]) -> Iterator[Finding]:
    for reading in log.frame.readings:
        m = mentions[reading.index]
        if reading.fits or not isinstance(m, ClockMention) or m.stance != "asserted":
            continue
        computed = log.frame.clock_at(reading.t)
        if (
            computed is None
            or abs(computed[0] - reading.seconds) < _TELLING_S
            or ("+remain" not in m.grade and m.grade != "m:ss")
        ):
            continue
        why = (
            f"{clock_text(reading.seconds)} left does not fit the other times said in period {reading.period}: "
            f"about {clock_text(computed[0])} is left."
        )
        yield Finding(
            "clock",
            "note",
            reading.t,
            reading.index,
            clock_text(reading.seconds),
            clock_text(computed[0]),
            why,
            (("clock", reading.index),),
        )


def _uncalled(log: BoutLog) -> Iterator[Finding]:
    for n, event in enumerate(log.events):
        move = event.entry.move
        by_itself = event.entry.review is None and log.facts.decided(event.entry) is None
        if event.entry.basis == "inferred" and move.points and by_itself:
            why = (
                f"Nobody called {award_text(move.kind, move.corner, move.points)}; only the scores said show it, "
                f"some time from {clock_text(event.low)} to {clock_text(event.high)}."
            )
            yield Finding("uncalled", "note", event.t, None, None, event.score_after, why, (("event", n),))


def _apart(log: BoutLog, mentions: Sequence[Mention]) -> Iterator[Finding]:
    """Scores said like that of this bout, and too far from the board for it."""
    for index in log.apart:
        m = mentions[index]
        if not isinstance(m, ScoreMention):
            continue
        board = board_at(log.board, m.t)
        said = m.pair if m.first != "blue" else m.pair[::-1]
        why = f"Said like the score of this bout, but the board shows {board_text(board)}: taken for another one's."
        yield Finding("score_apart", "note", m.t, index, said, board, why)
