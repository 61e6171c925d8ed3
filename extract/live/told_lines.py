"""What changed, as plain lines: one a change, the time first, what needs an answer in capitals."""

from __future__ import annotations

from collections.abc import Iterator
from functools import singledispatch

from extract.checks.sides import Sides, leading
from extract.checks.words import clock_text, words_text
from extract.live.changes import (
    BoutBegun,
    BoutOver,
    CallTold,
    Change,
    FlagTold,
    NameLearned,
    NoticeTold,
    PeriodBegun,
    ScoreChanged,
    StreamTold,
    TakenBack,
)
from extract.live.model import Answer, Board, LiveFlag
from extract.record.plain import percent, printable
from extract.rules.styles import style_name

#: What a person said of a flag, in words.
ANSWERS: dict[Answer, str] = {
    "right": "the stated score was right",
    "slip": "it was a slip",
    "other_bout": "it is about another bout",
}


def change_line(change: Change) -> str | None:
    """A change as one line, safe for a terminal; None where a line would only repeat what another one says.

    It begins with the time of the recording: ``[4:05] OLD SCORE: said 4-0 Skelvara; should be 2-0 Skelvara``.
    """
    text = _text(change)
    return None if text is None else f"[{clock_text(change.t)}] {printable(text)}"


@singledispatch
def _text(change: Change) -> str | None:
    raise TypeError(type(change))


@_text.register
def _(change: BoutBegun) -> str:
    board = change.board
    return f"bout {board.bout}: {style_name(board.rules)}, rules of {board.edition}"


@_text.register
def _(change: NameLearned) -> str:
    return f"in {change.corner}: {change.full_name}"


@_text.register
def _(change: PeriodBegun) -> str:
    return f"period {change.period}"


@_text.register
def _(change: CallTold) -> str | None:
    call, was = change.call, change.was
    inferred = ", inferred" if call.source == "inferred" else ""
    confidence = f" (confidence {percent(call.confidence)}{inferred})"
    if was is None:
        overturned = "overturned: " if call.status == "overturned" else ""
        return f"{overturned}{call.text}{confidence}"
    call_at = f"{call.text} at {clock_text(call.t)}"
    if was.status != call.status:
        return f"{'overturned' if call.status == 'overturned' else 'stands again'}: {call_at}"
    if was.text != call.text:
        return f"CHANGED: {call_at}{confidence}; was {was.text}"
    # The rest follows from other lines.
    return None


@_text.register
def _(change: TakenBack) -> str:
    score = leading(sides_of(change.board), change.board.score)
    return f"TAKEN BACK: {change.call.text} at {clock_text(change.call.t)}; the score is {score}"


@_text.register
def _(change: ScoreChanged) -> str:
    board = change.board
    return f"the score is {leading(sides_of(board), board.score)} (confidence {percent(board.confidence)})"


@_text.register
def _(change: FlagTold) -> str:
    flag = change.flag
    if change.what == "raised":
        return flag_text(flag)
    about = f"{flag.head.upper()} ({slip_words(flag)})"
    if change.what == "withdrawn":
        return f"WITHDRAWN: {about}{f': {flag.why}' if flag.why else ''}"
    return f"ANSWERED: {about}: {ANSWERS[flag.answer] if flag.answer else ''}"


@_text.register
def _(change: BoutOver) -> str:
    return f"bout {change.bout} over: {change.text}" if change.text else f"bout {change.bout} goes on"


@_text.register
def _(change: NoticeTold) -> str:
    return change.notice.text


@_text.register
def _(change: StreamTold) -> str:
    what = {"stalled": "no captions come", "running": "captions come again", "ended": "ended"}
    count = f"; {change.captions} captions" if change.state == "ended" else ""
    return f"stream: {what.get(change.state, change.state)}{count}"


def flag_text(flag: LiveFlag) -> str:
    """A flag in one line: its kind of slip, what was said and what it should be, the words, and the sentence that corrects
    it."""
    speaker = f"{flag.spoken.speaker}: " if flag.spoken.speaker else ""
    words = f" {speaker}{words_text(flag.spoken.words)}" if flag.spoken.words else ""
    sentence = f" {flag.sentence}" if flag.sentence else ""
    return f"{flag.head.upper()}: {slip_words(flag)} (confidence {percent(flag.confidence)}){words}{sentence}"


def slip_words(flag: LiveFlag) -> str:
    """What was said and what it should be, as far as there is either."""
    should_be = f"should be {flag.should_be}" if flag.should_be else ""
    return "; ".join(part for part in (f"said {flag.said}" if flag.said else "", should_be) if part)


def sides_of(board: Board) -> Sides:
    """The short names of both sides."""
    return Sides(board.red.name, board.blue.name)


def board_lines(board: Board) -> Iterator[str]:
    """The score at a moment, who leads and why, and what is left: one line each, safe for a terminal."""
    for line in _board_lines(board):
        yield printable(line)


def _board_lines(board: Board) -> Iterator[str]:
    score = leading(sides_of(board), board.score)
    tentative = ", tentative" if board.tentative else ""
    yield f"The score is {score} (confidence {percent(board.confidence)}{tentative})"
    yield lead_sentence(board)
    if not board.over:
        yield clock_words(board)
    if activity := activity_words(board):
        yield activity
    for corner in (board.red, board.blue):
        if counts := ", ".join(counts_of(corner.challenges, corner.cautions, corner.warnings)):
            yield f"{corner.name}: {counts}"
    yield from (would.text for would in board.would_be)
    yield from board.needs
    if board.over:
        yield f"Over: {board.over}"


def lead_sentence(board: Board) -> str:
    """Who leads, by what, and why."""
    if board.leader is None:
        return f"Nobody leads{f': {board.why}' if board.why else ''}"
    by = f" {'on' if board.leads_by == 'criteria' else 'by'} {board.leads_by}" if board.leads_by else ""
    return f"{sides_of(board).name(board.leader)} leads{by}{f': {board.why}' if board.why else ''}"


def clock_words(board: Board, ran_on_s: float = 0.0) -> str:
    """The period and what is left of it, when so many seconds have passed since: "Period 2, about 1:38 left (±17 s)"."""
    if board.clock_s is None:
        return f"Period {board.period}"
    left = f"{clock_text(max(board.clock_s - ran_on_s, 0))} left"
    around = board.clock_uncertainty_s or 0
    return f"Period {board.period}, " + (f"about {left} (±{around:.0f} s)" if around >= 1 else left)


def activity_words(board: Board, ran_on_s: float = 0.0) -> str:
    """Who is on the activity clock, and what is left of it; "" for nobody."""
    if board.activity is None:
        return ""
    who = sides_of(board).name(board.activity)
    left = "" if board.activity_s is None else f", {max(board.activity_s - ran_on_s, 0):.0f} s left"
    return f"Activity clock: {who}{left}"


def counts_of(challenges: int | None, cautions: int, warnings: int) -> Iterator[str]:
    """Challenges left, cautions and warnings of one side, as far as there is something to say."""
    if challenges is not None:
        yield f"{challenges} challenge{'' if challenges == 1 else 's'} left"
    if cautions:
        yield f"{cautions} caution{'' if cautions == 1 else 's'}"
    if warnings:
        yield f"{warnings} warning{'' if warnings == 1 else 's'}"
