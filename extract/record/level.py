"""Why one side wins at a level score: the criteria in their order, up to the one that decides."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.sides import Sides
from extract.checks.words import moment_text, score_text
from extract.log import BoutLog, LogEvent
from extract.rules.base import CORNERS, Corner, Ruleset, State
from extract.rules.describe import CRITERIA_WON
from extract.rules.kinds import kinds_that

_ACTIONS = kinds_that("action")
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six")


def level_reason(log: BoutLog, rules: Ruleset, sides: Sides) -> str:
    """One line: "level at 6-6: two 2-point scores each; no cautions; last point Skelvara, 7:35". Empty unless the log ends
    by criteria that the ruleset lists."""
    if log.outcome is None or log.outcome.by != "criteria" or log.outcome.winner is None:
        return ""
    parts = list(_parts(log, rules.criteria_in_order(log.best.state), sides))
    return f"level at {score_text(log.best.score)}: {'; '.join(parts)}" if parts else ""


def _parts(log: BoutLog, criteria: Iterator[tuple[str, Corner | None]], sides: Sides) -> Iterator[str]:
    state = log.best.state
    for name, winner in criteria:
        match name:
            case "highest_value":
                yield _by_value(state, winner, sides)
            case "most_of_the_highest":
                yield _by_highest(state, winner, sides)
            case "fewest_cautions":
                yield _by_cautions(state, winner, sides)
            case "last_point":
                yield _by_moment("last point", log, -1, sides)
            case "last_earned_point":
                yield _by_moment("last technical point", log, -1, sides, earned=True)
            case "first_point_at_one_all" | "one_all_ladder" if winner is not None:
                yield from _at_one_all(log, winner, sides, ladder=name == "one_all_ladder")
            case _ if winner is not None:
                yield f"{sides.name(winner)} {CRITERIA_WON[name]}"


def _values(state: State, corner: Corner) -> list[int]:
    return sorted((points for side, points in state.values if side == corner), reverse=True)


def _by_value(state: State, winner: Corner | None, sides: Sides) -> str:
    red, blue = (_values(state, corner) for corner in CORNERS)
    if winner is None:
        return f"the same scores each ({', '.join(map(str, red))})"
    decides = next((pair for pair in zip(red, blue, strict=False) if pair[0] != pair[1]), (red[0], blue[0]))
    if decides == (red[0], blue[0]):
        return f"{sides.name(winner)} has the highest single score ({max(decides)})"
    own = red if winner == "red" else blue
    other = blue if winner == "red" else red
    points = max(decides)
    return (
        f"{sides.name(winner)} has more {points}-point scores ({own.count(points)} to {other.count(points)})"
    )


def _by_highest(state: State, winner: Corner | None, sides: Sides) -> str:
    red, blue = (_values(state, corner) for corner in CORNERS)
    top = max([*red, *blue])
    counts = red.count(top), blue.count(top)
    if winner is None:
        one = counts[0] == 1
        return f"{_number(counts[0])} {top}-point score{'' if one else 's'} each"
    if not min(counts):
        return f"{sides.name(winner)} has the highest single score ({top})"
    return f"{sides.name(winner)} has more {top}-point scores ({max(counts)} to {min(counts)})"


def _by_cautions(state: State, winner: Corner | None, sides: Sides) -> str:
    red, blue = state.cautions
    if winner is None:
        return "no cautions" if not red else f"{_number(red)} caution{'' if red == 1 else 's'} each"
    fewer, more = min(red, blue), max(red, blue)
    return f"{sides.name(winner)} has fewer cautions ({fewer} to {more})"


def _by_moment(what: str, log: BoutLog, which: int, sides: Sides, *, earned: bool = False) -> str:
    """The first or the last point that stands, or that an action earned."""
    stand = [e for e in log.events if e.entry.move.points and e.entry.overturned is None]
    chosen = [e for e in stand if e.entry.move.kind in _ACTIONS] if earned else stand
    event: LogEvent = (chosen or stand)[which]
    corner = event.entry.move.corner
    return f"{what} {sides.name(corner) if corner else ''}, {moment_text(event.t, log.order)}"


def _at_one_all(log: BoutLog, winner: Corner, sides: Sides, *, ladder: bool) -> Iterator[str]:
    state = log.best.state
    if state.cautions[0] != state.cautions[1]:
        yield _by_cautions(state, winner, sides)
        return
    earned = [side for (side, _), on_mat in zip(state.values, state.earned, strict=True) if on_mat]
    if ladder and len(earned) == 1:
        yield f"only {sides.whose(winner)} point was earned on the mat"
    elif ladder and earned:
        yield _by_moment("last point", log, -1, sides)
    else:
        yield _by_moment("at 1-1 the first point counts:", log, 0, sides)


def _number(n: int) -> str:
    return _NUMBERS[n] if n < len(_NUMBERS) else str(n)
