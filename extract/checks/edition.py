"""Whether the points that are called are those of the edition that was given."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extract.checks.flags import Finding
from extract.mentions.edition import Misfit
from extract.mentions.model import Mention
from extract.rules.base import Ruleset


def check_edition(misfit: Misfit | None, mentions: Sequence[Mention], rules: Ruleset) -> Iterator[Finding]:
    """A flag where several calls have points that only another edition gives for them."""
    if misfit is None:
        return
    first = misfit.calls[0]
    why = (
        f"{len(misfit.calls)} calls have points that the edition {rules.edition} does not give for them and "
        f"{misfit.better} does: the date or the edition of the bout file may be wrong."
    )
    yield Finding("edition", "warning", mentions[first].t, first, misfit.better, rules.edition, why)
