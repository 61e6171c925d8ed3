"""What a drawing is made of, in units of its own width and height: it knows no colour and no form of file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points; ``closed`` ones are filled. ``sort`` is its class in the style sheet."""

    points: tuple[Point, ...]
    sort: str
    closed: bool = False

    @property
    def path(self) -> str:
        """The line as the path of an SVG."""
        text = "".join(f"{'L' if k else 'M'}{x:g} {y:g}" for k, (x, y) in enumerate(self.points))
        return f"{text}Z" if self.closed else text


@dataclass(frozen=True, slots=True)
class Box:
    """A filled rectangle."""

    x: float
    y: float
    width: float
    height: float
    sort: str


@dataclass(frozen=True, slots=True)
class Words:
    """A text whose baseline begins, ends or is centred at a point; ``size`` is the height of its letters' line."""

    x: float
    y: float
    text: str
    size: float
    sort: str
    anchor: Literal["start", "middle", "end"] = "start"


Shape = Line | Box | Words


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that belong together. ``href`` is the anchor of the entry they stand for, if any, ``label`` what they say
    in words, ``x`` and ``y`` where somebody would point at."""

    shapes: tuple[Shape, ...]
    href: str = ""
    label: str = ""
    x: float = 0.0
    y: float = 0.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """A whole drawing, the first shapes behind the later ones, and what it shows in one sentence."""

    width: float
    height: float
    groups: tuple[Group, ...]
    summary: str
