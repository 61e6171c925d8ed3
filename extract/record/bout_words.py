"""A bout in words: its style, who won and how, how many of the scores stated were right."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from extract.checks.sides import Sides, surnames, winning_text
from extract.checks.words import won_by_text
from extract.record.model import Record, Verdict
from extract.record.plain import isolated, printable
from extract.rules.styles import style_name

VERDICTS: Mapping[Verdict, str] = MappingProxyType(
    {"agrees": "right", "disagrees": "wrong", "unclear": "unclear"}
)


def short_sides(record: Record) -> Sides:
    """The surnames of a record, safe to show. If both are the same, the whole names."""
    sides = surnames(printable(record.bout.red.name or ""), printable(record.bout.blue.name or ""))
    return Sides(isolated(sides.red), isolated(sides.blue))


def rules_text(record: Record) -> str:
    """The style and the edition of its rules: "Freestyle, rules of 2026"."""
    return f"{printable(style_name(record.bout.rules))}, rules of {printable(record.bout.edition)}"


def how_won(record: Record) -> str:
    """How the bout was won: "on criteria"; in the US styles the name of the victory, "by major decision". Empty where it is
    not known."""
    result = record.result
    if result.victory is None or result.by == "unknown":
        return won_by_text(result.by)
    name = result.victory.name
    # The US rules name victories as they are spoken of. The international ones name rows of a table.
    international = name.startswith(("victory", "technical superiority", "both"))
    return won_by_text(result.by) if international else f"by {printable(name)}"


def ending_text(record: Record, sides: Sides) -> str:
    """Who won and how, with the score from the winner's side: "Skelvara wins 6-6 on criteria"."""
    return winning_text(sides, record.result.winner, record.result.score, how_won(record))


def verdict_counts(record: Record) -> Mapping[Verdict, int]:
    """How many of the scores stated were right, wrong and unclear."""
    found = [statement.verdict for statement in record.statements]
    return {verdict: found.count(verdict) for verdict in VERDICTS}


def counts_text(record: Record) -> str:
    """How many scores were stated and how many of them were wrong: "13 scores stated: 10 right, 3 wrong"."""
    number = len(record.statements)
    if not number:
        return "no scores stated"
    counts = verdict_counts(record)
    parts = [f"{n} {VERDICTS[v]}" for v, n in counts.items() if n or v != "unclear"]
    return f"{number} {'score' if number == 1 else 'scores'} stated: {', '.join(parts)}"
