"""Challenges that were left open."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding


def check_challenges(bout: BoutRead) -> Iterator[Finding]:
    """Challenges whose outcome nobody tells."""
    for n, review in enumerate(bout.log.best.reviews):
        if review.outcome == "unknown":
            why = f"{bout.sides.name(review.by)} challenged, and nobody said how it ended."
            yield Finding(
                "challenge_open", "warning", review.t, review.asked, review.by, None, why, (("challenge", n),)
            )
        elif review.answer is None:
            why = (
                f"Nobody said how {bout.sides.whose(review.by)} challenge ended; "
                f"the score afterwards shows that it was {review.outcome}."
            )
            yield Finding(
                "challenge_unsaid",
                "note",
                review.t,
                review.asked,
                None,
                review.outcome,
                why,
                (("challenge", n),),
            )
