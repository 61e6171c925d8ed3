"""An edition of the rules in words, each value with its source, for a person to read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from typing import NamedTuple

from extract.rules.edition import Edition, find_edition, load_documents, load_editions

#: The criteria of a level score in words.
CRITERIA_WORDS = {
    "highest_value": "more holds of the highest value, then of the next",
    "fewest_cautions": "fewer cautions",
    "last_point": "the last point",
    "most_of_the_highest": "the highest value, then more of it",
    "last_earned_point": "the last point that an action earned",
    "priority": "who drew priority",
    "first_point_at_one_all": "at 1-1 fewer cautions, then the first point",
    "one_all_ladder": "at 1-1 no caution where the other has one; then a point earned on the mat before one that is not; "
    "then the first point where neither is earned, the last where both are",
}

#: The criteria that one line says all of: how who is ahead by them came to be.
CRITERIA_WON = {"priority": "drew priority"}


class RuleRow(NamedTuple):
    """One rule: what it is about, what it says, and where that comes from."""

    what: str
    says: str
    source: str


class Section(NamedTuple):
    """Rules that belong together, under a heading."""

    heading: str
    rows: tuple[RuleRow, ...]


def describe(edition: Edition) -> tuple[Section, ...]:
    """All that an edition says, by section; sections without a row are left out."""
    sections = (
        Section("Times", tuple(_times(edition))),
        Section("Points", tuple(_points(edition))),
        Section("Warnings and penalties", tuple(_ladders(edition))),
        Section("Challenges", tuple(_challenges(edition))),
        Section("Level score", tuple(_level(edition))),
        Section("Victories", tuple(_victories(edition))),
    )
    return tuple(section for section in sections if section.rows)


def in_force(edition: Edition) -> str:
    """From when to when an edition holds, in words."""
    if edition.valid_to is not None:
        return f"{edition.valid_from} to {edition.valid_to}, on trial at some competitions"
    if edition == find_edition(edition.style):
        return f"since {edition.valid_from}; default"
    later = [
        e.valid_from
        for e in load_editions()[edition.style]
        if e.valid_from > edition.valid_from and not e.valid_to
    ]
    return f"{edition.valid_from} to {min(later) - timedelta(days=1)}"


def documents_of(edition: Edition) -> dict[str, str]:
    """The documents that the edition's sources name, by their short names: title, and where the text was seen."""
    texts = " ".join(edition.source.values())
    return {
        name: f"{document['title']}; seen: {document['seen']}"
        for name, document in load_documents().items()
        if re.search(rf"\b{re.escape(name)}\b", texts)
    }


def _row(edition: Edition, what: str, says: str, key: str) -> RuleRow:
    source = edition.source.get(key, "")
    # "As stalling_ladder" sends to another value's source.
    return RuleRow(what, says, edition.source.get(source.removeprefix("as "), source))


def _clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"


def _lengths(seconds: tuple[int, ...]) -> str:
    if len(set(seconds)) == 1:
        return f"{len(seconds)} x {_clock(seconds[0])}"
    return ", ".join(map(_clock, seconds))


def _times(edition: Edition) -> Iterator[RuleRow]:
    yield _row(edition, "periods", _lengths(edition.period_seconds), "period_seconds")
    for group, lengths in edition.age_groups.items():
        yield _row(edition, f"  {group}", _lengths(lengths), "age_groups")
    if edition.rest_seconds:
        yield _row(edition, "rest", f"{edition.rest_seconds} s", "rest_seconds")
    if edition.extra_periods:
        extra = ", ".join(
            f"{kind.replace('_', ' ')} {_clock(seconds)}" for kind, seconds in edition.extra_periods
        )
        yield _row(edition, "overtime", extra, "extra_periods")
    for choice in edition.choices:
        yield _row(edition, "choice", choice, "choices")


def _points(edition: Edition) -> Iterator[RuleRow]:
    for kind, points in edition.points.items():
        *most, last = map(str, sorted(points))
        worth = f"{', '.join(most)} or {last}" if most else last
        meaning = edition.actions.get(kind, "")
        # What each value is for says the values itself.
        says = meaning if meaning[:1].isdigit() else f"{worth}: {meaning}" if meaning else worth
        yield _row(edition, kind.replace("_", " "), says, f"points.{kind}")
    if edition.riding_time_seconds is not None:
        least = f"{_clock(edition.riding_time_seconds)} of net advantage at least"
        yield _row(edition, "riding time needed", least, "riding_time_seconds")
    if edition.target_score is not None:
        yield _row(edition, "score that ends the bout", str(edition.target_score), "target_score")
    if edition.superiority_lead is not None:
        yield _row(edition, "lead for superiority", str(edition.superiority_lead), "superiority_lead")


def _ladders(edition: Edition) -> Iterator[RuleRow]:
    for kind, meaning in edition.actions.items():
        if kind not in edition.points:
            yield _row(edition, kind.replace("_", " "), meaning, f"actions.{kind}")
    if edition.activity_seconds is not None:
        ends = "either wrestler" if edition.activity_ended_by == "either" else "the passive wrestler"
        says = f"{edition.activity_seconds} s; a score of {ends} ends it, else a point to the other"
        yield _row(edition, "activity clock", says, "activity_ended_by")
    if edition.passivity_points_limit is not None:
        says = f"the first {edition.passivity_points_limit} of a bout bring a point"
        yield _row(edition, "passivity points", says, "passivity_points_limit")
    if edition.stalling_ladder:
        steps = ", ".join("warning" if not step else str(step) for step in edition.stalling_ladder)
        yield _row(edition, "stalling", f"{steps}, then disqualification", "stalling_ladder")
    if edition.caution_limit is not None:
        yield _row(
            edition, "cautions", f"the bout is lost at number {edition.caution_limit}", "caution_limit"
        )
    if edition.penalty_limit is not None:
        says = f"disqualification after {edition.penalty_limit}"
        yield _row(edition, "penalties", says, "penalty_limit")
    for penalty in edition.penalties:
        yield _row(edition, penalty.offence, penalty.points, "penalties")


def _challenges(edition: Edition) -> Iterator[RuleRow]:
    if not edition.challenges:
        if "challenges" in edition.source:
            yield _row(edition, "challenges", "none", "challenges")
        return
    text = edition.challenge_scope or f"{edition.challenges} a side, kept when won"
    yield _row(edition, "challenges", text, "challenges")
    if edition.challenge_seconds is not None:
        yield _row(edition, "time to challenge", f"{edition.challenge_seconds} s", "challenge_seconds")
    points = edition.lost_challenge_points
    if "lost_challenge_points" in edition.source:
        yield _row(edition, "lost challenge", f"{points} to the other side", "lost_challenge_points")


def _level(edition: Edition) -> Iterator[RuleRow]:
    for number, name in enumerate(edition.level_score_criteria, 1):
        yield _row(edition, f"{number}.", CRITERIA_WORDS[name], "level_score_criteria")
    if edition.riding_time_decides is not None:
        after = {"each": "after each pair of tie-breakers", "last": "after the last pair of tie-breakers"}
        says = f"any advantage in riding time wins {after[edition.riding_time_decides]}"
        yield _row(edition, "riding time", says, "riding_time_decides")


def _victories(edition: Edition) -> Iterator[RuleRow]:
    for kind in edition.victories:
        leads = f", lead {kind.leads[0]} to {kind.leads[1]}" if kind.leads else ""
        how = ", at a level score" if kind.by == "criteria" else ""
        says = f"{kind.name}{leads}{how}: {kind.points[0]}:{kind.points[1]}"
        yield _row(edition, kind.code, says, "victories")
