"""The whole way of one bout: transcript, mentions, log, checks, record."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from extract.checks import (
    check_edition,
    check_lead_in,
    check_riding_time,
    check_statements,
    check_talk,
    check_understood,
    find_flags,
)
from extract.decisions import in_force, place_decisions, with_sides
from extract.decisions.place import broken_findings, decided_times
from extract.decisions.tell import decision_text
from extract.errors import InputError
from extract.log import default_parameters, infer
from extract.log.riding import riding_time
from extract.mentions import hear
from extract.mentions.edition import misfit
from extract.mentions.lexicon_check import own_lexicon
from extract.record.build import build_record
from extract.record.model import Decided
from extract.rules import UnknownRules, get_ruleset
from extract.talk.style import heard_style
from extract.transcript import BoutFile, Transcript
from extract.transcript.bout_file import key_line, same_name

if TYPE_CHECKING:
    from extract.decisions import DecidedTalk, Decision, Force
    from extract.log import BoutLog, Parameters
    from extract.mentions import Heard
    from extract.record.model import Origin, Record
    from extract.rules import Ruleset


def extract_bout(
    transcript: Transcript,
    bout: BoutFile | None = None,
    *,
    rules: str | None = None,
    red: str | None = None,
    blue: str | None = None,
    parameters: Parameters | None = None,
    alternatives: int = 0,
    lexicons: Sequence[str | Path] = (),
    decisions: Sequence[Decision] = (),
) -> Record:
    """The bout record of one transcript.

    ``rules`` (a ruleset's name), ``red`` and ``blue`` (names) go before what the bout file says; what neither
    gives is found out from the talk. ``parameters`` replaces the shipped ones. ``alternatives`` is how many
    of the next best logs are listed at most. ``lexicons`` are files of the user's own words, which are added to the
    shipped ones. ``decisions`` are all that people have made on this bout; those in force hold. Raises InputError
    where the ruleset or its edition is unknown, or a lexicon is malformed.
    """
    origins: dict[str, Origin] = {"rules": "given", "edition": "assumed"}
    force = in_force(decisions)
    sided = with_sides(force, bout)
    if sided is not bout:
        bout, red, blue = sided, None, None
    name = rules or (bout.rules if bout is not None else None)
    known = bout or BoutFile()
    if known.edition is not None or known.date is not None:
        origins["edition"] = "given"

    def heard_in(talk: Transcript) -> tuple[Ruleset, Heard]:
        style, sure = (name, True) if name is not None else heard_style(talk)
        if name is None:
            origins["rules"] = "heard" if sure else "assumed"
        try:
            ruleset = get_ruleset(style, known.edition, known.date, known.age_group)
        except UnknownRules as error:
            raise _unknown(error, rules, bout) from None
        _check_names(bout, red, blue)
        lexicon = own_lexicon(ruleset.name, lexicons)
        return ruleset, hear(talk, ruleset.name, bout, red=red, blue=blue, lexicon=lexicon)

    talk = transcript.evened()
    ruleset, everything = heard_in(talk)
    first = _first_cue(talk, everything, force)
    introduced = talk.cues[first].start if talk.cues else talk.begins
    if _is_lead_in(talk, first):
        talk = transcript.since(first).evened()
        introduced = talk.first_word
        ruleset, everything = heard_in(talk)
    told = misfit(everything.mentions, ruleset)
    if told is not None and origins["edition"] == "assumed":
        # Nobody has said which edition holds; the points that are called do.
        ruleset, told = get_ruleset(ruleset.name, told.better, None, known.age_group), None
        origins["edition"] = "heard"
    placed, log = _read(everything, talk, introduced, ruleset, parameters, force)
    heard = placed.heard
    checked = check_statements(log, heard.mentions)
    rides = riding_time(log, ruleset)
    given = bool(red or blue or (bout is not None and (bout.red.name or bout.blue.name)))
    read = [*check_understood(transcript, log, checked, heard.mentions)]
    understood = all(finding.kind != "nothing_understood" for finding in read)
    others = [
        *read,
        *check_talk(heard, given=given, begins=transcript.begins),
        *(check_lead_in(transcript, talk) if understood else ()),
        *check_riding_time(log, rides, heard.mentions, ruleset),
        *check_edition(told, heard.mentions, ruleset),
        *placed.findings,
        *broken_findings(force, log.broken),
    ]
    made = [Decided(d.id, d.at, d.by, d.what or "", decision_text(d)) for d in force.decisions]
    findings = find_flags(log, checked, heard.mentions, ruleset, others)
    return build_record(
        transcript, heard, ruleset, log, rides, checked, findings, origins, alternatives, made
    )


def _first_cue(talk: Transcript, heard: Heard, force: Force) -> int:
    """The position of the cue with which the bout plainly begins; no later than what people have decided of it."""
    # The session imports this module: it takes a recording to pieces, and this makes a record of each.
    from extract.session.opening import decided_first, first_cue

    return decided_first(talk, first_cue(talk, heard), decided_times(force))


def _is_lead_in(talk: Transcript, first: int) -> bool:
    """Whether what is said before a cue is no part of the bout. Of a part that was cut out of a recording all is."""
    from extract.session.opening import is_lead_in

    return talk.part is None and is_lead_in(talk, first)


def _read(
    heard: Heard,
    talk: Transcript,
    introduced: float,
    ruleset: Ruleset,
    parameters: Parameters | None,
    force: Force,
) -> tuple[DecidedTalk, BoutLog]:
    """What was heard as it is meant, and its log. Where the talk takes sides and does not say whose, both are tried: the
    bout that is the more probable by far says who "us" is. So it is with the order of the numbers in typed scores."""
    parameters = parameters or default_parameters()

    def log_of(heard: Heard) -> tuple[DecidedTalk, BoutLog]:
        placed = place_decisions(force, heard, ruleset, talk.seconds)
        log = infer(
            placed.heard.mentions,
            ruleset,
            talk.seconds,
            begins=talk.first_word,
            introduced=introduced,
            interpolated=talk.interpolated,
            typed=placed.heard.document.notes,
            parameters=parameters,
            facts=placed.facts,
            first=heard.refs[0].corner if heard.refs else "red",
        )
        return placed, log

    if heard.cast.home_open:
        sides = [log_of(side) for side in heard.taking_sides()]
        sides.sort(key=lambda pair: -pair[1].best.logp)
        if sides[0][1].best.logp - sides[1][1].best.logp >= parameters.get("home", "margin"):
            return sides[0]
    as_heard = log_of(heard)
    # In one file of notes the two numbers of a score stand in one order, and the file itself tells which.
    tried = [(log_of(other), parameters.get("order", corner)) for corner, other in heard.orders().items()]
    if not tried:
        return as_heard
    best, share = max(tried, key=lambda one: one[0][1].best.logp + math.log(one[1]))
    gain = best[1].best.logp + math.log(share) - as_heard[1].best.logp
    return best if gain >= parameters.get("order", "margin") else as_heard


def _unknown(error: UnknownRules, rules: str | None, bout: BoutFile | None) -> InputError:
    """The error about the place that the ruleset, the edition, the age group or the date was taken from."""
    file = (bout.file if bout is not None else "") or "bout file"
    if error.about == "rules":
        if rules:
            return InputError("rules", str(error), error.remedy)
        remedy = f"{error.remedy} in the bout file or with --rules"
        return InputError(file, str(error), remedy, key_line(file, "rules"))
    if error.about == "age_group":
        return InputError(file, str(error), error.remedy, key_line(file, "age_group"))
    if error.about == "edition":
        remedy = f"{error.remedy} as edition in the bout file, or take it out"
        return InputError(file, str(error), remedy, key_line(file, "edition"))
    remedy = f"{error.remedy} in the bout file to use it all the same"
    return InputError(file, str(error), remedy, key_line(file, "date"))


def _check_names(bout: BoutFile | None, red: str | None, blue: str | None) -> None:
    """That an option does not put one athlete on the side opposite to that of the bout file."""
    if bout is None:
        return
    names = (red or bout.red.name, blue or bout.blue.name)
    if same_name(*names):
        problem = f"with the name given beside it, the same name on both sides, {names[0]!r}"
        raise InputError(bout.file or "bout file", problem, "give each side the name of its own athlete")
