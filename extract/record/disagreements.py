"""What was said on air, held against the log: one list of it, which every view of right and wrong uses.

Wrong is a stated score that disagrees, and whatever else a flag above a note sets against the log: the final score, the
winner, who leads on criteria, a riding-time point. Unclear is what a note sets against it: a score of which two
interpretations are close, a lead, a time left, a riding time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from extract.checks.sides import Sides, lead_text
from extract.checks.understood import NOTHING, SEVERAL
from extract.checks.words import clock_text, score_text
from extract.record.bout_words import VERDICTS, how_won, short_sides
from extract.record.flag_words import correction, flag_head, value_text
from extract.record.model import Flag, Record, Severity, Statement, Verdict
from extract.record.plain import percent, printable
from extract.rules.base import CORNERS

#: Flags on the whole account rather than on anything said.
_WHOLE = (NOTHING, SEVERAL)
_SCORES = ("score", "score_unclear")
_FINAL, _APART = "final_score", "score_apart"
_VERDICTS = tuple(VERDICTS[verdict] for verdict in ("disagrees", "unclear", "agrees"))
_SEVERITIES = ("error", "warning", "note")
#: The kind of a lead without a score, which a flag counts among the scores.
LEAD = "lead"


@dataclass(frozen=True, slots=True)
class OnAir:
    """One thing said on air. ``verdict`` is "wrong", "unclear" or "right". ``flag`` tells it in the form of a flag, even
    if the record has none of it; ``flags`` are those of the record, ``statements`` the scores stated: more than one if
    the same was said again at once."""

    verdict: str
    flag: Flag
    flags: tuple[Flag, ...] = ()
    statements: tuple[Statement, ...] = ()

    @property
    def kind(self) -> str:
        """The kind of the flag; "lead" for a lead without a score."""
        lead = self.flag.kind in _SCORES and any(s.said is None for s in self.statements)
        return LEAD if lead else self.flag.kind

    @property
    def id(self) -> str:
        """The ids of its flags, or of its statements where it has no flag."""
        return " ".join(each.id for each in self.flags or self.statements)

    @property
    def differs(self) -> bool:
        """Whether what was said is not what was computed. An unclear score may be the computed one, and one far from it is
        taken for another bout's."""
        return self.flag.kind in _WHOLE or (self.flag.kind != _APART and self.flag.said != self.flag.computed)

    def head(self, record: Record) -> str:
        """The kind of slip as a heading, "right" for what is right."""
        return self.verdict if self.verdict == "right" else flag_head(self.flag, record)


def on_air(record: Record) -> tuple[OnAir, ...]:
    """All that was said and can be held against the log: first what is wrong with all of it; then wrong things by severity,
    then confidence; then the unclear ones in the same order; then the right ones by time. Each flag and each statement
    comes once; a final score that is a stated score too is one thing."""
    return tuple(sorted(_found(record), key=_order))


def disagreements(record: Record) -> tuple[OnAir, ...]:
    """What was said and does not fit the log, the worst first: whatever is wrong, and the unclear things that differ."""
    return tuple(item for item in on_air(record) if item.verdict != "right" and item.differs)


def _order(item: OnAir) -> tuple[int, int, float, float]:
    if item.flag.kind in _WHOLE:
        # What is wrong with the whole account stands before what is wrong in it.
        return -1, 0, 0.0, item.flag.t
    if item.verdict == "right":
        return _VERDICTS.index(item.verdict), 0, 0.0, item.flag.t
    sure = item.flag.confidence
    severity = _SEVERITIES.index(item.flag.severity)
    return _VERDICTS.index(item.verdict), severity, 1.0 if sure is None else -sure, item.flag.t


