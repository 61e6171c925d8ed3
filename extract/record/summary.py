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

from extract.checks.sides import Sides, leading, winning_text
from extract.checks.understood import NOTHING
from extract.checks.words import clock_text, kind_text, moment_text, score_text, share_text, won_by_text
from extract.record.bout_words import counts_text, ending_text, rules_text, short_sides
from extract.record.flag_words import flag_head, place_text, slip_text
from extract.record.model import Challenge, Event, Record
from extract.record.plain import capital, guess_warning, percent, printable, source_text
from extract.rules.base import UNLISTED
from extract.transcript.cue import Order

_SEVERITY_STYLE = {"error": "bold red", "warning": "yellow", "note": "dim"}
#: The columns that may be wrapped on a narrow terminal, and their least width.
_MAY_WRAP = {"wrestler": 8, "source": len("overturned")}
#: The width of a summary that goes into a file or a pipe, where nothing is wrapped.
_NO_LIMIT = 10_000


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
        self.sides = short_sides(record)

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
        record = self.record
        self.line(printable(name), "bold")
        self.line(" against ".join((_full_side(record, "red"), _full_side(record, "blue"))))
        self.line(f"{rules_text(record)} ({_origins(record)})")
        if warning := guess_warning(record):
            self.line(warning, "bold yellow")
        if record.decisions:
            people = ", ".join(dict.fromkeys(printable(each.by) for each in record.decisions))
            number = len(record.decisions)
            self.line(f"{number} correction{'' if number == 1 else 's'} by {people}")
        self.line("")

    def flags(self) -> None:
        record = self.record
        self.line(f"{len(record.flags) or 'Nothing'} to check; {counts_text(record)}", "bold")
        for flag in record.flags:
            head = flag_head(flag, record).upper()
            what = slip_text(flag, self.sides)
            sure = f" (confidence {percent(flag.confidence)})" if what and flag.confidence is not None else ""
            values = f": {what}{sure}" if what else ""
            self.line(f"  {place_text(flag, record)}: {head}{values}", _SEVERITY_STYLE[flag.severity])
            if flag.text:
                cue = f" (cue {flag.cue})" if flag.cue is not None and record.source.order is None else ""
                self.line(f'    "{printable(flag.text)}"{cue}')
            self.line(f"    {printable(flag.why)}")
        self.line("")

    def result(self) -> None:
        record, result = self.record, self.record.result
        if any(flag.kind == NOTHING for flag in record.flags):
            self.line("No result: nothing was understood", "bold")
            self.line("")
            return
        victory = result.victory
        code = (
            f" ({victory.code} {victory.points[0]}:{victory.points[1]})" if victory and result.winner else ""
        )
        sure = f"; confidence {percent(result.confidence)}" if result.confidence else ""
        self.line(f"Result: {ending_text(record, self.sides)}{code}{sure}", "bold")
        if result.why:
            self.line(f"  {capital(printable(result.why))}")
        if result.said_score:
            self.line(f"  Said at the end: {leading(self.sides, result.said_score)}")
        self.line("")

    def scores(self) -> None:
        events = [event for event in self.record.events if event.kind not in UNLISTED]
        if not events:
            self.line("No scoring was found.")
        else:
            when = "time" if self.record.source.order is None else "line"
            headers = (when, "period", "clock", "event", "wrestler", "points", "red-blue", "source", "conf.")
            rows = (_event_row(self.record, event, self.sides) for event in events)
            styles = ("strike" if event.status == "overturned" else "" for event in events)
            self.table(headers, rows, styles)
        self.line("")

    def riding_time(self) -> None:
        rides = self.record.riding_time
        if not rides:
            return
        last = rides[-1]
        whose = self.sides.name(last.leader) if last.leader else "nobody"
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
                self.line(f"  {_challenge_line(self.record, challenge, self.sides)}")
            self.line("")

    def alternatives(self) -> None:
        if not self.record.alternatives:
            return
        self.line("Other possible logs", "bold")
        for other in self.record.alternatives:
            ending = winning_text(self.sides, other.winner, other.score, won_by_text(other.by))
            self.line(f"  {share_text(other.share)}: {ending}")
            for difference in other.differences:
                self.line(f"    {printable(difference)}")
        self.line("")


def _full_side(record: Record, corner: str) -> str:
    info = record.bout.red if corner == "red" else record.bout.blue
    name = printable(info.name) if info.name else "no name"
    team = f", {printable(info.team)}" if info.team else ""
    return f"{name}{team} ({corner})"


def _origins(record: Record) -> str:
    """Where names and rules come from: "names given, rules heard"."""
    bout = record.bout
    of_names = {info.name_from for info in (bout.red, bout.blue) if info.name_from}
    names = f"names {' and '.join(sorted(of_names))}" if of_names else "no names"
    return f"{names}, rules {bout.from_.get('rules', 'given')}"


def _event_row(record: Record, event: Event, sides: Sides) -> tuple[str, ...]:
    order = record.source.order
    time = _when(event.t, order)
    if event.basis == "inferred":
        span = [_when(t, order) for t in event.t_range]
        time = "-".join(span if order is None else dict.fromkeys(sorted(span, key=int)))
    clock = "" if event.clock_s is None else clock_text(event.clock_s)
    if clock and event.clock_uncertainty_s is not None and event.clock_uncertainty_s >= 1:
        clock += f" ±{event.clock_uncertainty_s:.0f}"
    who = (
        sides.name(event.corner)
        if event.corner
        else f"against {sides.name(event.against)}"
        if event.against
        else ""
    )
    what = kind_text(event.kind)
    points = str(event.points) if event.points else ""
    after = score_text(event.score_after)
    source = source_text(event)
    return time, str(event.period), clock, what, who, points, after, source, percent(event.confidence)


def _when(t: float, order: Order | None) -> str:
    """A moment in a column of moments: a time, or the number of a line."""
    return clock_text(t) if order is None else str(order.line(t))


def _challenge_line(record: Record, challenge: Challenge, sides: Sides) -> str:
    by = sides.name(challenge.by) if challenge.by else "side not named"
    outcome = "result unknown" if challenge.outcome == "unknown" else challenge.outcome
    order = record.source.order
    at = "" if challenge.t_outcome is None else f" at {moment_text(challenge.t_outcome, order)}"
    changed = f" (changes {', '.join(challenge.events)})" if challenge.events else ""
    return f"{moment_text(challenge.t, order)} by {by}: {outcome}{at}{changed}"
