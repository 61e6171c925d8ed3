"""What the page shows of a view, in words and as HTML."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from extract.checks.sides import Sides, leading
from extract.checks.words import clock_text
from extract.live.key_table import KEYS
from extract.live.model import Board, View
from extract.record.html import templates_of
from extract.record.model import NOTE
from extract.record.plain import percent, printable

_TEMPLATES = Path(__file__).with_name("templates")
#: A clock is "about" so much from here on, and its uncertainty is told, seconds.
LOOSE_S = 5.0
#: So many calls are listed beside a flag that waits, and where there is none; so many earlier flags and notices.
_CALLS_BESIDE, _CALLS, _EARLIER, _NOTICES = 4, 10, 3, 2
#: How an answer is told.
_ANSWERED = {"right": "it was right", "slip": "a slip of the speaker", "other_bout": "of another bout"}
_STATES = {
    "waiting": "waiting for captions",
    "running": "live",
    "stalled": "no captions are coming",
    "ended": "the stream has ended",
}


def view_html(view: View) -> str:
    """The part of the page that changes."""
    return templates_of(_TEMPLATES).get_template("live_view.html.j2").render(**_view(view))


def live_page(view: View, *, base: str, lost_after_s: float) -> str:
    """The whole page. ``base`` is the beginning of all its addresses. It counts as cut off when nothing has come from the
    desk for ``lost_after_s`` seconds."""
    page = templates_of(_TEMPLATES).get_template("live.html.j2")
    return page.render(**_view(view), base=base, keys=KEYS, lost_after_s=lost_after_s, note=NOTE)


def moment_text(board: Board) -> str:
    """The score at a moment in a sentence.

    "At 5:40: 5-3 Brannoway; period 2, 1:53 left."
    """
    said = f"At {clock_text(board.t)}: {printable(leading(_sides(board), board.score))}"
    if not board.period:
        return f"{said}."
    left = "" if board.clock_s is None else f", {about(board.clock_s, board.clock_uncertainty_s)} left"
    return f"{said}; period {board.period}{left}."


def about(clock_s: float, uncertainty_s: float | None) -> str:
    """A bout clock in words.

    >>> about(134.0, 2.0), about(134.0, 11.6)
    ('2:14', 'about 2:14 ±12')
    """
    if uncertainty_s is None or uncertainty_s < LOOSE_S:
        return clock_text(clock_s)
    return f"about {clock_text(clock_s)} ±{uncertainty_s:.0f}"


def _view(view: View) -> Mapping[str, Any]:
    board = view.board
    waits = [flag for flag in view.flags if flag.state == "open"]
    return {
        "view": view,
        "board": board,
        "sides": None if board is None else _sides(board),
        "open": waits,
        "earlier": [flag for flag in view.flags if flag.state != "open"][:_EARLIER],
        "calls": view.calls[: _CALLS_BESIDE if waits else _CALLS],
        "notices": view.notices[: -_NOTICES - 1 : -1],
        "state": _STATES[view.state],
        "answered": _ANSWERED,
        "loose_s": LOOSE_S,
        "about": about,
        "clock": clock_text,
        "leading": leading,
        "percent": percent,
        "printable": printable,
    }


def _sides(board: Board) -> Sides:
    return Sides(board.red.name, board.blue.name)
