"""The fact sheet of a record: every score said on air, whether it was right, and how to correct it if not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from extract.checks.words import moment_text, score_text
from extract.export.sides import Sides, full_name, isolated, lead, short_sides
from extract.record.model import Pair, Record, Statement, Verdict
from extract.record.plain import printable
from extract.rules.base import Corner
from extract.transcript.cue import Order

Word = Literal["right", "wrong", "unclear"]
_WORDS: Mapping[Verdict, Word] = MappingProxyType(
    {"agrees": "right", "disagrees": "wrong", "unclear": "unclear"}
)


@dataclass(frozen=True, slots=True)
class Fact:
    """One score said on air: ``time`` in minutes and seconds of the recording or its line, the ``words`` and what they say,
    whether that was right, what the ``board`` showed, and a sentence to read out if it was wrong (else empty)."""

    time: str
    words: str
    says: str
    verdict: Word
    board: str
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
    verdicts = [fact.verdict for fact in facts]
    counts = ", ".join(f"{verdicts.count(word)} {word}" for word in _WORDS.values())
    said = record.result.said_score
    head = (
        ("Bout", f"{full_name(record.bout.red, 'red')} against {full_name(record.bout.blue, 'blue')}"),
        ("Rules", f"{printable(record.bout.rules)}, edition {printable(record.bout.edition)}"),
        ("Result as computed", _result(record, sides)),
        *((("Said at the end", lead(sides, said)),) if said is not None else ()),
        ("Transcript", printable(record.source.file)),
    )
    title = f"Fact sheet: {sides.red} against {sides.blue}"
    return FactSheet(title, head, f"{len(facts)} ({counts})", facts, printable(record.note))


def _result(record: Record, sides: Sides) -> str:
    result = record.result
    score = score_text(result.score if result.winner != "blue" else result.score[::-1])
    if result.winner is None:
        ended = "" if result.by == "unknown" else f", ended by {result.by}"
        return f"{lead(sides, result.score)}{ended}; the winner is not known"
    how = "" if result.by == "unknown" else f" by {result.by}"
    victory = ""
    if result.victory is not None:
        victory = f", {printable(result.victory.code)} {result.victory.points[0]}:{result.victory.points[1]}"
    return f"{sides.name(result.winner)} {score}{how}{victory} (confidence {result.confidence:.2f})"


def _fact(statement: Statement, sides: Sides, order: Order | None) -> Fact:
    verdict = _WORDS[statement.verdict]
    return Fact(
        moment_text(statement.t, order),
        isolated(printable(statement.text)),
        _says(statement, sides),
        verdict,
        lead(sides, statement.computed),
        correction(statement.computed, sides) if verdict == "wrong" else "",
    )


def _says(statement: Statement, sides: Sides) -> str:
    if statement.said is not None:
        return lead(sides, statement.said)
    if not statement.margin:
        return "level" if statement.margin == 0 else f"{_leader(statement.leader, sides)} ahead"
    return f"{_leader(statement.leader, sides)} ahead by {statement.margin}"


def _leader(corner: Corner | None, sides: Sides) -> str:
    return sides.name(corner) if corner else "one side"


def correction(board: Pair, sides: Sides) -> str:
    """One sentence to read out, with the score that stands.

    >>> sides = Sides("Varnholt", "Brackett")
    >>> correction((3, 2), sides), correction((4, 4), sides), correction((0, 0), sides)
    ('Correction: it is 3-2 to Varnholt.', 'Correction: it is level at 4-4.', 'Correction: there is no score yet.')
    """
    if board[0] != board[1]:
        return f"Correction: it is {lead(sides, board)}."
    return (
        f"Correction: it is level at {score_text(board)}."
        if board[0]
        else "Correction: there is no score yet."
    )
