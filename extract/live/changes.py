"""What there is to tell when a screen goes from one view to the next: what began, what was learned, what changed.

Nothing is told twice. What was told before, in this run or before a restart, is known by the ids of its changes. The
calls and the open flags of the running bout are all in a view: one of them that is missing was taken back. Those of an
earlier bout are let go in silence.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from operator import attrgetter
from typing import Any, Literal

from extract.live.model import Board, LiveCall, LiveFlag, Notice, StreamState, View
from extract.record.model import Pair
from extract.rules.base import Corner

#: Notices about what the views themselves show: it is told from these.
_SHOWN = frozenset({"taken_back", "name", "bout", "stalled", "resumed"})
_CORNERS: tuple[Corner, Corner] = ("red", "blue")


@dataclass(frozen=True, slots=True)
class Change:
    """One thing to tell. ``id`` is the same whenever the same is told; what stands before the "|" in it names what it is
    about. ``t`` is when it was, ``now`` where the recording stood when it was told, both in seconds of the recording.
    ``bout`` is the number of the bout, None for what is about the stream."""

    id: str
    t: float
    now: float
    bout: int | None

    @property
    def about(self) -> str:
        """What it is about: of two changes about the same, the later one holds."""
        return self.id.partition("|")[0]


@dataclass(frozen=True, slots=True)
class BoutBegun(Change):
    """A bout began, or its rules turned out to be others."""

    board: Board


@dataclass(frozen=True, slots=True)
class NameLearned(Change):
    """Who is in a corner. ``name`` is the short one."""

    corner: Corner
    name: str
    full_name: str


@dataclass(frozen=True, slots=True)
class PeriodBegun(Change):
    """A period began that is not the first."""

    period: int


@dataclass(frozen=True, slots=True)
class CallTold(Change):
    """Points or a warning came into the log, or changed there (``was`` is how it stood before)."""

    call: LiveCall
    was: LiveCall | None


@dataclass(frozen=True, slots=True)
class TakenBack(Change):
    """A call is in the log no more. ``board`` is the score without it."""

    call: LiveCall
    board: Board


@dataclass(frozen=True, slots=True)
class ScoreChanged(Change):
    """The score is another. ``by`` is the newest call if that brought it: it is new, or stands again. None where one was
    taken back or overturned."""

    board: Board
    before: Pair
    by: LiveCall | None


@dataclass(frozen=True, slots=True)
class FlagTold(Change):
    """A flag was raised (or says something else now), withdrawn or answered: its ``state`` says which."""

    flag: LiveFlag
    what: Literal["raised", "withdrawn", "answered"]


@dataclass(frozen=True, slots=True)
class BoutOver(Change):
    """How a bout ended. "" where it turns out to go on."""

    text: str


@dataclass(frozen=True, slots=True)
class NoticeTold(Change):
    """A notice of the stream."""

    notice: Notice


@dataclass(frozen=True, slots=True)
class StreamTold(Change):
    """The stream stalled, ran again (``running``) or ended."""

    state: StreamState
    captions: int


def changes(before: View | None, now: View, told: frozenset[str] = frozenset()) -> Iterator[Change]:
    """What there is to tell between two views, in the order in which to tell it. ``before`` is None for the first view.
    ``told`` are the ids of the changes that were told last about each thing: these are left out."""
    for change in _changes(before, now, told):
        if change.id not in told:
            yield change


def _changes(before: View | None, now: View, told: frozenset[str]) -> Iterator[Change]:
    if before is None or before.state != now.state:
        yield from _stream(before, now)
    yield from _notices(before, now)
    yield from _earlier_ends(before, now, told)
    board = now.board
    if board is not None:
        last = before.board if before is not None else None
        same = last if last is not None and last.bout == board.bout else None
        yield from _bout(same, board, now.t)
        yield from _calls(before, now, board)
        yield from _score(before, same, board, now, told)
    yield from _flags(before, now, told)
    if board is not None and board.over != (same.over if same is not None else ""):
        yield BoutOver(_id(f"over {board.bout}", board.over), board.t, now.t, board.bout, board.over)
    if now.state == "ended" and (before is None or before.state != "ended"):
        yield StreamTold(_id("stream", "ended"), now.t, now.t, None, "ended", now.captions)


def _stream(before: View | None, now: View) -> Iterator[StreamTold]:
    # That the first captions came is seen; the end is told after what they brought.
    again = now.state == "running" and before is not None and before.state in ("stalled", "ended")
    if now.state == "stalled" or again:
        yield StreamTold(_id("stream", now.state), now.t, now.t, None, now.state, now.captions)


def _notices(before: View | None, now: View) -> Iterator[NoticeTold]:
    last = before.notices[-1].number if before is not None and before.notices else 0
    for notice in now.notices:
        if notice.number > last and notice.kind not in _SHOWN:
            about = _id(f"notice {notice.number}", notice.kind, notice.text)
            yield NoticeTold(about, notice.t, now.t, None, notice)


def _earlier_ends(before: View | None, now: View, told: frozenset[str]) -> Iterator[BoutOver]:
    """The ends of bouts that were told of only when the next one had begun."""
    known = _numbered_ends(before) if before is not None else {}
    if before is not None and before.board is not None and before.board.over:
        known[before.board.bout] = before.board.over
    for bout, text in _numbered_ends(now).items():
        if bout not in known and not _was_told(f"over {bout}", told):
            yield BoutOver(_id(f"over {bout}", text), now.t, now.t, bout, text)


def _numbered_ends(view: View) -> dict[int, str]:
    running = view.board.bout if view.board is not None else len(view.bouts) + 1
    return dict(enumerate(view.bouts, running - len(view.bouts)))


def _bout(last: Board | None, board: Board, now: float) -> Iterator[Change]:
    if last is None or (last.rules, last.edition) != (board.rules, board.edition):
        yield BoutBegun(
            _id(f"bout {board.bout}", board.rules, board.edition), board.t, now, board.bout, board
        )
    for corner in _CORNERS:
        side = board.red if corner == "red" else board.blue
        known = None if last is None else (last.red if corner == "red" else last.blue)
        if side.full_name and (known is None or side.full_name != known.full_name):
            about = _id(f"name {board.bout} {corner}", side.full_name)
            yield NameLearned(about, board.t, now, board.bout, corner, side.name, side.full_name)
    if board.period != (last.period if last is not None else 1):
        yield PeriodBegun(_id(f"period {board.bout}", board.period), board.t, now, board.bout, board.period)


def _calls(before: View | None, now: View, board: Board) -> Iterator[CallTold | TakenBack]:
    known = _by_id(before.calls) if before is not None else {}
    here = _by_id(now.calls)
    for (bout, name), call in sorted(known.items(), key=lambda item: item[1].t):
        if bout == board.bout and (bout, name) not in here:
            about = _id(f"call {bout} {name}", "taken back")
            yield TakenBack(about, now.t, now.t, bout, call, board)
    for (bout, name), call in sorted(here.items(), key=lambda item: item[1].t):
        was = known.get((bout, name))
        if was is None or call_content(was) != call_content(call):
            about = _id(f"call {bout} {name}", *call_content(call))
            yield CallTold(about, call.t if was is None else now.t, now.t, bout, call, was)


def _score(
    before: View | None, last: Board | None, board: Board, now: View, told: frozenset[str]
) -> Iterator[ScoreChanged]:
    score = last.score if last is not None else (0, 0)
    # A score that was told before a restart may be back at 0-0.
    if score == board.score and not (last is None and _was_told(f"score {board.bout}", told)):
        return
    stands = [
        call for call in now.calls if call.bout == board.bout and call.status == "stands" and call.points
    ]
    newest = max(stands, key=attrgetter("t"), default=None)
    known = _by_id(before.calls) if before is not None else {}
    was = known.get((newest.bout, newest.id)) if newest is not None else None
    by = None
    if newest is not None and newest.score_after == board.score and (was is None or was.status != "stands"):
        by = newest
    # A score that no new call brought is so from now on.
    t = board.since if by is not None and was is None else now.t
    yield ScoreChanged(_id(f"score {board.bout}", *board.score), t, now.t, board.bout, board, score, by)


def _flags(before: View | None, now: View, told: frozenset[str]) -> Iterator[FlagTold]:
    known = _by_id(before.flags) if before is not None else {}
    here = _by_id(now.flags)
    running = now.board.bout if now.board is not None else None
    for (bout, name), flag in sorted(known.items(), key=lambda item: item[1].t):
        # A flag that a person answered may be let go.
        if (bout, name) not in here and bout == running and flag.state == "open":
            yield _withdrawn(flag, now.t)
    for flag in sorted(here.values(), key=lambda flag: (flag.t, flag.raised)):
        was = known.get((flag.bout, flag.id))
        about = f"flag {flag.bout} {flag.id}"
        if flag.state == "open":
            if was is None or was.state != "open" or flag_content(was) != flag_content(flag):
                yield FlagTold(
                    _id(about, "raised", *flag_content(flag)), flag.t, now.t, flag.bout, flag, "raised"
                )
        elif flag.state == "answered":
            if was is None or (was.state, was.answer) != (flag.state, flag.answer):
                yield FlagTold(
                    _id(about, "answered", flag.answer), flag.t, now.t, flag.bout, flag, "answered"
                )
        # Nobody has to hear that a flag was withdrawn of which nobody heard.
        elif (was is not None and was.state != "withdrawn") or (was is None and _was_told(about, told)):
            yield _withdrawn(flag, now.t)


def _was_told(about: str, told: frozenset[str]) -> bool:
    return any(id.startswith(f"{about}|") for id in told)


def _withdrawn(flag: LiveFlag, now: float) -> FlagTold:
    return FlagTold(
        _id(f"flag {flag.bout} {flag.id}", "withdrawn"), flag.t, now, flag.bout, flag, "withdrawn"
    )


def call_content(call: LiveCall) -> tuple[Any, ...]:
    """What is told of a call. Its time and confidence may drift a little with each caption without a word."""
    return (
        call.kind,
        call.corner,
        call.points,
        call.period,
        call.text,
        call.status,
        call.source,
        call.score_after,
    )


def flag_content(flag: LiveFlag) -> tuple[Any, ...]:
    """What an open flag says."""
    return flag.head, flag.said, flag.should_be, flag.sentence


def _by_id(entries: tuple[Any, ...]) -> Mapping[tuple[int, str], Any]:
    return {(entry.bout, entry.id): entry for entry in entries}


def _id(about: str, *content: object) -> str:
    """The id of a change: what it is about, and a short sum of what it says."""
    return f"{about}|{zlib.crc32(repr(content).encode()):08x}"
