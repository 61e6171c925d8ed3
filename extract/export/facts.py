"""The fact sheet of a record: what was said on air, whether it was right, and how to correct it if not."""

from __future__ import annotations

from dataclasses import dataclass

from extract.checks.sides import leading
from extract.checks.words import moment_text
from extract.record.bout_words import counts_text, ending_text, rules_text, short_sides
from extract.record.disagreements import OnAir, on_air, sentence, values
from extract.record.flag_words import place_text
from extract.record.model import Record, SideInfo
from extract.record.plain import capital, isolated, percent, printable
from extract.record.said_table import Spoken, spoken
from extract.rules.base import CORNERS, Corner
from extract.transcript import Transcript


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing said on air. ``head`` is the kind of slip, ``time`` in minutes and seconds of the recording or its line,
    ``place`` the same with period and clock, ``again`` says how often if it was said more than once. ``says`` is what was
    said and ``should_be`` what was computed, ``sure`` the confidence in per cent or empty, ``correction`` a sentence to
    read out if it was wrong."""

    head: str
    time: str
    place: str
    again: str
    spoken: Spoken
    says: str
    should_be: str
    sure: str
    why: str
    correction: str


@dataclass(frozen=True, slots=True)
class Side:
    """A side of the plate: its full name, and what else is known: "Gannet Row, name as heard"."""

    corner: Corner
    name: str
    more: str


@dataclass(frozen=True, slots=True)
class FactSheet:
    """``head`` are the lines about the bout, each a heading and its text; ``counts`` sums up the scores stated. The facts
    stand as ``on_air`` sorts them: the worst first, the right ones by time."""

    title: str
    sides: tuple[Side, Side]
    result: str
    head: tuple[tuple[str, str], ...]
    counts: str
    wrong: tuple[Fact, ...]
    unclear: tuple[Fact, ...]
    right: tuple[Fact, ...]
    note: str


def fact_sheet(record: Record, transcript: Transcript | None = None) -> FactSheet:
    """The fact sheet of a record, with all text on one line each and safe to show. With the transcript it has the whole
    line that a thing was said in, and who said it."""
    sides = short_sides(record)
    items = on_air(record)
    wrong, unclear, right = (
        tuple(_fact(item, record, transcript) for item in items if item.verdict == verdict)
        for verdict in ("wrong", "unclear", "right")
    )
    said = record.result.said_score
    head = (
        ("Rules", rules_text(record)),
        *((("Why", capital(printable(record.result.why))),) if record.result.why else ()),
        *((("Said at the end", leading(sides, said)),) if said is not None else ()),
        ("Transcript", printable(record.source.file)),
    )
    return FactSheet(
        f"Fact sheet: {sides.red} against {sides.blue}",
        (_side(record, CORNERS[0]), _side(record, CORNERS[1])),
        _result(record),
        head,
        capital(counts_text(record)),
        wrong,
        unclear,
        right,
        printable(record.note),
    )


def _side(record: Record, corner: Corner) -> Side:
    info: SideInfo = getattr(record.bout, corner)
    more = [isolated(printable(info.team))] if info.team else []
    more += ["name as heard"] if info.name_from == "heard" else []
    return Side(corner, isolated(printable(info.name)) if info.name else "no name", ", ".join(more))


def _result(record: Record) -> str:
    result = record.result
    victory = ""
    if result.victory is not None and result.winner is not None:
        victory = f" ({printable(result.victory.code)} {result.victory.points[0]}:{result.victory.points[1]})"
    sure = f"; confidence {percent(result.confidence)}" if result.confidence else ""
    return f"{ending_text(record, short_sides(record))}{victory}{sure}"


def _again(number: int, times: tuple[str, ...]) -> str:
    """How often something was said, if more than once, with the times that can be told apart."""
    if number < 2:
        return ""
    return f"said {number} times" + (f": {', '.join(times)}" if len(times) > 1 else "")


def _fact(item: OnAir, record: Record, transcript: Transcript | None) -> Fact:
    flag, order = item.flag, record.source.order
    says, should_be = values(item, record)
    times = tuple(dict.fromkeys(moment_text(s.t, order) for s in item.statements))
    found = spoken(flag, transcript)
    # Nobody goes through what was right word by word.
    found = found.short() if item.verdict == "right" else found
    return Fact(
        item.head(record),
        moment_text(flag.t, order),
        place_text(flag, record),
        _again(len(item.statements), times),
        Spoken(*map(isolated, (found.speaker, found.before, found.words, found.after))),
        says,
        should_be,
        "" if flag.confidence is None else percent(flag.confidence),
        printable(flag.why),
        sentence(flag, record),
    )
