"""The full-screen view of a live desk as lines of a terminal: the flag that waits for an answer on top, then the score and
the clock, the last calls, the notices.

It is drawn anew from a view, with no state of its own. Everything that is told by a colour is told by a word too. All text
goes through ``printable`` and ``Text``: neither an escape sequence nor markup of a transcript reaches the terminal.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from rich.cells import cell_len
from rich.text import Text

from extract.checks.sides import leading
from extract.checks.words import clock_text, score_text
from extract.live.controls import Controls, open_flags
from extract.live.key_table import ANSWERS as ANSWER_KEYS
from extract.live.key_table import CORRECT, MOMENT, NEXT, QUIT, UNDO
from extract.live.model import Answer, Board, LiveCall, LiveFlag, LiveSide, View
from extract.live.told_lines import (
    ANSWERS,
    activity_words,
    clock_words,
    counts_of,
    lead_sentence,
    sides_of,
    slip_words,
)
from extract.record.plain import percent, printable

#: The least size that has room for all.
LEAST_WIDTH, LEAST_HEIGHT = 60, 20
_ANSWERS: dict[Answer, str] = {"right": "it was right", "slip": "a slip", "other_bout": "another bout"}
_STATES = {
    "waiting": "waiting for captions",
    "running": "running",
    "stalled": "STALLED: no captions come",
    "ended": "ENDED",
}
_STYLES = {"waiting": "dim", "running": "dim", "stalled": "bold yellow", "ended": "bold"}
_CHIPS = {"red": "bold white on red", "blue": "bold white on blue"}
#: The greatest number of lines of a sentence that corrects.
_SENTENCE_LINES = 2
#: From so many lines on there is room for blank ones, and for the address of the page.
_ROOMY = 30
#: With fewer columns the calls have no clock and no confidence.
_NARROW = 72
_BLANKS = re.compile("( +)")


def screen(
    view: View, controls: Controls, width: int, height: int, *, ran_on_s: float = 0.0, address: str = ""
) -> Text:
    """What the terminal shows in so many columns and lines. ``ran_on_s``: so many seconds ago the view was new, and its
    clocks have run since. ``address`` is that of the page."""
    flag = controls.flag(view)
    board = controls.board_at or view.board
    ran_on = ran_on_s if view.state == "running" and controls.board_at is None else 0.0
    roomy = height >= _ROOMY
    foot = _foot(controls, view, address if roomy else "")
    top = [_head(view, ran_on_s), *_flag_lines(flag, view, width), Text("")]
    top += _board_lines(board, controls, ran_on)
    room = height - len(top) - len(foot)
    lower = _lower(view, board, width, max(room, 0), roomy)
    lines = [*top[: height - len(foot)], *lower]
    lines += [Text("")] * (height - len(foot) - len(lines))
    lines += foot
    for line in lines:
        line.truncate(width, overflow="ellipsis")
    return Text("\n", no_wrap=True, overflow="crop", end="").join(lines[:height])


def _line(text: str, style: str = "") -> Text:
    return Text(_kept(text), style=style, no_wrap=True)


def _head(view: View, ran_on_s: float) -> Text:
    line = Text.assemble(("saidscore live", "bold"), "  ", (printable(view.source), "dim"), no_wrap=True)
    t = view.t + (ran_on_s if view.state == "running" else 0)
    line.append(f"  {clock_text(t)}")
    if view.board is not None:
        line.append(f"  bout {view.board.bout}")
    line.append(f"  {_STATES[view.state]}", _STYLES[view.state])
    return line


def _flag_lines(flag: LiveFlag | None, view: View, width: int) -> list[Text]:
    if flag is None:
        return [_line("No flag waits for an answer", "dim")]
    more = len(open_flags(view)) - 1
    head = f"{flag.head.upper()}  at {clock_text(flag.t)}  confidence {percent(flag.confidence)}"
    if more:
        head += f"  {more} more"
    first = _line(f"  {head}", "bold white on red")
    first.pad_right(max(width - first.cell_len, 0))
    spoken = flag.spoken.short(max((width - cell_len(flag.spoken.words)) // 3, 8))
    words = Text("  ", no_wrap=True)
    if spoken.speaker:
        words.append(f"{printable(spoken.speaker)}: ", "dim")
    words.append(f'"{_kept(spoken.before)}')
    words.append(_kept(spoken.words), "bold underline")
    words.append(f'{_kept(spoken.after)}"')
    lines = [first, _line(slip_words(flag), "bold"), words]
    lines[1].pad_left(2)
    lines += _wrapped(flag.sentence or flag.why, width - 2)
    keys = Text("  ", no_wrap=True)
    for key, answer in ANSWER_KEYS.items():
        what = _ANSWERS[answer]
        keys.append(f"[{key}]", "bold")
        keys.append(f" {what}   ")
    if more:
        keys.append(f"[{NEXT}]", "bold")
        keys.append(" next flag")
    return [*lines, keys]


def _kept(text: str) -> str:
    """Printable text with its blanks as they are."""
    return "".join(part if part.startswith(" ") else printable(part) for part in _BLANKS.split(text))


def _wrapped(text: str, width: int) -> Iterator[Text]:
    words, lines = printable(text).split(" "), [""]
    for word in words:
        joined = f"{lines[-1]} {word}".strip()
        if lines[-1] and cell_len(joined) > width and len(lines) < _SENTENCE_LINES:
            lines.append(word)
        else:
            lines[-1] = joined
    for line in lines:
        if line:
            yield Text(f"  {line}", no_wrap=True)


def _board_lines(board: Board | None, controls: Controls, ran_on_s: float) -> list[Text]:
    if board is None:
        return [_line("No bout has been heard yet", "dim")]
    lines = []
    if controls.board_at is not None:
        lines.append(_line(f"AS IT WAS AT {clock_text(board.t)} (Esc: back to now)", "bold reverse"))
    names = max(12, *(cell_len(printable(side.full_name or side.name)) for side in (board.red, board.blue)))
    for corner, side in (("red", board.red), ("blue", board.blue)):
        lines.append(_side_line(corner, side, min(names, 32), board.leader == corner))
    score = leading(sides_of(board), board.score)
    tentative = "  tentative: it may still change" if board.tentative else ""
    lines.append(_line(f"{score}  confidence {percent(board.confidence)}{tentative}", "bold"))
    lines.append(_line(f"Over: {board.over}" if board.over else lead_sentence(board)))
    if board.over and board.why:
        lines.append(_line(printable(board.why)))
    if not board.over:
        words = (clock_words(board, ran_on_s), activity_words(board, ran_on_s))
        lines.append(_line("  ".join(filter(None, words))))
    return lines


def _side_line(corner: str, side: LiveSide, names: int, leads: bool) -> Text:
    line = Text.assemble((f" {corner.upper():<4} ", _CHIPS[corner]), " ", no_wrap=True)
    name = Text(printable(side.full_name or side.name), style="bold")
    name.truncate(names, overflow="ellipsis", pad=True)
    line.append_text(name)
    line.append(f" {side.points:>3}", "bold")
    line.append(" leads" if leads else "      ")
    for each in counts_of(side.challenges, side.cautions, side.warnings):
        line.append(f"  {each}", "dim")
    return line


def _lower(view: View, board: Board | None, width: int, room: int, roomy: bool) -> list[Text]:
    """What is left to score, the last calls, earlier flags, notices, and what was heard, as far as there is room."""
    whats = [] if board is None else [*board.needs, *(would.text for would in board.would_be)]
    parts = [
        (None, [_line(text) for text in whats]),
        _call_table(view.calls, width),
        (_line("Earlier flags", "bold"), [_earlier(flag) for flag in view.flags if flag.state != "open"]),
        (_line("Notices", "bold"), [_line(f"{clock_text(n.t):>7} {n.text}") for n in reversed(view.notices)]),
        (
            _line("Heard", "bold"),
            [_line(f"{clock_text(t):>7} {text}", "dim") for t, text in reversed(view.heard)],
        ),
    ]
    frames = [(head is not None) + roomy for head, _ in parts]
    counts = _shares([len(lines) for _, lines in parts], frames, room)
    shown = []
    for (head, lines), count in zip(parts, counts, strict=True):
        if count:
            shown += [*([Text("")] if roomy else []), *([head] if head is not None else []), *lines[:count]]
    return shown


#: So many lines each part gets first, in their order; what is left over is dealt out in the same order.
_FIRST = (2, 3, 0, 2, 0)
_MOST = (8, 16, 5, 6, 8)


def _shares(wanted: list[int], frames: list[int], room: int) -> list[int]:
    """How many lines each part gets, beside those of its frame."""
    given = [0] * len(wanted)
    for limits in (_FIRST, _MOST):
        for n, (most, there) in enumerate(zip(limits, wanted, strict=True)):
            frame = 0 if given[n] else frames[n]
            more = min(min(most, there) - given[n], room - frame)
            if more > 0:
                given[n] += more
                room -= more + frame
    return given


def _call_table(calls: tuple[LiveCall, ...], width: int) -> tuple[Text, list[Text]]:
    """The heads of the columns, and a row for each call; a narrow terminal has no room for the clock and how sure it is."""
    roomy = width >= _NARROW
    wide = max(width - (52 if roomy else 40), 1)
    clock, sure = (" clock", " conf.") if roomy else ("", "")
    head = _line(f"{'time':>7}{clock} {'event':<{wide}} red-blue  {'source':<19}{sure}", "bold")
    rows = []
    for call in calls:
        event = Text(printable(call.text), style="strike" if call.status == "overturned" else "")
        event.truncate(wide, overflow="ellipsis", pad=True)
        source = call.source
        if call.status == "overturned":
            source += ", overturned"
        elif call.tentative:
            source += ", tentative"
        left = "" if call.clock_s is None else clock_text(call.clock_s)
        clock, sure = (f" {left:>5}", f" {percent(call.confidence):>5}") if roomy else ("", "")
        row = Text(f"{clock_text(call.t):>7}{clock} ", no_wrap=True)
        row.append_text(event)
        row.append(f" {score_text(call.score_after):>8}  {source:<19}{sure}")
        rows.append(row)
    return head, rows


def _earlier(flag: LiveFlag) -> Text:
    came = ANSWERS[flag.answer] if flag.answer is not None else "withdrawn"
    return _line(f"{clock_text(flag.t):>7} {flag.head.upper()}: {slip_words(flag)} ({came})")


def _foot(controls: Controls, view: View, address: str) -> list[Text]:
    lines = []
    if address:
        lines.append(_line(f"Page: {address}", "dim"))
    if controls.message:
        lines.append(_line(controls.message, "bold"))
    if controls.mode == "watch":
        keys = f"[{CORRECT}] correct the score  [{MOMENT}] at a moment  [{UNDO}] undo  [{QUIT}] quit"
        return [*lines, _line(keys, "dim")]
    if controls.mode == "at":
        asked = "Moment (m:ss)"
    else:
        names = (
            f" ({view.board.red.name} first, then {view.board.blue.name})" if view.board is not None else ""
        )
        asked = f"The score now, red first{names}"
    prompt = Text(f"{printable(asked)}: ", style="bold", no_wrap=True)
    prompt.append(f"{printable(controls.typed)}_")
    prompt.append("  Enter: take it  Esc: leave it", "dim")
    return [*lines, prompt]
