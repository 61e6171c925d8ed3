"""The score over time as a picture in a file, PNG or SVG."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from extract.checks.words import moment_text
from extract.errors import InputError
from extract.paths import write_whole
from extract.record.bout_words import short_sides
from extract.record.model import Record
from extract.record.plain import stated
from extract.report.timeline import axis_marks, tick_step
from extract.rules.base import CORNERS

if TYPE_CHECKING:
    from matplotlib.axes import Axes

FORMATS = (".png", ".svg")
#: The two corners differ in line and mark too, not only in colour.
_STYLE = {"red": ("#a8201f", "-", "^"), "blue": ("#1f4fa0", "--", "s")}


def check_plot(path: Path) -> None:
    """Check that a picture can be drawn into ``path``. Raises InputError if its ending is not that of a picture, or
    if matplotlib is not installed."""
    if path.suffix.lower() not in FORMATS:
        raise InputError(path, "is no name of a picture", f"end it with {' or '.join(FORMATS)}")
    try:
        import matplotlib  # noqa: F401
    except ImportError:
        remedy = 'install it with: pip install "saidscore[plot]"'
        raise InputError("--plot", "needs matplotlib, which is not installed", remedy) from None


def save_plot(record: Record, path: Path) -> None:
    """Draw the score of both corners over time, with the awards and the stated scores, into ``path``. It is written
    whole or not at all. Raises InputError if it cannot be written."""
    from matplotlib import rc_context
    from matplotlib.figure import Figure

    figure = Figure(figsize=(10.0, 4.2), layout="constrained")
    _draw(figure.add_subplot(), record)
    # There is no date here and a fixed salt below, so the same record gives the same file.
    metadata = {"Date": None} if path.suffix.lower() == ".svg" else None
    picture = BytesIO()
    with rc_context({"svg.hashsalt": "saidscore"}):
        figure.savefig(picture, format=path.suffix[1:].lower(), metadata=metadata)
    write_whole(path, picture.getvalue())


def _draw(axes: Axes, record: Record) -> None:
    from matplotlib.ticker import FixedLocator, MaxNLocator, MultipleLocator

    begins, sides = record.source.begins, short_sides(record)
    until = max(record.source.seconds, begins + 1.0)
    for k, corner in enumerate(CORNERS):
        colour, line, mark = _STYLE[corner]
        times = [entry.t for entry in record.board] + [until]
        scores = [getattr(entry, corner) for entry in record.board]
        label = _plain(f"{sides.name(corner)} {record.result.score[k]}")
        axes.step(times, [*scores, scores[-1]], where="post", color=colour, linestyle=line, label=label)
        events = [event for event in record.events if event.points and event.corner == corner]
        axes.scatter(
            [event.t for event in events], [event.score_after[k] for event in events],
            color=[colour if event.basis == "called" else "white" for event in events],
            edgecolors=colour, marker=mark, zorder=3,
        )  # fmt: skip
    for statement in record.statements:
        if statement.verdict == "disagrees":
            axes.axvline(statement.t, color="0.6", linewidth=0.8, zorder=0)
            said = stated(statement, sides)
            axes.annotate(
                f"said {said}", (statement.t, 0), xytext=(2, 3), textcoords="offset points", fontsize=8
            )
    for event in record.events:
        if event.kind == "period_start":
            axes.axvline(event.t, color="0.3", linestyle=":", linewidth=1)
    axes.set_xlim(begins, until)
    axes.set_ylim(bottom=0)
    marks = [t for t, _ in axis_marks(record, until - begins)]
    axes.xaxis.set_major_locator(
        MultipleLocator(tick_step(until - begins)) if record.source.order is None else FixedLocator(marks)
    )
    order = record.source.order
    axes.xaxis.set_major_formatter(lambda value, _: moment_text(value, order))
    axes.yaxis.set_major_locator(MaxNLocator(integer=True))
    axes.set_xlabel("time of the recording" if order is None else "place in the account")
    axes.set_ylabel("score")
    axes.set_title(_plain(record.note), fontsize=8, loc="left")
    axes.legend(loc="upper left")


def _plain(text: str) -> str:
    """Text that matplotlib prints as it stands: a dollar sign would begin a formula."""
    return text.replace("$", r"\$")
