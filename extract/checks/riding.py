"""Riding time: the point against the balance, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.checks.model import BoutRead, Finding
from extract.checks.sides import Sides
from extract.checks.words import clock_text
from extract.log import BoutLog
from extract.log.riding import Ride, balance_at
from extract.mentions.model import ClockMention, Mention
from extract.rules.base import Corner, Ruleset
from extract.rules.riding import riding_point

#: A time said that is off by less is no matter for a person, seconds: it is read off another clock, and rounded.
_TELLING_S = 10.0


def check_riding_time(bout: BoutRead) -> tuple[Finding, ...]:
    """What does not agree with the balance of riding time; nothing where the style has none."""
    log, rides, rules = bout.log, bout.rides, bout.rules
    if not rides or rules.riding_time_seconds is None:
        return ()
    point = _point(log, rides, rules, rules.riding_time_seconds, bout.sides)
    return (*point, *_said(log, rides, bout.mentions, bout.sides))


def _point(
    log: BoutLog, rides: Sequence[Ride], rules: Ruleset, minimum: int, sides: Sides
) -> Iterator[Finding]:
    """The point of regulation, given or not, against the balance at its end."""
    ends = [ride for ride in rides if rules.riding_round(ride.period) == 0]
    given = [
        (n, event)
        for n, event in enumerate(log.events)
        if event.entry.move.kind == "riding_time" and event.entry.overturned is None
        and event.period <= len(rules.period_seconds)
    ]  # fmt: skip
    whole = log.ran_out or rides[-1] is not ends[-1]
    if not ends or not whole:
        return
    last = ends[-1]
    due, sure = riding_point(last.balance, minimum), abs(abs(last.balance) - minimum) > last.uncertainty
    held = _held(last.balance, last.uncertainty, sides)
    if given:
        n, event = given[0]
        corner = event.entry.move.corner
        if corner != due and sure:
            why = f"The riding-time point went to {sides.named(corner or 'nobody')}, but by what was said {held}."
            yield Finding(
                "riding_time",
                "warning",
                event.t,
                next(iter(event.entry.mentions), None),
                corner,
                due,
                why,
                (("event", n),),
            )
    elif due is not None and sure:
        why = f"By what was said {held}; nobody mentioned the riding-time point."
        yield Finding("riding_time", "note", last.t, None, None, due, why)


def _said(
    log: BoutLog, rides: Sequence[Ride], mentions: Sequence[Mention], sides: Sides
) -> Iterator[Finding]:
    """A riding time said against the balance at that moment, whosever it is."""
    for index, m in enumerate(mentions):
        if not isinstance(m, ClockMention) or m.clock != "riding" or m.stance != "asserted":
            continue
        known = balance_at(rides, log, m.t)
        if known is None:
            continue
        off, slack = m.seconds - abs(known[0]), _TELLING_S + known[1]
        too_much, too_little = off > slack and m.bound != "under", off < -slack and m.bound != "over"
        if not too_much and not too_little:
            continue
        why = f"At that moment, by what was said, {_held(*known, sides)}."
        yield Finding(
            "riding_time_said", "note", m.t, index, clock_text(m.seconds), clock_text(abs(known[0])), why
        )


def _held(balance: float, unsure: float, sides: Sides) -> str:
    """A balance in words."""
    leader: Corner = "red" if balance > 0 else "blue"
    if not round(balance):
        return "neither has ridden longer than the other"
    return f"{sides.name(leader)} has ridden {clock_text(abs(balance))} longer, give or take {unsure:.0f} s"
