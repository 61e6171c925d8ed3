"""Puts a bout record together from the results of the stages before."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import cast

from extract.checks import BoutRead, Finding, StatementCheck
from extract.log import BoutLog, LogEvent
from extract.log.compare import OtherLog, other_logs
from extract.log.frame import TimeCheck
from extract.log.known import results_at_end, won
from extract.log.riding import Ride
from extract.log.stretches import Stretch as StretchOfTalk
from extract.mentions import Heard
from extract.mentions.model import ClockMention, ScoreMention
from extract.record.alternatives import tell_differences
from extract.record.doubtful import tell_doubts
from extract.record.explain import explain_events
from extract.record.level import level_reason
from extract.record.model import (
    Alternative,
    BoardEntry,
    BoutInfo,
    Challenge,
    ChallengeOutcome,
    ClockReading,
    Decided,
    Doubt,
    Event,
    Evidence,
    Flag,
    Origin,
    OwnLexicon,
    Pair,
    PassedOver,
    Record,
    Result,
    RidingTime,
    Search,
    SideInfo,
    Slip,
    Source,
    Statement,
    Stretch,
    StretchKind,
    Victory,
    WonBy,
)
from extract.rules.base import Corner, Outcome
from extract.transcript.cue import hundredths

#: Grades of times left that are kept even if they do not fit the other times, because they were said so plainly.
_PLAIN_CLOCKS = ("m:ss+remain", "words+remain", "time pair+remain")
#: The same time left within this many seconds is a repetition.
_SAME_S = 4.0
#: So close together, in seconds, two times left that differ by so much at the most are one, read twice.
_READ_AGAIN_S, _READ_OFF_S = 2.5, 2


#: The result of a talk of which nothing was understood.
NO_RESULT = Result(None, "unknown", (0, 0), None, 0.0)


def build_record(
    bout: BoutRead,
    flags: Sequence[Finding],
    origins: Mapping[str, Origin],
    alternatives: int = 0,
    decisions: Sequence[Decided] = (),
) -> Record:
    """The record of one bout. ``origins`` says where ``rules`` and ``edition`` came from. No more than
    ``alternatives`` of the next best logs are listed. ``decisions`` are those in force."""
    transcript, heard, log, rules = bout.recording, bout.heard, bout.log, bout.rules
    checked = bout.statements
    statements = tuple(
        _statement(n, c, heard, log.facts.meant.get(c.mention)) for n, c in enumerate(checked, 1)
    )
    clock = tuple(_clocks(heard, log))
    clock_ids = {index: reading.id for index, reading in clock}
    reasons = explain_events(log, heard, checked, bout.sides)
    events = tuple(
        _event(n, e, why, heard, log.facts.decided(e.entry))
        for n, (e, why) in enumerate(zip(log.events, reasons, strict=True), 1)
    )
    names: dict[str, Mapping[int, str]] = {
        "statement": {n: s.id for n, s in enumerate(statements)},
        "event": {n: e.id for n, e in enumerate(events)},
        "challenge": {n: f"h{n + 1}" for n in range(len(log.best.reviews))},
        "clock": clock_ids,
    }
    return Record(
        source=Source(
            transcript.file,
            transcript.format,
            transcript.sha256,
            len(transcript.cues),
            round(transcript.seconds, 2),
            transcript.part,
            "by order" if transcript.by_order else None,
            transcript.order,
        ),
        bout=BoutInfo(
            rules.name, rules.edition, _side(heard, "red"), _side(heard, "blue"), origins, rules.age_group
        ),
        events=events,
        board=_board(log, transcript.begins),
        statements=statements,
        clock=tuple(reading for _, reading in clock),
        challenges=_challenges(heard, log),
        result=_result(bout) if bout.understood else NO_RESULT,
        flags=tuple(_flag(n, f, bout, names) for n, f in enumerate(flags, 1)),
        riding_time=tuple(_riding(ride) for ride in bout.rides),
        search=Search(round(log.dropped, 6), log.lost),
        lexicons=tuple(OwnLexicon(file.name, file.sha256) for file in heard.lexicon.own),
        doubts=() if bout.goes_on else _doubts(bout),
        decisions=tuple(decisions),
        stretches=tuple(_stretch(one, heard) for one in bout.stretches),
        passed_over=() if bout.goes_on else tuple(_passed_over(bout)),
        alternatives=tuple(_alternative(other, bout) for other in other_logs(log, alternatives)),
    )


def _doubts(bout: BoutRead) -> tuple[Doubt, ...]:
    names = {s.mention: f"s{n}" for n, s in enumerate(bout.statements, 1)}
    return tell_doubts(bout.log, names, bout.sides)


def _board(log: BoutLog, begins: float) -> tuple[BoardEntry, ...]:
    """What the board showed from the beginning of the recording, or of its part, on."""
    shown = {begins: (0, 0)}
    for n, (t, score) in enumerate(log.board):
        # The log's own begins with the first word.
        if n or any(score):
            shown[hundredths(t)] = score
    return tuple(BoardEntry(t, *score) for t, score in shown.items())


def _side(heard: Heard, corner: str) -> SideInfo:
    person = heard.cast.red if corner == "red" else heard.cast.blue
    return SideInfo(
        person.name or None,
        person.name_from if person.name else None,
        person.team or None,
        person.team_from if person.team else None,
    )


def _evidence(heard: Heard, indices: Sequence[int]) -> tuple[Evidence, ...]:
    mentions = [heard.mentions[i] for i in dict.fromkeys(indices)]
    places = [(heard.place(m), m.row) for m in mentions]
    return tuple(Evidence(p.cue, p.start, p.end, p.text, row) for p, row in places)


def _event(n: int, event: LogEvent, why: str, heard: Heard, decided: str | None) -> Event:
    entry = event.entry
    move = entry.move
    return Event(
        id=f"e{n}",
        t=hundredths(event.t),
        t_range=(hundredths(event.low), hundredths(event.high)),
        period=max(event.period, 1),
        clock_s=event.clock,
        clock_uncertainty_s=event.clock_uncertainty,
        kind=move.kind,
        corner=move.corner if move.kind not in ("period_start", "restart") else None,
        against=move.against,
        points=move.points,
        status="stands" if entry.overturned is None else "overturned",
        basis=entry.basis,
        confidence=event.confidence,
        evidence=_evidence(heard, entry.mentions),
        score_after=event.score_after,
        why=why,
        decided=decided,
    )


def _statement(n: int, c: StatementCheck, heard: Heard, decided: str | None) -> Statement:
    place = heard.place(heard.mentions[c.mention])
    return Statement(
        id=f"s{n}",
        t=hundredths(heard.said_at(heard.mentions[c.mention])),
        cue=place.cue,
        start=place.start,
        end=place.end,
        text=place.text,
        said=c.said,
        margin=c.margin,
        leader=c.leader,
        computed=c.computed,
        verdict=c.verdict,
        slip=cast("Slip | None", c.slip),
        confidence=c.confidence,
        why=c.why,
        decided=decided,
        row=heard.mentions[c.mention].row,
    )


def _clocks(heard: Heard, log: BoutLog) -> list[tuple[int, ClockReading]]:
    """The times left on the bout clock, with the position of each mention. If a value is said twice at once, the first
    is kept; if it is read again and put right, the second. A time that fits no other is kept only if the words are
    plain."""
    out: list[tuple[int, ClockReading]] = []
    kept: dict[int, list[float]] = defaultdict(list)
    last: TimeCheck | None = None
    for reading in sorted(log.frame.readings, key=lambda r: r.index):
        mention = heard.mentions[reading.index]
        if not isinstance(mention, ClockMention):
            continue
        # A time that somebody asks for is on the clock where it fits: "a minute twenty, is it?"
        if mention.stance in ("hypothetical", "recalled") and not mention.grade.endswith("+remain"):
            continue
        if not reading.fits and mention.grade not in _PLAIN_CLOCKS:
            continue
        same = kept[reading.seconds]
        near = same[bisect_left(same, reading.t - _SAME_S) : bisect_right(same, reading.t + _SAME_S)]
        if any(abs(t - reading.t) < _SAME_S for t in near):
            continue
        again = last is not None and _read_again(last, reading)
        if again:
            out.pop()
        last = None if again else reading
        place = heard.place(mention)
        insort(same, heard.said_at(mention))
        out.append(
            (
                reading.index,
                ClockReading(
                    f"c{len(out) + 1}",
                    hundredths(heard.said_at(mention)),
                    place.cue,
                    place.start,
                    place.end,
                    place.text,
                    float(reading.seconds),
                    mention.bound,
                    reading.period,
                    row=mention.row,
                ),
            )
        )
    return out


def _read_again(before: TimeCheck, reading: TimeCheck) -> bool:
    """Whether a time left is the one before it, read again a moment later: "fifty-seven, no, fifty-eight seconds"."""
    return 0 <= reading.t - before.t < _READ_AGAIN_S and abs(reading.seconds - before.seconds) <= _READ_OFF_S


def _challenges(heard: Heard, log: BoutLog) -> tuple[Challenge, ...]:
    changed: dict[int | None, list[str]] = defaultdict(list)
    for k, event in enumerate(log.events, 1):
        for n in {event.entry.review, event.entry.overturned}:
            changed[n].append(f"e{k}")
    return tuple(_challenge(n, tuple(changed[n]), heard, log) for n in range(len(log.best.reviews)))


def _challenge(n: int, events: tuple[str, ...], heard: Heard, log: BoutLog) -> Challenge:
    review = log.best.reviews[n]
    words = [i for i in (review.asked, review.answer) if i is not None]
    return Challenge(
        f"h{n + 1}",
        review.t,
        review.by,
        cast(ChallengeOutcome, review.outcome),
        review.t_outcome,
        events,
        _evidence(heard, words),
        review.fact,
    )


def _stretch(stretch: StretchOfTalk, heard: Heard) -> Stretch:
    first = heard.document.place(stretch.start, stretch.start + 1)
    last = heard.document.place(stretch.end - 1, stretch.end)
    return Stretch(
        hundredths(stretch.t),
        hundredths(stretch.until),
        first.cue,
        first.start,
        last.cue,
        last.end,
        cast(StretchKind, stretch.kind),
        round(stretch.confidence, 4),
    )


def _passed_over(bout: BoutRead) -> Iterator[PassedOver]:
    """The scores heard that were taken for none of this bout."""
    kept = {taken.said.mention for taken in bout.log.taken}
    begins = [stretch.start for stretch in bout.stretches]
    for k, m in enumerate(bout.mentions):
        if isinstance(m, ScoreMention) and k not in kept:
            place, of = bout.heard.place(m), bout.stretches[bisect_right(begins, m.start) - 1]
            yield PassedOver(
                hundredths(bout.heard.said_at(m)),
                place.cue,
                place.start,
                place.end,
                place.text,
                cast(StretchKind, of.kind),
                round(of.confidence, 4),
            )


def _riding(ride: Ride) -> RidingTime:
    leader: Corner | None = "red" if ride.balance > 0 else "blue" if ride.balance < 0 else None
    return RidingTime(
        ride.t, ride.period, ride.clock, leader, abs(ride.balance), ride.uncertainty, ride.control
    )


def _result(bout: BoutRead) -> Result:
    log, mentions, rules = bout.log, bout.mentions, bout.rules
    last = [c for c in bout.statements if c.said is not None and log.frame.at_end(mentions[c.mention].t)]
    finals = [c for c in last if cast(ScoreMention, mentions[c.mention]).final] or last
    said: Pair | None = finals[-1].said if finals else None
    winner, by = won(log.outcome, log, mentions)
    kind = rules.victory(Outcome(winner, by), log.best.state)
    victory = None if kind is None else Victory(kind.code, kind.name, kind.points)
    rows = [m.row for m in results_at_end(log, mentions) if m.winner == winner is not None]
    sure = round(log.outcome_confidence, 4)
    why = level_reason(log, rules, bout.sides) if by == "criteria" else ""
    return Result(winner, cast(WonBy, by), log.best.score, said, sure, victory, rows[0] if rows else "", why)


def _alternative(other: OtherLog, bout: BoutRead) -> Alternative:
    winner, by = won(other.reading.outcome, bout.log, bout.mentions)
    differences = tell_differences(other, bout.log, bout.heard, bout.sides, winner, cast(WonBy, by))
    return Alternative(
        round(other.share, 4), other.reading.hypothesis.score, winner, cast(WonBy, by), differences
    )


def _flag(n: int, f: Finding, bout: BoutRead, names: Mapping[str, Mapping[int, str]]) -> Flag:
    heard, frame = bout.heard, bout.log.frame
    place = heard.place(heard.mentions[f.mention]) if f.mention is not None else None
    refs = tuple(names[kind][k] for kind, k in f.refs if k in names[kind])
    period = frame.period_at(f.t)
    clock = frame.clock_at(f.t) if period is not None and bout.log.order is None else None
    return Flag(
        id=f"f{n}",
        kind=f.kind,
        severity=f.severity,
        t=hundredths(heard.said_at(heard.mentions[f.mention]) if f.mention is not None else f.t),
        cue=place.cue if place else None,
        text=place.text if place else "",
        said=f.said,
        computed=f.computed,
        why=f.why,
        refs=refs,
        period=None if period is None else period.number,
        clock_s=None if clock is None else clock[0],
        clock_uncertainty_s=None if clock is None else clock[1],
        confidence=_sure_of(f, bout),
    )


def _sure_of(f: Finding, bout: BoutRead) -> float | None:
    """How sure a flag is, where it is about one score or one event."""
    for kind, k in f.refs:
        if kind == "statement":
            return bout.statements[k].confidence
        if kind == "event":
            return round(bout.log.events[k].confidence, 4)
    return None
