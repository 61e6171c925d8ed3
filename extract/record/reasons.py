"""Why a record says what it says, entry by entry: the reason, and by which rows of a lexicon its words were found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from extract.checks.words import kind_text, moment_text, words_text
from extract.record.model import ClockReading, Evidence, PassedOver, Record, Statement
from extract.record.plain import percent, printable, talk_text


def reason_lines(record: Record, places: Mapping[str, str]) -> Iterator[str]:
    """Each event, stated score, challenge and time left, and the result, in that order, a line or more each; then the
    scores that were passed over, with the kind of talk they were taken for. ``places`` say where each row stands, as
    ``lexicons/phrases/scores.toml:5``."""
    order = record.source.order
    yield "Why"
    for event in record.events:
        kind = kind_text(event.kind)
        yield f"  {event.id} {moment_text(event.t, order)} {kind}: {printable(event.why)}"
        yield from _rows(event.evidence, places)
    for statement in record.statements:
        yield f"  {statement.id} {moment_text(statement.t, order)} {_quoted(statement)}: {printable(statement.why)}"
        yield from _rows([statement], places)
    for challenge in record.challenges:
        by = challenge.by or "nobody known"
        yield f"  {challenge.id} {moment_text(challenge.t, order)} challenge by {by}: {challenge.outcome}"
        yield from _rows(challenge.evidence, places)
    for reading in record.clock:
        yield f"  {reading.id} {moment_text(reading.t, order)} {_quoted(reading)}: {reading.seconds_left:g} s left"
        yield from _rows([reading], places)
    if record.result.row:
        yield f"  result: {record.result.by}"
        yield f"    by the row {_placed(record.result.row, places)}"
    if record.passed_over:
        yield "Passed over: numbers like a score that count for nothing, and what the transcript there was taken for"
    for passed in record.passed_over:
        kind = talk_text(passed.kind) or "live"
        yield f"  {moment_text(passed.t, order)} cue {passed.cue} {_quoted(passed)}: {kind} ({percent(passed.confidence)})"


def _rows(found: Iterable[Evidence | Statement | ClockReading], places: Mapping[str, str]) -> Iterator[str]:
    for words in found:
        if words.row:
            quoted = f"{_quoted(words)} " if isinstance(words, Evidence) else ""
            yield f"    {quoted}by the row {_placed(words.row, places)}"


def _quoted(words: Evidence | Statement | ClockReading | PassedOver) -> str:
    return printable(words_text(words.text))


def _placed(row: str, places: Mapping[str, str]) -> str:
    place = places.get(row)
    return printable(row if place is None else f"{row}, {place}")
