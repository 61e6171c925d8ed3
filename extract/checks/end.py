"""The end of the bout: who won, and the final score."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding
from extract.checks.words import board_text, score_text
from extract.mentions.model import ResultMention, ScoreMention


def check_end(bout: BoutRead) -> Iterator[Finding]:
    """The winner and the final score as said, against the computed ones."""
    if not bout.understood:
        # Of a bout of which nothing was understood there is no end that could be wrong.
        return
    log, mentions = bout.log, bout.mentions
    outcome = log.outcome
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
            why = f"{m.winner} was said to win, but the board ends at {board_text(log.best.score)}."
            yield Finding("winner", "error", m.t, index, m.winner, outcome.winner, why)
            break
    if outcome is None or outcome.winner is None:
        why = f"The board ends at {board_text(log.best.score)}, and no rule gives a winner from that."
        if outcome is not None and outcome.by != "unknown":
            why = f"The bout ended by {outcome.by}, and the talk does not tell who won."
        yield Finding("winner", "warning", log.frame.end, None, None, score_text(log.best.score), why)
    finals = [
        (n, c) for n, c in enumerate(bout.statements)
        if c.said is not None and isinstance(mentions[c.mention], ScoreMention) and log.frame.at_end(mentions[c.mention].t)
    ]  # fmt: skip
    if finals and all(c.verdict == "disagrees" for _, c in finals):
        n, c = finals[-1]
        why = f"No score said at the end is the one on the board: {board_text(log.best.score)}."
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
