"""The whole way of one bout: transcript, mentions, log, checks, record."""

from __future__ import annotations

from typing import TYPE_CHECKING

from extract.checks import check_statements, find_flags
from extract.errors import InputError
from extract.log import infer
from extract.mentions import hear
from extract.mentions.style import heard_style
from extract.record.build import build_record
from extract.rules import UnknownRules, get_ruleset
from extract.transcript import Transcript

if TYPE_CHECKING:
    from extract.log import Parameters
    from extract.record.model import Origin, Record
    from extract.transcript import BoutFile


def extract_bout(
    transcript: Transcript,
    bout: BoutFile | None = None,
    *,
    rules: str | None = None,
    red: str | None = None,
    blue: str | None = None,
    parameters: Parameters | None = None,
    alternatives: int = 0,
) -> Record:
    """The bout record of one transcript.

    ``rules`` (a ruleset's name), ``red`` and ``blue`` (names) go before what the bout file says; what neither
    gives is found out from the talk. ``parameters`` replaces the shipped ones. ``alternatives`` is how many
    of the next best logs are listed at most. Raises InputError where the ruleset or its edition is unknown.
    """
    origins: dict[str, Origin] = {"rules": "given", "edition": "assumed"}
    name = rules or (bout.rules if bout is not None else None)
    if name is None:
        name, sure = heard_style(transcript)
        origins["rules"] = "heard" if sure else "assumed"
    edition, date = (bout.edition, bout.date) if bout is not None else (None, None)
    if edition is not None or date is not None:
        origins["edition"] = "given"
    try:
        ruleset = get_ruleset(name, edition, date)
    except UnknownRules as error:
        raise InputError(
            transcript.file, str(error), "name one of these with --rules or in the bout file"
        ) from None
    heard = hear(transcript, ruleset.name, bout, red=red, blue=blue)
    log = infer(
        heard.mentions,
        ruleset,
        transcript.seconds,
        interpolated=transcript.format == "block",
        parameters=parameters,
    )
    checked = check_statements(log, heard.mentions)
    findings = find_flags(log, checked, heard.mentions, ruleset)
    return build_record(transcript, heard, ruleset, log, checked, findings, origins, alternatives)
