"""The score over time as a drawing: where lines, marks and words of it stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from extract.checks.sides import Sides, leading, points_text
from extract.checks.words import moment_text
from extract.record.bout_words import VERDICTS, ending_text, short_sides
from extract.record.model import Challenge, Event, Record, Statement
from extract.record.plain import stated
from extract.report.axis import levels, time_marks
from extract.report.shapes import Box, Drawing, Group, Line, Point, Shape, Words
from extract.rules.base import BOUNDS, CORNERS, Corner

#: The width of a letter as a share of the size of its text (common practice for sans serif).
_LETTER = 0.6
#: Where both lines run on one level, each is moved so far from it.
_BESIDE = 1.6
#: Points are written beside the marks if each has so much room, in sizes of the text.
_CROWDED = 2.6
#: The longest name at the end of a line.
_LONGEST = 16


@dataclass(frozen=True, slots=True)
class Room:
    """The size of a drawing: all of it, its text, a mark (half its width), and how many marks the axis of times has."""

    width: float
    height: float
    text: float
    mark: float
    ticks: int


#: For a page, for a phone, and for a picture to take away (its part below the title).
WIDE = Room(1000.0, 420.0, 14.0, 5.5, 10)
NARROW = Room(400.0, 400.0, 13.0, 5.0, 5)
PICTURE = Room(1520.0, 650.0, 22.0, 9.0, 10)


def chart(record: Record, room: Room) -> Drawing:
    """The drawing of a bout."""
    place = _Place(record, room)
    groups = (
        Group(tuple(_ground(record, place))),
        *_challenges(record, place),
        Group(tuple(_wrong_lines(record, place))),
        Group(tuple(_steps(record, place))),
        *_events(record, place),
        *_statements(record, place),
    )
    summary = (
        f"Score over time: {ending_text(record, place.sides)}; {len(record.statements)} scores were stated."
    )
    return Drawing(room.width, room.height, groups, summary)


class _Place:
    """Where times and scores stand, and the lanes below."""

    def __init__(self, record: Record, room: Room) -> None:
        size = room.text
        self.room, self.sides = room, short_sides(record)
        self.names = {c: _shortened(self.sides.name(c)) for c in CORNERS}
        ends = [f"{self.names[c]} {record.result.score[k]}" for k, c in enumerate(CORNERS)]
        self.most = max([1, *(score for entry in record.board for score in (entry.red, entry.blue))])
        self.left = size * (1.2 + _LETTER * len(str(self.most)))
        self.right = room.width - max(len(end) for end in ends) * size * _LETTER * 1.1 - size * 0.8
        self.axis = room.height - size * 0.5
        self.challenges = self.axis - size * 3.1
        lane = self.challenges - size * (2.4 if record.challenges else 0.0)
        self.said = lane - size * 1.5
        self.floor = self.said - size * 2.9
        self.top = size * 3.6
        self.begins = record.source.begins
        self.seconds = max(record.source.seconds - self.begins, 1.0)

    def x(self, t: float) -> float:
        """Where a moment stands."""
        share = min(max((t - self.begins) / self.seconds, 0.0), 1.0)
        return round(self.left + (self.right - self.left) * share, 1)

    def y(self, score: float) -> float:
        """Where a score stands."""
        return round(self.floor - (self.floor - self.top) * score / self.most, 1)

    def words(
        self, x: float, y: float, text: str, sort: str, anchor: str = "start", by: float = 1.0
    ) -> Words:
        """A text, of the drawing's size or ``by`` times it."""
        return Words(round(x, 1), round(y, 1), text, round(self.room.text * by, 1), sort, anchor)  # type: ignore[arg-type]


def _shortened(name: str) -> str:
    return name if len(name) <= _LONGEST else f"{name[: _LONGEST - 1]}…"


