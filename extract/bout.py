"""The whole way of one bout: transcript, talk, cast, mentions, log, checks, record."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from extract.checks import BoutRead, check_statements, find_flags, is_understood
from extract.checks.model import sides_of
from extract.decisions import in_force, place_decisions, with_sides
from extract.decisions.place import broken_findings, decided_times
from extract.decisions.tell import decision_text
from extract.errors import InputError
from extract.log import default_parameters, infer
from extract.log.riding import riding_time
from extract.log.stretches import find_stretches
from extract.log.trail import Trail
from extract.mentions import Heard, hear
from extract.mentions.edition import misfit
from extract.mentions.lexicon_check import own_lexicon
from extract.record.build import build_record
from extract.record.model import Decided
from extract.rules import UnknownRules, get_ruleset
from extract.talk.style import heard_style
from extract.transcript import BoutFile, Transcript
from extract.transcript.bout_file import key_line, same_name
from extract.transcript.known import BadResult, Known, under_rules

if TYPE_CHECKING:
    from extract.decisions import DecidedTalk, Decision, Force
    from extract.log import BoutLog, Parameters
    from extract.mentions import Heard
    from extract.mentions.edition import Misfit
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
    several: Callable[[int], None] | None = None,
) -> Record:
    """The bout record of one transcript.

    ``rules`` (a ruleset's name), ``red`` and ``blue`` (names) override the bout file. What neither gives is taken
    from the talk. ``parameters`` replaces the shipped ones. No more than ``alternatives`` of the next best logs are
    listed. ``lexicons`` are files of the user's own words, which are added to the shipped ones. ``decisions`` are all
    that people have made on this bout; those in force hold. ``several`` is told how many bouts the recording seems to
    hold, if it is more than one. Raises InputError if the ruleset or its edition is unknown, or a lexicon is malformed.
    """
    force = in_force(decisions)
    return _read(transcript, bout, rules, red, blue, parameters, lexicons, force, alternatives, several)[1]


def read_bout(
    transcript: Transcript,
    bout: BoutFile | None = None,
    *,
    rules: str | None = None,
    parameters: Parameters | None = None,
    lexicons: Sequence[str | Path] = (),
) -> tuple[BoutRead, Record]:
    """A bout as ``extract_bout`` reads it, with the record that is made of it. Raises the same errors."""
    return _read(transcript, bout, rules, None, None, parameters, lexicons, in_force(()))


def read_running(
    transcript: Transcript,
    bout: BoutFile | None = None,
    *,
    so_far: SoFar,
    rules: str | None = None,
    red: str | None = None,
    blue: str | None = None,
    parameters: Parameters | None = None,
    lexicons: Sequence[str | Path] = (),
    decisions: Sequence[Decision] = (),
) -> tuple[BoutRead, Record]:
    """A bout that is not over, as far as it was heard: all of ``transcript`` is of it. ``so_far`` is what was made of it
    when less was heard, and is carried on. For the rest, and the errors, see ``extract_bout``."""
    force = in_force(decisions)
    return _read(transcript, bout, rules, red, blue, parameters, lexicons, force, so_far=so_far)


@dataclass(slots=True)
class SoFar:
    """What was made of a bout that goes on, to be used again as far as it cannot have changed. Its talk may go on for
    ``goes_on`` seconds after the last word."""

    goes_on: float
    heard: Heard | None = None
    sides: Sequence[Heard | None] = (None, None)
    #: By how "us" and the order of typed scores were taken.
    trails: defaultdict[str, Trail] = field(default_factory=lambda: defaultdict(Trail))


def _read(
    transcript: Transcript,
    bout: BoutFile | None,
    rules: str | None,
    red: str | None,
    blue: str | None,
    parameters: Parameters | None,
    lexicons: Sequence[str | Path],
    force: Force,
    alternatives: int = 0,
    several: Callable[[int], None] | None = None,
    so_far: SoFar | None = None,
) -> tuple[BoutRead, Record]:
    parameters = parameters or default_parameters()
    given = _given(bout, rules, red, blue, lexicons, force)
    if so_far is None:
        heard = _hear_bout(transcript, given, force, several)
    else:
        heard = _hear(transcript.evened(), given, so_far.heard)
        so_far.heard = heard.heard
    ruleset, edition, misfit = _edition(heard, given)
    # How a bout ends that is not over says nothing of its score so far.
    known = _known(given, ruleset) if so_far is None else None
    decided, log = _most_probable(heard, ruleset, parameters, force, known, so_far)
    mentions = decided.heard.mentions
    statements = check_statements(log, mentions, sides_of(decided.heard))
    read = BoutRead(
        recording=transcript,
        talk=heard.talk,
        heard=decided.heard,
        rules=ruleset,
        log=log,
        statements=statements,
        rides=riding_time(log, ruleset),
        misfit=misfit,
        named=given.named,
        understood=is_understood(transcript, log, statements, mentions),
        decisions=(*decided.findings, *broken_findings(force, log.broken)),
        stretches=() if so_far else find_stretches(decided.heard.passages, mentions, log, parameters),
        goes_on=so_far is not None,
    )
    made = [Decided(d.id, d.at, d.by, d.what or "", decision_text(d, read.sides)) for d in force.decisions]
    origins = {**heard.origins, "edition": edition}
    return read, build_record(read, find_flags(read), origins, alternatives, made)


@dataclass(frozen=True, slots=True)
class _Given:
    """What is known of a bout before its talk is heard: the bout file with what people have decided of the sides, and what
    goes before it; ``style`` is the name of the ruleset, where one is given."""

    bout: BoutFile | None
    rules: str | None
    red: str | None
    blue: str | None
    lexicons: Sequence[str | Path]

    @property
    def style(self) -> str | None:
        return self.rules or (self.bout.rules if self.bout is not None else None)

    @property
    def named(self) -> bool:
        """Whether a name of somebody who wrestles is given."""
        bout = self.bout
        return bool(self.red or self.blue or (bout is not None and (bout.red.name or bout.blue.name)))

    def ruleset(self, style: str, edition: str | None = None) -> Ruleset:
        """The rules of a style, in an edition or in that which is given. Raises InputError."""
        known = self.bout or BoutFile()
        try:
            if edition is not None:
                return get_ruleset(style, edition, None, known.age_group)
            return get_ruleset(style, known.edition, known.date, known.age_group)
        except UnknownRules as error:
            raise _unknown(error, self.rules, self.bout) from None

    def has_edition(self) -> bool:
        """Whether the edition, or the date that picks one, is given."""
        return self.bout is not None and (self.bout.edition is not None or self.bout.date is not None)


def _given(
    bout: BoutFile | None,
    rules: str | None,
    red: str | None,
    blue: str | None,
    lexicons: Sequence[str | Path],
    force: Force,
) -> _Given:
    sided = with_sides(force, bout)
    # What people have decided of the sides goes before every name.
    return (
        _Given(bout, rules, red, blue, lexicons)
        if sided is bout
        else _Given(sided, rules, None, None, lexicons)
    )


@dataclass(frozen=True, slots=True)
class _HeardBout:
    """The bout's part of a recording, with all that is heard in it. It is ``introduced`` at that moment, seconds of
    recording. ``origins`` says where rules and edition come from."""

    talk: Transcript
    heard: Heard
    rules: Ruleset
    introduced: float
    origins: dict[str, Origin]


def _hear_bout(
    transcript: Transcript, given: _Given, force: Force, several: Callable[[int], None] | None
) -> _HeardBout:
    """From the transcript to its mentions: of all of it, or from where its bout plainly begins, if that is late."""
    talk = transcript.evened()
    heard = _hear(talk, given)
    if several is not None and (bouts := _bouts_told_apart(talk, heard.heard)) > 1:
        several(bouts)
    first = _first_cue(talk, heard.heard, force)
    if _is_lead_in(talk, first):
        talk = transcript.since(first).evened()
        return _hear(talk, given)
    return replace(heard, introduced=talk.cues[first].start if talk.cues else talk.begins)


def _hear(talk: Transcript, given: _Given, before: Heard | None = None) -> _HeardBout:
    style, sure = (given.style, True) if given.style is not None else heard_style(talk)
    rules = given.ruleset(style)
    _check_names(given.bout, given.red, given.blue)
    lexicon = own_lexicon(rules.name, given.lexicons)
    heard = hear(talk, rules.name, given.bout, red=given.red, blue=given.blue, lexicon=lexicon, before=before)
    origin: Origin = "given" if given.style is not None else "heard" if sure else "assumed"
    origins: dict[str, Origin] = {"rules": origin, "edition": "given" if given.has_edition() else "assumed"}
    return _HeardBout(talk, heard, rules, talk.first_word, origins)


def _edition(heard: _HeardBout, given: _Given) -> tuple[Ruleset, Origin, Misfit | None]:
    """The edition of the rules, where it comes from, and what of the talk does not fit it. Where nobody has said which
    edition holds, the points that are called do."""
    found = misfit(heard.heard.mentions, heard.rules)
    if found is None or given.has_edition():
        return heard.rules, heard.origins["edition"], found
    return given.ruleset(heard.rules.name, found.better), "heard", None


def _bouts_told_apart(talk: Transcript, heard: Heard) -> int:
    from extract.recording.opening import bouts_told_apart

    return bouts_told_apart(talk, heard)


def _first_cue(talk: Transcript, heard: Heard, force: Force) -> int:
    """The position of the cue with which the bout clearly begins. It is no later than what people have decided about
    it."""
    # The session imports this module: it cuts a recording into parts, and this module makes a record of each.
    from extract.recording.opening import decided_first, first_cue

    return decided_first(talk, first_cue(talk, heard), decided_times(force))


def _is_lead_in(talk: Transcript, first: int) -> bool:
    """Whether what is said before a cue is not part of the bout. A part that was cut out of a recording is all of the
    bout, and of an account without times nobody knows how long it went on before."""
    from extract.recording.opening import is_lead_in

    return talk.part is None and not talk.by_order and is_lead_in(talk, first)


def _most_probable(
    bout: _HeardBout,
    ruleset: Ruleset,
    parameters: Parameters,
    force: Force,
    known: Known | None,
    so_far: SoFar | None,
) -> tuple[DecidedTalk, BoutLog]:
    """What was heard as it is meant, and its log. If the talk takes sides and does not say whose, both are tried: the
    bout that is much more probable says who "us" is. The order of the numbers in typed scores is tried in the same
    way."""
    heard, talk = bout.heard, bout.talk

    def log_of(heard: Heard, lane: str = "") -> tuple[DecidedTalk, BoutLog]:
        placed = place_decisions(force, heard, ruleset, talk.seconds)
        log = infer(
            placed.heard.mentions,
            ruleset,
            talk.seconds,
            begins=talk.first_word,
            introduced=bout.introduced,
            passages=placed.heard.passages,
            interpolated=talk.interpolated,
            typed=placed.heard.document.notes,
            parameters=parameters,
            facts=placed.facts,
            first=heard.refs[0].corner if heard.refs else "red",
            known=known,
            order=talk.order,
            goes_on=so_far.goes_on if so_far is not None else 0.0,
            trail=so_far.trails[lane] if so_far is not None else None,
        )
        return placed, log

    if heard.cast.home_open:
        both = heard.taking_sides(so_far.sides if so_far is not None else (None, None))
        if so_far is not None:
            so_far.sides = both
        sides = [log_of(side, f"us {n}") for n, side in enumerate(both)]
        sides.sort(key=lambda pair: -pair[1].best.logp)
        if sides[0][1].best.logp - sides[1][1].best.logp >= parameters.get("home", "margin"):
            return sides[0]
    as_heard = log_of(heard)
    # In a file of notes the two numbers of a score are always in the same order, and the file as a whole shows which.
    tried = [
        (log_of(other, f"{corner} first"), parameters.get("order", corner))
        for corner, other in heard.orders().items()
    ]
    if not tried:
        return as_heard
    best, share = max(tried, key=lambda one: one[0][1].best.logp + math.log(one[1]))
    gain = best[1].best.logp + math.log(share) - as_heard[1].best.logp
    return best if gain >= parameters.get("order", "margin") else as_heard


def _known(given: _Given, ruleset: Ruleset) -> Known | None:
    """How the bout ended, as far as it is known beforehand. Raises InputError where it cannot be so under the rules."""
    bout = given.bout
    if bout is None or bout.known is None:
        return None
    try:
        return under_rules(bout.known, ruleset)
    except BadResult as bad:
        remedy = bad.remedy if given.style is not None else f"{bad.remedy}, or name the style with --rules"
        raise InputError(
            bout.file or "bout file", bad.problem, remedy, key_line(bout.file, bad.key, "result")
        ) from None


def _unknown(error: UnknownRules, rules: str | None, bout: BoutFile | None) -> InputError:
    """The error about the place where the ruleset, the edition, the age group or the date came from."""
    file = (bout.file if bout is not None else "") or "bout file"
    if error.about == "rules":
        if rules:
            return InputError("rules", error.problem, error.remedy)
        remedy = f"{error.remedy}, in the bout file or with --rules"
        return InputError(file, error.problem, remedy, key_line(file, "rules"))
    if error.about == "age_group":
        remedy = f"{error.remedy} as age_group, or take it out"
        return InputError(file, error.problem, remedy, key_line(file, "age_group"))
    if error.about == "edition":
        remedy = f"{error.remedy} as edition in the bout file, or take it out"
        return InputError(file, error.problem, remedy, key_line(file, "edition"))
    remedy = f"{error.remedy} in the bout file to use it all the same"
    return InputError(file, error.problem, remedy, key_line(file, "date"))


def _check_names(bout: BoutFile | None, red: str | None, blue: str | None) -> None:
    """Check that no option puts an athlete on the side opposite to that of the bout file."""
    if bout is None:
        return
    names = (red or bout.red.name, blue or bout.blue.name)
    if same_name(*names):
        problem = f"with the name given beside it, the same name on both sides, {names[0]!r}"
        raise InputError(bout.file or "bout file", problem, "give each side the name of its own athlete")
