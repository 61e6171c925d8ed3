"""Holds what was said against the log: verdicts on stated scores, and flags for a person to look at.

The model is the balance assertion of plain-text accounting: the statement, the computed value, the place, one
sentence why.
"""

from extract.checks.edition import check_edition
from extract.checks.flags import Finding, find_flags
from extract.checks.riding import check_riding_time
from extract.checks.statements import Checked, check_statements
from extract.checks.talk import check_lead_in, check_talk
from extract.checks.understood import check_understood

__all__ = [
    "Checked",
    "Finding",
    "check_edition",
    "check_lead_in",
    "check_riding_time",
    "check_statements",
    "check_talk",
    "check_understood",
    "find_flags",
]