def _ground(record: Record, place: _Place) -> Iterator[Shape]:
    """Periods, grid, axes, and the names of the lanes."""
    size, top = place.room.text, place.top - place.room.text * 3.4
    for start, end, period in _periods(record):
        x, until = place.x(start), place.x(end)
        yield Box(x, round(top, 1), round(until - x, 1), round(place.floor - top, 1), "period")
        label = f"Period {period}"
        fits = until - x > len(label) * size * _LETTER
        yield place.words(
            (x + until) / 2, top + size * 1.15, label if fits else str(period), "soft", "middle", 0.9
        )
    for score in levels(place.most):
        yield Line(((place.left, place.y(score)), (place.right, place.y(score))), "grid")
        yield place.words(
            place.left - size * 0.5, place.y(score) + size * 0.35, str(score), "soft", "end", 0.9
        )
    last = -1e9
    for t, label in time_marks(record, place.seconds, place.room.ticks):
        x = place.x(t)
        if x - last < (len(label) + 1.5) * size * _LETTER:
            continue
        last = x
        yield Line(((x, place.axis - size * 1.5), (x, place.axis - size * 1.2)), "grid")
        yield place.words(x, place.axis - size * 0.2, label, "soft", "middle", 0.9)
    if record.statements:
        yield place.words(place.left, place.said - size * 0.85, "Scores stated", "soft", by=0.9)
    if record.challenges:
        yield place.words(place.left, place.challenges - size * 0.75, "Challenges", "soft", by=0.9)


def _periods(record: Record) -> Iterator[tuple[float, float, int]]:
    starts = [(e.t, e.period) for e in record.events if e.kind == "period_start"]
    ends = {e.period: e.t for e in record.events if e.kind in BOUNDS and e.kind != "period_start"}
    for k, (t, period) in enumerate(starts):
        following = starts[k + 1][0] if k + 1 < len(starts) else record.source.seconds
        yield t, ends.get(period, following), period


def _steps(record: Record, place: _Place) -> Iterator[Shape]:
    """The score of each side, and its name with the final score at the end."""
    ends, size = record.result.score, place.room.text
    heights = [place.y(score) for score in ends]
    close = abs(heights[0] - heights[1]) < size * 1.3
    unsaid = {(e.corner, e.t) for e in record.events if e.points and e.basis == "inferred"}
    upper = 0 if heights[0] <= heights[1] else 1
    for k, corner in enumerate(CORNERS):
        aside = -_BESIDE if k == 0 else _BESIDE
        points: list[Point] = []
        height = place.y(0) + aside
        for entry in record.board:
            x, before = place.x(entry.t), height
            points.append((x, round(before, 1)))
            height = place.y(getattr(entry, corner)) + aside
            if height != before and (corner, entry.t) in unsaid:
                yield Line(tuple(points), f"steps {corner}")
                yield Line(((x, round(before, 1)), (x, round(height, 1))), f"steps {corner} inferred")
                points = []
            points.append((x, round(height, 1)))
        points.append((place.right, round(height, 1)))
        yield Line(tuple(points), f"steps {corner}")
        y = (sum(heights) / 2 + size * (-0.62 if k == upper else 0.62)) if close else heights[k]
        text = f"{place.names[corner]} {ends[k]}"
        yield place.words(place.right + size * 0.5, y + size * 0.35, text, f"end {corner}")


def _events(record: Record, place: _Place) -> Iterator[Group]:
    size, mark = place.room.text, place.room.mark
    # Of points in a row that have no room for their numbers, the first has its own.
    last: dict[Corner, float] = dict.fromkeys(CORNERS, -1e9)
    crowded = sum(e.points > 0 for e in record.events) * size * _CROWDED > place.right - place.left
    for event in record.events:
        if not event.points or event.corner is None:
            continue
        x, y = place.x(event.t), place.y(event.score_after[CORNERS.index(event.corner)])
        gone = event.status == "overturned"
        shapes: list[Shape] = [
            Line(_mark(event.corner, x, y, mark), f"event {event.corner} {event.basis}", closed=True)
        ]
        if gone:
            shapes += _cross(x, y, mark * 1.5, "struck")
            text = f"+{event.points} overturned"
            if not crowded and x + mark * 2 + len(text) * size * _LETTER < place.right:
                shapes.append(place.words(x + mark * 2, y - size * 0.5, text, "soft", by=0.9))
        elif not crowded and x - last[event.corner] > size * 1.7:
            last[event.corner] = x
            shapes.append(_gain(event, event.corner, place, x, y))
        yield Group(tuple(shapes), event.id, _event_label(event, record, place.sides), x, y)


def _gain(event: Event, corner: Corner, place: _Place, x: float, y: float) -> Words:
    """The points that an event brings, where no line of its own side runs: above for red, below at the right for
    blue."""
    size, mark, text = place.room.text, place.room.mark, f"+{event.points}"
    if corner == "red":
        return place.words(x, y - mark - size * 0.35, text, "gain red", "middle", 0.9)
    return place.words(x + mark * 1.5, y + mark + size * 0.7, text, "gain blue", by=0.9)


