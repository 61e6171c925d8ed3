"""The fact sheet of a record: every score said on air, whether it was right, and how to correct it if not."""

from __future__ import annotations

from dataclasses import dataclass

from extract.checks.sides import Sides, leading
from extract.checks.words import moment_text
from extract.export.sides import full_name
from extract.record.bout_words import VERDICTS, counts_text, ending_text, rules_text, short_sides
from extract.record.flag_words import correction
from extract.record.model import Record, Statement
from extract.record.plain import isolated, percent, printable, stated
from extract.transcript.cue import Order


@dataclass(frozen=True, slots=True)
class Fact:
    """One score said on air: ``time`` in minutes and seconds of the recording or its line, the ``words`` and what they say,
    whether that was right, what the ``score`` was, and a sentence to read out if it was wrong (else empty)."""

    time: str
    words: str
    says: str
    verdict: str
    score: str
    correction: str


@dataclass(frozen=True, slots=True)
class FactSheet:
    """``head`` are the lines about the bout, each a heading and its text; ``counts`` sums up the facts."""

    title: str
    head: tuple[tuple[str, str], ...]
    counts: str
    facts: tuple[Fact, ...]
    note: str


def fact_sheet(record: Record) -> FactSheet:
    """The fact sheet of a record, with all text on one line each and safe to show."""
    sides = short_sides(record)
    facts = tuple(
        _fact(statement, sides, record.source.order)
        for statement in sorted(record.statements, key=lambda s: s.t)
    )
    said = record.result.said_score
    head = (
        ("Bout", f"{full_name(record.bout.red, 'red')} against {full_name(record.bout.blue, 'blue')}"),
        ("Rules", rules_text(record)),
        ("Result as computed", _result(record, sides)),
        *((("Said at the end", leading(sides, said)),) if said is not None else ()),
        ("Transcript", printable(record.source.file)),
    )
    title = f"Fact sheet: {sides.red} against {sides.blue}"
    return FactSheet(title, head, counts_text(record), facts, printable(record.note))


def _result(record: Record, sides: Sides) -> str:
    result = record.result
    victory = ""
    if result.victory is not None and result.winner is not None:
        victory = f" ({printable(result.victory.code)} {result.victory.points[0]}:{result.victory.points[1]})"
    sure = f"; confidence {percent(result.confidence)}" if result.confidence else ""
    why = f"; {printable(result.why)}" if result.why else ""
    return f"{ending_text(record, sides)}{victory}{sure}{why}"


def _fact(statement: Statement, sides: Sides, order: Order | None) -> Fact:
    verdict = VERDICTS[statement.verdict]
    return Fact(
        moment_text(statement.t, order),
        isolated(printable(statement.text)),
        stated(statement, sides),
        verdict,
        leading(sides, statement.computed),
        correction(statement.computed, sides) if verdict == "wrong" else "",
    )
