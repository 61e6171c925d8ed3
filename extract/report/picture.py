"""The score over time as a picture to take away, with a title and the caveat: SVG, or PNG by matplotlib."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path
from types import MappingProxyType
from typing import Any
from xml.sax.saxutils import escape

from extract.checks.words import score_text
from extract.errors import InputError
from extract.paths import write_whole
from extract.record.bout_words import ending_text, rules_text, short_sides, verdict_counts
from extract.record.model import Record
from extract.record.plain import printable
from extract.report.chart import PICTURE, chart
from extract.report.shapes import Box, Drawing, Group, Line, Shape, Words

FORMATS = (".png", ".svg")
WIDTH, HEIGHT = 1600.0, 900.0
_LEFT, _TOP = 40.0, 170.0
_RED, _BLUE, _WARN, _INK, _SOFT, _PAPER = "#b3261e", "#1f4fa0", "#a34700", "#16191d", "#565d66", "#ffffff"


@dataclass(frozen=True, slots=True)
class Paint:
    """How shapes of a sort look: fill, stroke and its width (units of the drawing), dashes, weight of text."""

    fill: str = "none"
    stroke: str = "none"
    width: float = 0.0
    dashes: tuple[float, ...] = ()
    bold: bool = False


#: By sort; what a mark's sort says of its side and its source is part of the name.
PAINTS: Mapping[str, Paint] = MappingProxyType(
    {
        "period": Paint("#f3f1ec"),
        "grid": Paint(stroke="#d5d3cc", width=1.2),
        "soft": Paint(_SOFT),
        "steps red": Paint(stroke=_RED, width=4.5),
        "steps blue": Paint(stroke=_BLUE, width=4.5),
        "steps red inferred": Paint(stroke=_RED, width=4.5, dashes=(7.0, 5.0)),
        "steps blue inferred": Paint(stroke=_BLUE, width=4.5, dashes=(7.0, 5.0)),
        "end red": Paint(_RED, bold=True),
        "end blue": Paint(_BLUE, bold=True),
        "event red called": Paint(_RED, _RED, 3.0),
        "event blue called": Paint(_BLUE, _BLUE, 3.0),
        "event red inferred": Paint(_PAPER, _RED, 3.0),
        "event blue inferred": Paint(_PAPER, _BLUE, 3.0),
        "gain red": Paint(_RED, bold=True),
        "gain blue": Paint(_BLUE, bold=True),
        "struck": Paint(stroke=_INK, width=3.0),
        "right": Paint(stroke=_SOFT, width=3.0),
        "wrong": Paint(stroke=_WARN, width=5.0),
        "wrong-line": Paint(stroke=_WARN, width=1.5, dashes=(4.0, 5.0)),
        "wrong-words": Paint(_WARN, bold=True),
        "challenge": Paint("#c9c6bd", _SOFT, 1.0),
        "title": Paint(_INK, bold=True),
        "caveat": Paint(_SOFT),
    }
)


def picture(record: Record) -> Drawing:
    """The picture, 16:9: who, the score and how many stated scores were wrong; the drawing; the caveat."""
    sides = short_sides(record)
    wrong, stated = verdict_counts(record)["disagrees"], len(record.statements)
    title = f"{sides.red} {score_text(record.result.score)} {sides.blue}"
    if stated:
        title += f": {wrong or 'none'} of {stated} stated scores wrong"
    below = f"{ending_text(record, sides)}. {rules_text(record)}."
    drawn = chart(record, PICTURE)
    head = Group(
        (
            Words(_LEFT, 78.0, _fitting(title, 50.0), _size(title, 50.0), "title"),
            Words(_LEFT, 128.0, _fitting(below, 27.0), _size(below, 27.0), "soft"),
        )
    )
    note = Group((Words(_LEFT, HEIGHT - 34.0, printable(record.note), 22.0, "caveat"),))
    moved = tuple(replace(g, shapes=tuple(_moved(s) for s in g.shapes)) for g in drawn.groups)
    return Drawing(WIDTH, HEIGHT, (head, *moved, note), title)


def _size(text: str, most: float) -> float:
    """The size at which a text is no wider than the picture, but no smaller than half of ``most``."""
    return round(max(min(most, (WIDTH - 2 * _LEFT) / (0.6 * max(len(text), 1))), most / 2), 1)


def _fitting(text: str, most: float) -> str:
    """A text cut off where it would be too wide at the smallest size."""
    room = int((WIDTH - 2 * _LEFT) / (0.6 * most / 2))
    return text if len(text) <= room else f"{text[: room - 1]}…"


def _moved(shape: Shape) -> Shape:
    if isinstance(shape, Line):
        return replace(shape, points=tuple((x + _LEFT, y + _TOP) for x, y in shape.points))
    return replace(shape, x=shape.x + _LEFT, y=shape.y + _TOP)


def picture_svg(record: Record) -> str:
    """The picture as an SVG that needs nothing else."""
    drawn = picture(record)
    shapes = "\n".join(_svg(shape) for group in drawn.groups for shape in group.shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawn.width:g} {drawn.height:g}" '
        f'width="{drawn.width:g}" height="{drawn.height:g}" role="img">\n<title>{escape(drawn.summary)}</title>\n'
        f'<rect width="100%" height="100%" fill="{_PAPER}"/>\n'
        f"<g font-family=\"Helvetica, Arial, 'DejaVu Sans', sans-serif\">\n{shapes}\n</g>\n</svg>\n"
    )


def _svg(shape: Shape) -> str:
    paint = PAINTS[shape.sort]
    look = f'fill="{paint.fill}"'
    if paint.stroke != "none":
        look += f' stroke="{paint.stroke}" stroke-width="{paint.width:g}"'
    if paint.dashes:
        look += f' stroke-dasharray="{" ".join(f"{d:g}" for d in paint.dashes)}"'
    match shape:
        case Line():
            return f'<path d="{shape.path}" {look}/>'
        case Box():
            return f'<rect x="{shape.x:g}" y="{shape.y:g}" width="{shape.width:g}" height="{shape.height:g}" {look}/>'
        case Words():
            weight = ' font-weight="700"' if paint.bold else ""
            anchor = "" if shape.anchor == "start" else f' text-anchor="{shape.anchor}"'
            place = f'x="{shape.x:g}" y="{shape.y:g}" font-size="{shape.size:g}"'
            return f"<text {place}{anchor}{weight} {look}>{escape(printable(shape.text))}</text>"


def check_picture_file(path: Path) -> None:
    """Check that a picture can be drawn into ``path``. Raises InputError if its ending is not that of a picture, or
    if a PNG is wanted and matplotlib is not installed."""
    ending = path.suffix.lower()
    if ending not in FORMATS:
        raise InputError(path, "must end in .png or .svg", f"end it with {' or '.join(FORMATS)}")
    if ending == ".svg":
        return
    try:
        import matplotlib  # noqa: F401
    except ImportError:
        remedy = 'install it with: pip install "saidscore[plot]", or ask for a .svg'
        raise InputError("--plot", "a PNG needs matplotlib, which is not installed", remedy) from None


def save_picture(record: Record, path: Path) -> None:
    """Draw the picture into ``path``. It is written whole or not at all. Raises InputError if it cannot be written."""
    data = picture_svg(record).encode() if path.suffix.lower() == ".svg" else _png(picture(record))
    write_whole(path, data)


def _png(drawn: Drawing) -> bytes:
    from matplotlib.figure import Figure
    from matplotlib.patches import Polygon, Rectangle

    inch = 100.0
    figure = Figure(figsize=(drawn.width / inch, drawn.height / inch), facecolor=_PAPER)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0, drawn.width), ylim=(drawn.height, 0))
    axes.axis("off")
    # Lengths of lines and letters are in points, 72 to an inch.
    point = 72.0 / inch
    sides = {"start": "left", "middle": "center", "end": "right"}
    for n, shape in enumerate(shape for group in drawn.groups for shape in group.shapes):
        paint = PAINTS[shape.sort]
        look: dict[str, Any] = {
            "facecolor": paint.fill,
            "edgecolor": paint.stroke,
            "linewidth": paint.width * point,
            "zorder": n,
        }
        match shape:
            case Line() if shape.closed:
                axes.add_patch(Polygon(shape.points, closed=True, **look))
            case Line():
                xs, ys = zip(*shape.points, strict=True)
                style = (0, tuple(d / max(paint.width, 1.0) for d in paint.dashes)) if paint.dashes else "-"
                axes.plot(
                    xs, ys, color=paint.stroke, linewidth=paint.width * point, linestyle=style, zorder=n,
                    solid_joinstyle="miter", solid_capstyle="butt",
                )  # fmt: skip
            case Box():
                axes.add_patch(Rectangle((shape.x, shape.y), shape.width, shape.height, **look))
            case Words():
                axes.text(
                    shape.x, shape.y, _plain(printable(shape.text)), fontsize=shape.size * point, color=paint.fill,
                    ha=sides[shape.anchor], va="baseline", fontweight="bold" if paint.bold else "normal", zorder=n,
                )  # fmt: skip
    data = BytesIO()
    figure.savefig(data, format="png", dpi=inch, metadata={"Software": None})
    return data.getvalue()


def _plain(text: str) -> str:
    """Text that matplotlib prints as it stands: a dollar sign would begin a formula."""
    return text.replace("$", r"\$")
