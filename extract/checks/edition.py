"""Whether the points that are called are those of the edition that was given."""

from __future__ import annotations

from collections.abc import Iterator

from extract.checks.model import BoutRead, Finding


def check_edition(bout: BoutRead) -> Iterator[Finding]:
    """A flag where several calls have points that only another edition gives for them."""
    misfit, rules = bout.misfit, bout.rules
    if misfit is None:
        return
    first = misfit.calls[0]
    why = (
        f"Points were said {len(misfit.calls)} times that the edition {rules.edition} does not give for the action and "
        f"{misfit.better} does: the date or the edition of the bout file may be wrong."
    )
    yield Finding("edition", "warning", bout.mentions[first].t, first, misfit.better, rules.edition, why)
