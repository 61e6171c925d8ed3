"""The scores said: those that do not agree, and those taken for another bout's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from extract.checks.model import BoutRead, Finding, Severity
from extract.checks.sides import lead_text, leading
from extract.mentions.model import ScoreMention
from extract.rules.board import board_at

#: From this confidence on a disagreement is an error, below it a warning.
_SURE = 0.8
#: A value said again within so many seconds is the same statement said over.
_AT_ONCE_S = 8.0


def check_scores(bout: BoutRead) -> Iterator[Finding]:
    """A flag for each statement that does not agree; the same value said over again at once shares one."""
    held: Finding | None = None
    for n, c in enumerate(bout.statements):
        if c.verdict == "agrees" or (c.said is None and c.verdict != "unclear"):
            continue
        t = bout.mentions[c.mention].t
        said = c.said if c.said is not None else lead_text(bout.sides, c.leader, c.margin)
        kind = "score" if c.verdict == "disagrees" else "score_unclear"
        severity: Severity = (
            "note" if kind == "score_unclear" else "error" if c.confidence >= _SURE else "warning"
        )
        if (
            held is not None
            and (held.kind, held.said, held.computed) == (kind, said, c.computed)
            and t - held.t < _AT_ONCE_S
        ):
            held = replace(held, refs=(*held.refs, ("statement", n)))
            continue
        if held is not None:
            yield held
        held = Finding(kind, severity, t, c.mention, said, c.computed, c.why, (("statement", n),))
    if held is not None:
        yield held


def check_other_scores(bout: BoutRead) -> Iterator[Finding]:
    """Scores said like that of this bout, and too far from the score for it."""
    for index in bout.log.apart:
        m = bout.mentions[index]
        if not isinstance(m, ScoreMention):
            continue
        score = board_at(bout.log.board, m.t)
        said = m.pair if m.first != "blue" else m.pair[::-1]
        now = leading(bout.sides, score)
        why = f"This sounds like the score of this bout, but is far from {now}: ignored as another one's."
        yield Finding("score_apart", "note", m.t, index, said, score, why)
