"""What changed, as JSON Lines for other programs: an object a line with keys that stay as they are.

Every object has the keys of ``COMMON``, then those of its event in ``KEYS``. docs/live.md explains them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from functools import singledispatchmethod
from pathlib import Path
from types import MappingProxyType
from typing import Any

from extract.checks.sides import leading
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
from extract.live.model import SCHEMA, Board, LiveCall, LiveFlag
from extract.live.told_lines import sides_of
from extract.record.plain import seen_json

#: Keys of every object.
COMMON = ("schema", "event", "n", "id", "bout", "t", "now")
_CALL = (
    "call", "call_t", "kind", "corner", "points", "text", "period", "clock_s", "score_after", "status", "source",
    "confidence", "tentative",
)  # fmt: skip
_FLAG = (
    "flag", "kind", "head", "said", "should_be", "said_score", "should_be_score", "sentence", "why", "speaker", "text",
    "before", "after", "cue_t", "period", "clock_s", "raised", "delay", "confidence", "state", "answer",
)  # fmt: skip
#: The keys of each event besides.
KEYS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "start": ("source", "version", "resumed", "page"),
        "bout": ("rules", "edition"),
        "name": ("corner", "name", "full_name"),
        "period": ("period",),
        "call": (*_CALL, "changed"),
        "taken_back": (*_CALL, "score"),
        "score": ("score", "before", "text", "confidence", "by"),
        "board": (
            "rules", "edition", "red", "blue", "score", "confidence", "since", "tentative", "period", "clock_s",
            "clock_uncertainty_s", "activity", "activity_s", "leader", "leads_by", "why", "would_be", "needs", "over",
        ),
        "flag": _FLAG,
        "flag_withdrawn": _FLAG,
        "flag_answered": _FLAG,
        "over": ("text",),
        "notice": ("kind", "text"),
        "stream": ("state", "captions"),
        "end": ("captions", "written"),
    }
)  # fmt: skip
#: A clock that is read to have run otherwise by more than so many seconds is another one.
_CLOCK_S = 2.0
#: What runs on by itself.
_RUNNING = frozenset({"t", "clock_s", "clock_uncertainty_s", "activity_s", "confidence"})


class JsonTeller:
    """Makes the objects of a run. It counts them, and knows the board that it told last."""

    def __init__(self) -> None:
        self._number = 0
        self._board: Board | None = None

    def start(self, source: str, *, resumed: bool, page: str | None) -> str:
        """The first line: where the captions come from, whether a run that was broken off goes on, and the address of
        the page."""
        from importlib.metadata import version

        told = {"source": source, "version": version("saidscore"), "resumed": resumed, "page": page}
        return self._line("start", "start", None, 0.0, 0.0, told)

    def lines(self, told: Sequence[Change], board: Board | None) -> Iterator[str]:
        """A line for each change, and one for the board where it is another one."""
        for change in told:
            event, keys = self._told(change)
            yield self._line(event, change.id, change.bout, change.t, change.now, keys)
        if board is not None and (self._board is None or board_differs(self._board, board)):
            self._board = board
            yield self.board(board)

    def board(self, board: Board) -> str:
        """The line of a board."""
        return self._line("board", f"board {board.bout}", board.bout, board.t, board.t, board_keys(board))

    def end(self, now: float, captions: int, written: Sequence[Path]) -> str:
        """The last line: how many captions there were, and which files were written."""
        told = {"captions": captions, "written": [str(path) for path in written]}
        return self._line("end", "end", None, now, now, told)

    def _line(
        self, event: str, id: str, bout: int | None, t: float, now: float, keys: Mapping[str, Any]
    ) -> str:
        self._number += 1
        common = {
            "schema": SCHEMA,
            "event": event,
            "n": self._number,
            "id": id,
            "bout": bout,
            "t": round(t, 3),
            "now": round(now, 3),
        }
        return seen_json(json.dumps({**common, **keys}, ensure_ascii=False, allow_nan=False))

    @singledispatchmethod
    def _told(self, change: Change) -> tuple[str, Mapping[str, Any]]:
        raise TypeError(type(change))

    @_told.register
    def _(self, change: BoutBegun) -> tuple[str, Mapping[str, Any]]:
        return "bout", {"rules": change.board.rules, "edition": change.board.edition}

    @_told.register
    def _(self, change: NameLearned) -> tuple[str, Mapping[str, Any]]:
        return "name", {"corner": change.corner, "name": change.name, "full_name": change.full_name}

    @_told.register
    def _(self, change: PeriodBegun) -> tuple[str, Mapping[str, Any]]:
        return "period", {"period": change.period}

    @_told.register
    def _(self, change: CallTold) -> tuple[str, Mapping[str, Any]]:
        return "call", {**_call(change.call), "changed": change.was is not None}

    @_told.register
    def _(self, change: TakenBack) -> tuple[str, Mapping[str, Any]]:
        return "taken_back", {**_call(change.call), "score": change.board.score}

    @_told.register
    def _(self, change: ScoreChanged) -> tuple[str, Mapping[str, Any]]:
        board = change.board
        return "score", {
            "score": board.score,
            "before": change.before,
            "text": leading(sides_of(board), board.score),
            "confidence": round(board.confidence, 4),
            "by": change.by.id if change.by is not None else None,
        }

    @_told.register
    def _(self, change: FlagTold) -> tuple[str, Mapping[str, Any]]:
        return "flag" if change.what == "raised" else f"flag_{change.what}", _flag(change.flag)

    @_told.register
    def _(self, change: BoutOver) -> tuple[str, Mapping[str, Any]]:
        return "over", {"text": change.text}

    @_told.register
    def _(self, change: NoticeTold) -> tuple[str, Mapping[str, Any]]:
        return "notice", {"kind": change.notice.kind, "text": change.notice.text}

    @_told.register
    def _(self, change: StreamTold) -> tuple[str, Mapping[str, Any]]:
        return "stream", {"state": change.state, "captions": change.captions}


def _call(call: LiveCall) -> dict[str, Any]:
    keys = {key: getattr(call, key) for key in _CALL if hasattr(call, key)}
    return {
        **dict.fromkeys(_CALL),
        **keys,
        "call": call.id,
        "call_t": round(call.t, 3),
        "clock_s": _rounded(call.clock_s),
        "confidence": round(call.confidence, 4),
    }


def _flag(flag: LiveFlag) -> dict[str, Any]:
    own = {key: getattr(flag, key) for key in _FLAG if hasattr(flag, key)}
    spoken = flag.spoken
    return {
        **dict.fromkeys(_FLAG),
        **own,
        "flag": flag.id,
        "speaker": spoken.speaker,
        "text": spoken.words,
        "before": spoken.before,
        "after": spoken.after,
        "clock_s": _rounded(flag.clock_s),
        "raised": round(flag.raised, 3),
        "delay": round(flag.raised - flag.t, 3),
        "confidence": round(flag.confidence, 4),
    }


def board_keys(board: Board) -> dict[str, Any]:
    """The keys of a board."""
    keys = {key: getattr(board, key) for key in KEYS["board"]}
    return {
        **keys,
        "red": asdict(board.red),
        "blue": asdict(board.blue),
        "would_be": [asdict(each) for each in board.would_be],
        "confidence": round(board.confidence, 4),
        **{key: _rounded(keys[key]) for key in ("since", "clock_s", "clock_uncertainty_s", "activity_s")},
    }


def board_differs(last: Board, board: Board) -> bool:
    """Whether a board tells something else than that the clocks ran on."""
    old, new = board_keys(last), board_keys(board)
    if any(old[key] != new[key] for key in KEYS["board"] if key not in _RUNNING):
        return True
    if round(last.confidence, 2) != round(board.confidence, 2):
        return True
    passed = board.t - last.t
    return any(
        _jumped(before, after, passed)
        for before, after in ((last.clock_s, board.clock_s), (last.activity_s, board.activity_s))
    )


def _jumped(before: float | None, after: float | None, passed: float) -> bool:
    if before is None or after is None:
        return before is not after
    return abs(max(before - passed, 0) - after) > _CLOCK_S


def _rounded(seconds: float | None) -> float | None:
    return None if seconds is None else round(seconds, 3)
