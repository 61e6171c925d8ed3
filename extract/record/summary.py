"""A record as a summary for the terminal: what to look at, then the result, then the score by score."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from io import StringIO
from typing import TextIO

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from extract.checks.words import clock_text, moment_text, score_text, share_text
from extract.record.model import Challenge, Event, Flag, Record, Verdict
from extract.record.plain import basis_text, guess_warning, printable, score_or_words, side
from extract.rules.base import UNLISTED
from extract.transcript.cue import Order

_SEVERITY_STYLE = {"error": "bold red", "warning": "yellow", "note": "dim"}
#: The columns that may be wrapped on a narrow terminal, and their least width.
_MAY_WRAP = {"who": 8, "basis": len("overturned")}
#: The width of a summary that goes into a file or a pipe, where nothing is wrapped.
_NO_LIMIT = 10_000

_COUNTED: tuple[tuple[Verdict, str], ...] = (
    ("agrees", "agree"),
    ("disagrees", "disagree"),
    ("unclear", "unclear"),
)


def summary(record: Record, *, title: str | None = None, width: int | None = None) -> str:
    """The summary as text that ends with a newline.

    With ``width`` it is styled and wrapped for a terminal of that many columns. Without, it is plain lines and
    nothing is wrapped. ``title`` takes the place of the source's name in the first line.
    """
    out = StringIO()
    console = Console(file=out, width=width or _NO_LIMIT, force_terminal=width is not None, highlight=False)
    show = _Printer(console, record)
    show.heading(title or record.source.file)
    show.flags()
    show.result()
    show.scores()
    show.riding_time()
    show.challenges()
    show.alternatives()
    show.line(printable(record.note), "italic")
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())


def print_summary(record: Record, file: TextIO, *, title: str | None = None) -> None:
    """Write the summary to ``file``, in the form that suits it: a terminal or not."""
    width = shutil.get_terminal_size().columns if file.isatty() else None
    file.write(summary(record, title=title, width=width))


class _Printer:
    """Prints the parts of a summary. Text of a transcript goes through Text: in a plain string rich would read square
    brackets as markup."""

    def __init__(self, console: Console, record: Record) -> None:
        self.console = console
        self.record = record

    def line(self, text: str, style: str = "") -> None:
        self.console.print(Text(text, style=style))

    def table(self, headers: Iterable[str], rows: Iterable[tuple[str, ...]], styles: Iterable[str]) -> None:
        box = SIMPLE_HEAD if self.console.is_terminal else None
        table = Table(box=box, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
        for header in headers:
            width = _MAY_WRAP.get(header)
            table.add_column(header, overflow="fold", no_wrap=width is None, min_width=width)
        for row, style in zip(rows, styles, strict=True):
            table.add_row(*(Text(cell) for cell in row), style=style)
        self.console.print(table)

    def heading(self, name: str) -> None:
        bout = self.record.bout
        self.line(printable(name), "bold")
        sides = [_full_side(self.record, "red"), _full_side(self.record, "blue")]
        origin = f" ({bout.from_['rules']})" if "rules" in bout.from_ else ""
        self.line(f"{' against '.join(sides)}; {printable(bout.rules)}{origin} {printable(bout.edition)}")
        if warning := guess_warning(self.record):
            self.line(warning, "bold yellow")
        if self.record.decisions:
            people = ", ".join(dict.fromkeys(printable(each.by) for each in self.record.decisions))
            self.line(f"Decided by {people}: {len(self.record.decisions)}")
        self.line("")

    def flags(self) -> None:
        flags = self.record.flags
        verdicts = [statement.verdict for statement in self.record.statements]
        counts = ", ".join(f"{verdicts.count(v)} {word}" for v, word in _COUNTED)
        self.line(f"To look at: {len(flags) or 'nothing'} (stated scores: {counts})", "bold")
        for flag in flags:
            self.line(f"  {_flag_line(flag, self.record.source.order)}", _SEVERITY_STYLE[flag.severity])
            if flag.text:
                self.line(f'    "{printable(flag.text)}"')
            self.line(f"    {printable(flag.why)}")
        self.line("")

    def result(self) -> None:
        result = self.record.result
        self.line(f"Final score: {score_text(result.score)} (red-blue)", "bold")
        winner = side(self.record, result.winner) or "not known"
        how = f", by {result.by}"
        if result.victory is not None and result.winner is not None:
            how += f", {result.victory.code} {result.victory.points[0]}:{result.victory.points[1]}"
        if result.by == "unknown":
            how = ", how is not known" if result.winner else ""
        said = f"; said at the end: {score_text(result.said_score)}" if result.said_score else ""
        sure = f" (confidence {result.confidence:.2f})" if result.confidence else ""
        self.line(f"Winner: {winner}{how}{sure}{said}")
        self.line("")

    def scores(self) -> None:
        events = [event for event in self.record.events if event.kind not in UNLISTED]
        if not events:
            self.line("No scoring was found.")
        else:
            when = "time" if self.record.source.order is None else "line"
            headers = (when, "per", "clock", "what", "who", "pts", "score", "basis", "sure")
            rows = (_event_row(self.record, event) for event in events)
            styles = ("strike" if event.status == "overturned" else "" for event in events)
            self.table(headers, rows, styles)
        self.line("")

    def riding_time(self) -> None:
        rides = self.record.riding_time
        if not rides:
            return
        last = rides[-1]
        whose = side(self.record, last.leader) or "nobody"
        held = f"{clock_text(last.seconds)} ±{last.uncertainty_s:.0f} s"
        self.line(
            f"Riding time at the end: {whose}, {held}" if last.leader else "Riding time at the end: level"
        )
        self.line("")

    def challenges(self) -> None:
        challenges = self.record.challenges
        if challenges:
            self.line("Challenges", "bold")
            for challenge in challenges:
                self.line(f"  {_challenge_line(self.record, challenge)}")
            self.line("")

    def alternatives(self) -> None:
        if not self.record.alternatives:
            return
        self.line("Next best logs", "bold")
        for other in self.record.alternatives:
            winner = side(self.record, other.winner) or "nobody"
            how = f", by {other.by}" if other.winner else ""
            self.line(f"  {share_text(other.share)}: {score_text(other.score)}, winner {winner}{how}")
            for difference in other.differences:
                self.line(f"    {printable(difference)}")
        self.line("")


def _full_side(record: Record, corner: str) -> str:
    info = record.bout.red if corner == "red" else record.bout.blue
    name = printable(info.name) if info.name else "(no name)"
    team = f", {printable(info.team)}" if info.team else ""
    origin = f" ({info.name_from})" if info.name_from else ""
    return f"{corner} {name}{team}{origin}"


def _flag_line(flag: Flag, order: Order | None) -> str:
    cue = f", cue {flag.cue}" if flag.cue is not None and order is None else ""
    what = printable(flag.kind).replace("_", " ")
    values = [
        f"{word} {score_or_words(value)}"
        for word, value in (("said", flag.said), ("computed", flag.computed))
        if value is not None
    ]
    facts = f": {', '.join(values)}" if values else ""
    return f"{flag.severity} at {moment_text(flag.t, order)}{cue}: {what}{facts}"


def _event_row(record: Record, event: Event) -> tuple[str, ...]:
    order = record.source.order
    time = _when(event.t, order)
    if event.basis == "inferred":
        span = [_when(t, order) for t in event.t_range]
        time = "-".join(span if order is None else dict.fromkeys(sorted(span, key=int)))
    clock = "" if event.clock_s is None else clock_text(event.clock_s)
    if clock and event.clock_uncertainty_s is not None and event.clock_uncertainty_s >= 1:
        clock += f" ±{event.clock_uncertainty_s:.0f}"
    who = side(record, event.corner) or (f"against {side(record, event.against)}" if event.against else "")
    what = event.kind.replace("_", " ")
    points = str(event.points) if event.points else ""
    after = score_text(event.score_after)
    basis = basis_text(event)
    return time, str(event.period), clock, what, who, points, after, basis, f"{event.confidence:.2f}"


def _when(t: float, order: Order | None) -> str:
    """A moment in a column of moments: a time, or the number of a line."""
    return clock_text(t) if order is None else str(order.line(t))


def _challenge_line(record: Record, challenge: Challenge) -> str:
    by = side(record, challenge.by) or "a side that is not named"
    outcome = "outcome unknown" if challenge.outcome == "unknown" else challenge.outcome
    order = record.source.order
    at = "" if challenge.t_outcome is None else f" at {moment_text(challenge.t_outcome, order)}"
    changed = f" (calls {', '.join(challenge.events)})" if challenge.events else ""
    return f"{moment_text(challenge.t, order)} by {by}: {outcome}{at}{changed}"