def _event_label(event: Event, record: Record, sides: Sides) -> str:
    gone = ", overturned" if event.status == "overturned" else ""
    unsaid = ", not mentioned on air" if event.basis == "inferred" else ""
    at = moment_text(event.t, record.source.order)
    points = points_text(sides, event.kind, event.corner, event.points)
    return f"{at} {points}{gone}{unsaid}: {leading(sides, event.score_after)}"


def _mark(corner: Corner, x: float, y: float, half: float) -> tuple[Point, ...]:
    """A square for red, a diamond for blue, so that they differ without colour."""
    if corner == "red":
        return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
    far = half * 1.3
    return ((x, y - far), (x + far, y), (x, y + far), (x - far, y))


def _cross(x: float, y: float, half: float, sort: str) -> list[Shape]:
    return [
        Line(((x - half, y - half), (x + half, y + half)), sort),
        Line(((x - half, y + half), (x + half, y - half)), sort),
    ]


def _wrong_lines(record: Record, place: _Place) -> Iterator[Shape]:
    """A thin line from each wrong score up through the drawing."""
    for statement in record.statements:
        if statement.verdict == "disagrees":
            x = place.x(statement.t)
            yield Line(((x, place.top), (x, place.said)), "wrong-line")


def _statements(record: Record, place: _Place) -> Iterator[Group]:
    """The scores stated on a lane of their own: a small tick where one is right, a cross and its numbers where it is
    wrong."""
    size, mark, y = place.room.text, place.room.mark, place.said
    ends = -1e9
    taken = -1e9
    for statement in record.statements:
        # What has no room beside its neighbour moves on a little, so that nothing lies wholly under another.
        x = taken = max(place.x(statement.t), taken + mark * 1.5)
        if statement.verdict == "disagrees":
            shapes = _cross(x, y, mark * 1.15, "wrong")
            text = _numbers(statement, place.sides)
            wide = len(text) * size * _LETTER * 0.9
            centre = min(max(x, place.left + wide / 2), place.room.width - wide / 2)
            if centre - wide / 2 > ends:
                shapes.append(place.words(centre, y + size * 1.35, text, "wrong-words", "middle", 0.9))
                ends = centre + wide / 2 + size * 0.4
        elif statement.verdict == "unclear":
            shapes = [place.words(x, y + size * 0.35, "?", "soft", "middle")]
        else:
            shapes = [Line(((x, y - mark * 0.8), (x, y + mark * 0.8)), "right")]
        at = moment_text(statement.t, record.source.order)
        label = f"{at} said {stated(statement, place.sides)}: {VERDICTS[statement.verdict]}"
        yield Group(tuple(shapes), statement.id, label, x, y)


def _numbers(statement: Statement, sides: Sides) -> str:
    if statement.said is None:
        return f"said {stated(statement, sides)}"
    high, low = max(statement.said), min(statement.said)
    return f"said {high}-{low}"


def _challenges(record: Record, place: _Place) -> Iterator[Group]:
    size, y = place.room.text, place.challenges
    ends = -1e9
    for challenge in record.challenges:
        until = challenge.t_outcome if challenge.t_outcome is not None else challenge.t + 5.0
        x = place.x(challenge.t)
        wide = max(round(place.x(until) - x, 1), size * 0.5)
        shapes: list[Shape] = [Box(x, round(y - size * 0.2, 1), wide, round(size * 0.6, 1), "challenge")]
        text = _challenge_text(challenge, place)
        length = len(text) * size * _LETTER * 0.9
        # The words stand after the band, or before it where the drawing ends.
        after = x + wide + size * 0.4
        starts = after if after + length < place.room.width else x - size * 0.4 - length
        if starts > ends:
            shapes.append(place.words(starts, y + size * 0.4, text, "soft", by=0.9))
            ends = starts + length + size
        label = f"{moment_text(challenge.t, record.source.order)} challenge by {text}"
        yield Group(tuple(shapes), challenge.id, label, x + wide / 2, y)


def _challenge_text(challenge: Challenge, place: _Place) -> str:
    by = place.names[challenge.by] if challenge.by else "?"
    return f"{by}: {'result unknown' if challenge.outcome == 'unknown' else challenge.outcome}"