def _found(record: Record) -> Iterator[OnAir]:
    sides = short_sides(record)
    by_id = {statement.id: statement for statement in record.statements}
    flags = [flag for flag in record.flags if _compares(flag)]
    stated = {flag.id: tuple(by_id[ref] for ref in flag.refs if ref in by_id) for flag in flags}
    # Of two on one statement the first is the more serious.
    wrong = [flag for flag in reversed(flags) if flag.kind == _FINAL and flag.severity != "note"]
    finals = {ref: flag for flag in wrong for ref in flag.refs}
    listed: set[str] = set()
    for flag in sorted(flags, key=lambda flag: flag.kind == _FINAL):
        if flag.id in listed:
            continue
        statements = stated[flag.id]
        # The last stated score is told as the final one, which says more.
        final = next((finals[s.id] for s in statements if s.id in finals and flag.kind != _FINAL), None)
        shown = flag if final is None or final.id in listed else final
        both = (flag,) if shown is flag else (shown, flag)
        listed |= {each.id for each in both}
        # What is said at the end may have been right in its moment.
        listed |= {s.id for s in statements if s.verdict != "agrees" or flag.kind != _FINAL}
        yield OnAir(_verdict(shown), shown, both, statements)
    for statement in record.statements:
        if statement.id not in listed:
            yield OnAir(VERDICTS[statement.verdict], _as_flag(statement, sides), (), (statement,))


def _compares(flag: Flag) -> bool:
    if flag.kind in _WHOLE:
        return True
    if flag.said is None or flag.computed is None:
        return False
    return flag.said != flag.computed or flag.severity == "note"


def _verdict(flag: Flag) -> str:
    verdict: Verdict = "unclear" if flag.severity == "note" else "disagrees"
    return VERDICTS[verdict]


def _as_flag(statement: Statement, sides: Sides) -> Flag:
    """A statement in the form of a flag."""
    s = statement
    said = s.said if s.said is not None else lead_text(sides, s.leader, s.margin)
    kind = "score_unclear" if s.verdict == "unclear" else "score"
    severity: Severity = "error" if s.verdict == "disagrees" else "note"
    return Flag(
        s.id, kind, severity, s.t, s.cue, s.text, said, s.computed, s.why, (s.id,), confidence=s.confidence
    )


def values(item: OnAir, record: Record) -> tuple[str, str]:
    """What was said and what it should be, in words; both empty for what is about the whole account."""
    sides = short_sides(record)
    return value_text(item.flag.said, sides), value_text(item.flag.computed, sides)


def sentence(flag: Flag, record: Record) -> str:
    """One sentence to read out. Empty unless something was said wrong that it can put right."""
    sides, computed = short_sides(record), flag.computed
    if flag.severity == "note" or flag.kind == "known":
        return ""
    if isinstance(computed, tuple):
        return correction(computed, sides, final=flag.kind == _FINAL)
    if computed not in CORNERS:
        return ""
    name = sides.named(computed)
    if flag.kind == "criteria":
        return f"Correction: {name} led on criteria."
    if flag.kind != "winner":
        return ""
    result = record.result
    if result.winner != computed:
        return f"Correction: {name} won."
    score = result.score if computed == "red" else result.score[::-1]
    return f"{f'Correction: {name} won {score_text(score)} {how_won(record)}'.rstrip()}."


def disagreement_lines(record: Record, file: str) -> tuple[str, ...]:
    """A line for each disagreement, the worst first, in the form of a compiler's messages.

    ``file:cue:time: old score: said 4-0 Brackett; should be 2-0 Brackett (90 %): why``. ``cue`` is the number of the cue,
    ``time`` is in minutes and seconds of the recording. What has no cue has 0 there. What is unclear has "computed" for
    "should be". If nothing was said, the line has only the heading and why. For an account without times it begins with
    ``file:line:``.
    """
    return tuple(_line(item, record, printable(file)) for item in disagreements(record))


def _line(item: OnAir, record: Record, file: str) -> str:
    flag, order = item.flag, record.source.order
    at = f"{flag.cue or 0}:{clock_text(flag.t)}" if order is None else str(order.line(flag.t))
    said, computed = values(item, record)
    sure = "" if flag.confidence is None else f" ({percent(flag.confidence)})"
    should = "should be" if item.verdict == VERDICTS["disagrees"] else "computed"
    what = f" said {said}; {should} {computed}{sure}:" if said and computed else ""
    return f"{file}:{at}: {item.head(record)}:{what} {printable(flag.why)}"
