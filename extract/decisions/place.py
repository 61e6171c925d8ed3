"""Decisions as facts for the search. Each is bound to the words that it is based on, in the talk as it now stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from extract.checks import Finding
from extract.checks.words import clock_text, words_text
from extract.decisions.fold import Force
from extract.decisions.model import ChallengeIs, Decision, EventIs, ResultIs, ScoreIs, SidesAre
from extract.decisions.tell import decision_text
from extract.decisions.words import Need, bind, find_words
from extract.log.facts import Barred, Bound, Dropped, Facts, Fixed, Ruled
from extract.mentions.model import CallMention, MarginMention, Mention, ReviewMention, ScoreMention
from extract.rules.base import Move, Outcome
from extract.transcript import BoutFile

if TYPE_CHECKING:
    from extract.mentions import Heard
    from extract.rules import Ruleset

#: How far the absence of something reaches, in seconds, if the decision does not say so.
_BESIDE_S = 4.0
#: Words about a challenge are about this one if they are no further from its start or its outcome, in seconds.
_ROUND_CHALLENGE_S = 3.0
#: People repeat what they said about a challenge for this many seconds.
_AGAIN_S = 12.0
#: What comes this many seconds after the last words may still belong to the bout.
_LATE_S = 60.0
#: How long the officials look at a challenge if nobody has said it, in seconds.
_LOOKED_AT_S = 20.0


@dataclass(frozen=True, slots=True)
class DecidedTalk:
    """The talk as it is meant, the facts for the search, and what of the decisions could not be placed."""

    heard: Heard
    facts: Facts
    findings: tuple[Finding, ...]


def with_sides(force: Force, bout: BoutFile | None) -> BoutFile | None:
    """The bout file with the sides as decided. What it says of an athlete goes along with the name."""
    named = [decision.to for decision in force.decisions if isinstance(decision.to, SidesAre)]
    if not named:
        return bout
    sides, bout = named[-1], bout or BoutFile()
    known = {side.name: side for side in (bout.red, bout.blue) if side.name}
    red, blue = (
        known.get(name, replace(bout.red, name=name, team=None, aliases=()))
        for name in (sides.red, sides.blue)
    )
    exchanged = sides.red == bout.blue.name or sides.blue == bout.red.name
    if exchanged and bout.known is not None:
        # What is known of the end goes along with the names.
        bout = replace(bout, known=bout.known.turned())
    # What is worn belongs to the corner.
    return replace(
        bout, red=replace(red, colour=bout.red.colour), blue=replace(blue, colour=bout.blue.colour)
    )


def place_decisions(force: Force, heard: Heard, rules: Ruleset, seconds: float) -> DecidedTalk:
    """Binds the decisions in force to the mentions of a talk that lasts ``seconds``."""
    heard, meant, lost = _meant(force.decisions, heard)
    made = {decision.id: decision.to for decision in force.decisions}
    right = {
        k: it.right
        for k, name in meant.items()
        if isinstance(it := made[name], ScoreIs) and it.right is not None
    }
    placing = _Placing(force.decisions, heard, rules, seconds)
    facts = replace(placing.facts(), meant=meant, right=right)
    conflicts = tuple(_conflict(*pair) for pair in force.conflicts)
    return DecidedTalk(heard, facts, (*conflicts, *lost, *placing.findings))


def decided_times(force: Force) -> list[float]:
    """The moments that decisions on a bout are about, seconds of recording, in no order."""
    subjects = [subject for d in force.decisions for subject in (d.of, d.to)]
    times = [s.t for s in subjects if isinstance(s, EventIs | ScoreIs | ChallengeIs)]
    return times + [words.t for d in force.decisions for words in d.words]


def broken_findings(force: Force, broken: Sequence[tuple[str, str]]) -> Iterator[Finding]:
    """A flag for each decision that could not be kept, or that goes against the rules."""
    made = {decision.id: decision for decision in force.decisions}
    for name, reason in broken:
        # The fact of a challenge may come with an event's decision.
        decision = made[name]
        subject = decision.to or decision.of
        t = subject.t if isinstance(subject, EventIs | ScoreIs | ChallengeIs) else 0.0
        why = f"Correction {name} by {decision.by} ({decision_text(decision)}) does not go with the rest: {reason}."
        yield Finding("decision_conflict", "error", t, None, None, None, why)


def _conflict(one: Decision, other: Decision) -> Finding:
    subject = one.of or one.to
    t = subject.t if isinstance(subject, EventIs | ScoreIs | ChallengeIs) else 0.0
    why = (
        f"Corrections {one.id} by {one.by} ({decision_text(one)}) and {other.id} by {other.by} "
        f"({decision_text(other)}) contradict each other: neither is taken until one is undone."
    )
    return Finding("decision_conflict", "error", t, None, None, None, why)


def _unplaced(decision: Decision, t: float, reason: str) -> Finding:
    words = f" on {words_text(decision.words[0].text)}" if decision.words else ""
    why = f"Correction {decision.id} by {decision.by}{words} ({decision_text(decision)}) is not taken: {reason}."
    return Finding("decision_unplaced", "warning", t, None, None, None, why)


def _heard_as(decision: Decision) -> tuple[int, int] | None:
    return decision.of.said if isinstance(decision.of, ScoreIs) else None


def _meant(decisions: Sequence[Decision], heard: Heard) -> tuple[Heard, dict[int, str], list[Finding]]:
    """The talk with its scores as decided. Words that state no score are no longer a mention, and words that state
    one are."""
    scores = [d for d in decisions if d.what == "score"]
    if not scores:
        return heard, {}, []
    mentions: list[Mention | None] = list(heard.mentions)
    needs = [Need(d.id, "score", k, word, _heard_as(d)) for d in scores for k, word in enumerate(d.words)]
    bound = bind(needs, heard, (ScoreMention, MarginMention))
    lost: list[Finding] = []
    meant: dict[int, str] = {}
    fresh: list[Mention] = []
    for decision in scores:
        subject = decision.to or decision.of
        assert isinstance(subject, ScoreIs)
        keys = [(decision.id, k) for k in range(len(decision.words))]
        at = next((bound[key] for key in keys if key in bound), None)
        held = None if at is None else mentions[at]
        if at is not None:
            mentions[at] = None
        if decision.to is None or subject.said is None:
            continue
        if held is None:
            place = find_words(decision.words[0], heard.document) if decision.words else None
            if place is None:
                t = clock_text(subject.t)
                lost.append(_unplaced(decision, subject.t, f"nothing like these words is said at {t}"))
                continue
            held = Mention(*place, heard.document.time(place[0]), "asserted", "decided")
        score = ScoreMention(
            held.start, held.end, held.t, "asserted", held.grade, subject.said, "red", "attached", decided=True,
            final=isinstance(held, ScoreMention) and held.final,
        )  # fmt: skip
        fresh.append(score)
        meant[id(score)] = decision.id
    kept = sorted([*(m for m in mentions if m is not None), *fresh], key=lambda m: (m.start, m.end))
    names = {k: meant[id(m)] for k, m in enumerate(kept) if id(m) in meant}
    return replace(heard, mentions=tuple(kept)), names, lost


class _Placing:
    """The decisions on events, challenges and the result, one after another."""

    def __init__(self, decisions: Sequence[Decision], heard: Heard, rules: Ruleset, seconds: float) -> None:
        self._decisions, self._heard = decisions, heard
        self._rules, self._seconds = rules, seconds
        self.findings: list[Finding] = []
        # An addition is not what the program has heard in those words.
        about = [d for d in decisions if d.what in ("event", "challenge") and d.do != "add"]
        needs = [Need(d.id, d.what or "", k, word) for d in about for k, word in enumerate(d.words)]
        self._bound = bind(needs, heard, (CallMention, ReviewMention))

    def facts(self) -> Facts:
        fixed: list[Fixed] = []
        barred: list[Barred] = []
        bounds: list[Bound] = []
        ruled: list[Ruled] = []
        dropped: list[Dropped] = []
        outcome: Outcome | None = None
        silent: set[int] = set()
        for decision in self._decisions:
            subject = decision.to or decision.of
            match subject:
                case EventIs() if subject.kind in ("period_start", "period_end", "bout_end"):
                    bounds.extend(self._bound_of(decision, subject))
                case EventIs() if self._fits(decision, subject):
                    mentions = self._mentions(decision)
                    silent.update(i for i in mentions if isinstance(self._heard.mentions[i], CallMention))
                    barred.extend(self._barred(decision))
                    if decision.to is not None:
                        fixed.append(self._fixed(decision, subject, mentions))
                case ChallengeIs() if decision.to is None:
                    dropped.append(self._dropped(decision, subject))
                case ChallengeIs():
                    if not 0 <= subject.t <= self._seconds + _LATE_S:
                        reason = f"{clock_text(subject.t)} is not in the recording"
                        self.findings.append(_unplaced(decision, subject.t, reason))
                        continue
                    ruled.append(self._ruled(decision, subject))
                case ResultIs():
                    outcome = Outcome(subject.winner, subject.by) if decision.to is not None else None
        ruled.extend(self._implied(ruled))
        ruled.sort(key=lambda r: r.t)
        spans = [*((d.low, d.high) for d in dropped), *((r.t, r.t_outcome) for r in ruled)]
        silent.update(i for r in ruled for i in (r.asked, r.answer) if i is not None)
        # There was no other challenge right beside one that is known either.
        dropped.extend(Dropped(r.name, r.t - _AGAIN_S, r.t_outcome + _AGAIN_S) for r in ruled)
        silent.update(
            k
            for k, m in enumerate(self._heard.mentions)
            if isinstance(m, ReviewMention)
            and any(a - _ROUND_CHALLENGE_S <= m.t <= b + _ROUND_CHALLENGE_S for a, b in spans)
        )
        return Facts(
            tuple(fixed),
            tuple(barred),
            tuple(ruled),
            tuple(dropped),
            tuple(bounds),
            frozenset(silent),
            outcome=outcome,
        )

    def _fits(self, decision: Decision, event: EventIs) -> bool:
        """Whether the bout can have such an event at all."""
        if event.kind not in self._rules.kinds():
            reason = f"{self._rules.name} has no {event.kind}"
        elif not 0 <= event.t <= self._seconds + _LATE_S:
            reason = f"{clock_text(event.t)} is not in the recording"
        elif event.points and event.corner is None:
            reason = "nobody is credited with the points"
        else:
            return True
        self.findings.append(_unplaced(decision, event.t, reason))
        return False

    def _mentions(self, decision: Decision) -> tuple[int, ...]:
        found = (self._bound.get((decision.id, k)) for k in range(len(decision.words)))
        return tuple(sorted({i for i in found if i is not None}))

    def _shift(self, decision: Decision) -> float:
        """How much later its words now are than when the decision was made, in seconds."""
        for k, word in enumerate(decision.words):
            i = self._bound.get((decision.id, k))
            if i is not None:
                return round(self._heard.mentions[i].t - word.t, 2)
        return 0.0

    def _fixed(self, decision: Decision, event: EventIs, mentions: tuple[int, ...]) -> Fixed:
        brought = event.challenge is not None and event.status == "stands"
        t = max(round(event.t + self._shift(decision), 2), 0.0)
        return Fixed(decision.id, t, _move(event), event.status == "overturned", brought, mentions)

    def _barred(self, decision: Decision) -> Iterator[Barred]:
        """Says that what the program had was not there, unless the decision leaves it as it was."""
        of, to = decision.of, decision.to
        if not isinstance(of, EventIs):
            return
        if isinstance(to, EventIs):
            same = (of.corner, of.against, of.points) == (to.corner, to.against, to.points)
            if same and (of.points or of.kind == to.kind):
                return
        shift = self._shift(decision)
        low = of.t - _BESIDE_S if of.low is None else of.low
        high = of.t + _BESIDE_S if of.high is None else of.high
        yield Barred(decision.id, low + shift, high + shift, _move(of))

    def _bound_of(self, decision: Decision, event: EventIs) -> Iterator[Bound]:
        if decision.to is None or event.kind == "bout_end" or event.period is None:
            reason = "of a period only the start and the end can be set"
            self.findings.append(_unplaced(decision, event.t, reason))
            return
        yield Bound(decision.id, event.kind, event.period, event.t)

    def _ruled(self, decision: Decision, challenge: ChallengeIs) -> Ruled:
        asked, answer = self._words_of(challenge, self._mentions(decision))
        shift = self._shift(decision)
        t = max(challenge.t + shift, 0.0)
        until = None if challenge.t_outcome is None else challenge.t_outcome + shift
        if until is None:
            until = self._heard.mentions[answer].t if answer is not None else t + _LOOKED_AT_S
        return Ruled(decision.id, t, challenge.by, challenge.outcome, max(until, challenge.t), asked, answer)

    def _dropped(self, decision: Decision, challenge: ChallengeIs) -> Dropped:
        """Says that there was no such challenge, and that it is not mentioned again or decided later."""
        t = challenge.t + self._shift(decision)
        until = t + _LOOKED_AT_S if challenge.t_outcome is None else challenge.t_outcome + t - challenge.t
        return Dropped(decision.id, t - _ROUND_CHALLENGE_S, max(until, t) + _AGAIN_S)

    def _implied(self, ruled: Sequence[Ruled]) -> Iterator[Ruled]:
        """The challenges that came with decisions on events, if nobody has decided on the challenges themselves."""
        taken = [(r.t, r.t_outcome) for r in ruled]
        for decision in self._decisions:
            event = decision.to
            if not isinstance(event, EventIs) or event.challenge is None:
                continue
            c = event.challenge
            if c.outcome == "unknown" or c.t_outcome is None:
                continue
            if any(a <= c.t_outcome and c.t <= b for a, b in taken):
                continue
            taken.append((c.t, c.t_outcome))
            until = max(c.t_outcome, c.t)
            yield Ruled(decision.id, c.t, c.by, c.outcome, until, *self._words_of(c))

    def _words_of(self, c: ChallengeIs, known: Sequence[int] = ()) -> tuple[int | None, int | None]:
        """The words that ask for a challenge and those that tell its outcome. They are those ``known``, else those
        said then."""

        def find(t: float | None, *, asks: bool) -> int | None:
            fitting = [
                (abs(m.t - t) if t is not None else 0.0, i)
                for i, m in enumerate(self._heard.mentions)
                if isinstance(m, ReviewMention) and (m.what == "ask") == asks
            ]
            near = [
                (gap, i) for gap, i in fitting if i in known or (t is not None and gap <= _ROUND_CHALLENGE_S)
            ]
            return min(near, key=lambda found: (found[1] not in known, found[0]), default=(0.0, None))[1]

        return find(c.t, asks=True), find(c.t_outcome, asks=False)


def _move(event: EventIs) -> Move:
    return Move(event.kind, event.corner, event.points, event.against)
