"""Holds what was said against the log: verdicts on stated scores, and flags for a person to look at.

The model is the balance assertion of plain-text accounting: the statement, the computed value, the place, one
sentence why. A check is a function from a ``BoutRead`` to findings; a new one is a function and its name in ``CHECKS``.
"""

from __future__ import annotations

from extract.checks.challenges import check_challenges
from extract.checks.clocks import check_clocks
from extract.checks.criteria import check_criteria
from extract.checks.edition import check_edition
from extract.checks.end import check_end
from extract.checks.known import check_known
from extract.checks.model import BoutRead, Check, Finding
from extract.checks.riding import check_riding_time
from extract.checks.scores import check_other_scores, check_scores
from extract.checks.statements import StatementCheck, check_statements
from extract.checks.talk import check_language, check_lead_in, check_names, check_sides
from extract.checks.uncalled import check_uncalled
from extract.checks.understood import check_understood, is_understood

__all__ = [
    "CHECKS",
    "BoutRead",
    "Check",
    "Finding",
    "StatementCheck",
    "check_statements",
    "find_flags",
    "is_understood",
]


def _decisions(bout: BoutRead) -> tuple[Finding, ...]:
    """What people have decided that cannot be so."""
    return tuple(bout.decisions)


#: All checks. Of findings of one severity at one moment those of an earlier check come first.
CHECKS: tuple[Check, ...] = (
    check_understood,
    check_language,
    check_names,
    check_sides,
    check_lead_in,
    check_riding_time,
    check_edition,
    _decisions,
    check_scores,
    check_end,
    check_known,
    check_criteria,
    check_challenges,
    check_clocks,
    check_uncalled,
    check_other_scores,
)
#: Those that bear on a bout that goes on: what is said of its score, of who leads, of riding time and of the end.
WHILE_IT_GOES_ON: tuple[Check, ...] = (check_riding_time, _decisions, check_scores, check_end, check_criteria)
_RANK = {"error": 0, "warning": 1, "note": 2}


def find_flags(bout: BoutRead) -> list[Finding]:
    """What all checks find, the most serious first, then by time. Of a bout that goes on only what bears on it then."""
    checks = WHILE_IT_GOES_ON if bout.goes_on else CHECKS
    found = [finding for check in checks for finding in check(bout)]
    return sorted(found, key=lambda finding: (_RANK[finding.severity], finding.t))
