"""The end of the bout: who won, and the final score."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding
from extract.checks.sides import leading
from extract.checks.words import score_text, won_by_text
from extract.mentions.model import ResultMention, ScoreMention


def check_end(bout: BoutRead) -> Iterator[Finding]:
    """The winner and the final score as said, against the computed ones."""
    if not bout.understood:
        # Of a bout of which nothing was understood there is no end that could be wrong.
        return
    log, mentions = bout.log, bout.mentions
    outcome = log.outcome
    sides, final = bout.sides, leading(bout.sides, log.best.score)
    for index, m in enumerate(mentions):
        if (
            isinstance(m, ResultMention)
            and m.winner is not None
            and log.frame.at_end(m.t)
            and m.grade == "plain"
            and m.stance == "asserted"
            and outcome is not None
            and outcome.winner is not None
            and m.winner != outcome.winner
        ):
            why = f"{sides.name(m.winner)} was said to win, but the score at the end is {final}."
            yield Finding("winner", "error", m.t, index, m.winner, outcome.winner, why)
            break
    if outcome is None or outcome.winner is None:
        why = f"The score at the end is {final}, and no rule gives a winner from that."
        if outcome is not None and outcome.by != "unknown":
            why = f"The bout ended {won_by_text(outcome.by)}, and nobody said who won."
        yield Finding("winner", "warning", log.frame.end, None, None, score_text(log.best.score), why)
    finals = [
        (n, c) for n, c in enumerate(bout.statements)
        if c.said is not None and isinstance(mentions[c.mention], ScoreMention) and log.frame.at_end(mentions[c.mention].t)
    ]  # fmt: skip
    if finals and all(c.verdict == "disagrees" for _, c in finals):
        n, c = finals[-1]
        why = f"No score said at the end is right: it is {final}."
        yield Finding(
            "final_score",
            "error",
            mentions[c.mention].t,
            c.mention,
            c.said,
            log.best.score,
            why,
            (("statement", n),),
        )
