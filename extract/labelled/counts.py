"""How people talk in the labelled bouts: the counts and samples that the parameters are fitted on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path

from extract.labelled.count_words import Right, count_words
from extract.labelled.labels import HEARD_AS_CALL, TrueEvent, TrueScore, Truth
from extract.labelled.truth import LabelledBout
from extract.log.hypothesis import MEMORY
from extract.log.parameters import prior_parameters
from extract.mentions import Heard, hear
from extract.mentions.context import word_signs
from extract.mentions.lexicon_check import own_lexicon
from extract.mentions.model import CallMention, ScoreMention
from extract.rules import get_ruleset
from extract.rules.base import MOST_POINTS, WARNINGS
from extract.rules.board import board_at
from extract.rules.kinds import KINDS

#: A call may be labelled this many seconds before it is heard, or after it.
_BEFORE_S, _AFTER_S = 8.0, 4.0
#: Another event within this many seconds belongs to the same flurry.
_FLURRY_S = 6.0
#: An event this many seconds before a stated score was already on the board.
_LATE_S = 2.0
#: An award is told of in passages that begin so many seconds after it at most, and end so many before it.
_TOLD_S, _EARLY_S = 5.0, 1.0
#: A label of a score is looked for within this many seconds of where it is heard, and further in coarse talk.
_PLACE_S, _PLACE_COARSE_S = 8.0, 25.0


@dataclass(slots=True)
class Counts:
    """Plain counts, and samples for the classifiers: the signs of a mention, and whether it was what it looks like
    (for ``repaired``, whether it took back the last score). ``passages`` has the words of each passage as signs, and the
    kinds that were given about then, each as the one in whose words it is told. ``talk`` has the kind of talk of passages
    and their signs; ``kinds_of_talk`` what else was seen of those that labels tell of, by the table of the parameters, the
    kind, and what it was."""

    scores: list[tuple[tuple[str, ...], bool]] = field(default_factory=list)
    calls: list[tuple[tuple[str, ...], bool]] = field(default_factory=list)
    repaired: list[tuple[tuple[str, ...], bool]] = field(default_factory=list)
    passages: list[tuple[tuple[str, ...], tuple[str, ...]]] = field(default_factory=list)
    loose: Counter[tuple[str, str]] = field(default_factory=Counter)
    ties: Counter[tuple[str, str, bool]] = field(default_factory=Counter)
    verdicts: Counter[str] = field(default_factory=Counter)
    ahead: Counter[str] = field(default_factory=Counter)
    asked: Counter[bool] = field(default_factory=Counter)
    late: Counter[bool] = field(default_factory=Counter)
    words: Right = field(default_factory=Counter)
    values: Counter[tuple[str, int]] = field(default_factory=Counter)
    repeats: list[tuple[float, bool, bool]] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)
    trust: list[tuple[str, tuple[str, ...], bool]] = field(default_factory=list)
    talk: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    kinds_of_talk: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    uncalled: int = 0
    flurries: int = 0
    events: int = 0
    seconds: float = 0.0

    @classmethod
    def merged(cls, parts: Iterable[Counts]) -> Counts:
        """The counts of all parts together. They are the same as counting over all their bouts in that order."""
        out = cls()
        for part in parts:
            for f in fields(cls):
                # In place for lists and counters: merging many parts must not copy the first again and again.
                sum_so_far = getattr(out, f.name)
                sum_so_far += getattr(part, f.name)
                setattr(out, f.name, sum_so_far)
        return out


def count(bouts: Iterable[LabelledBout], lexicons: Sequence[Path] = ()) -> Counts:
    """Counts what is heard in labelled bouts, with the user's own ``lexicons``."""
    return Counts.merged(_count_one(bout, lexicons) for bout in bouts)


def _count_one(bout: LabelledBout, lexicons: Sequence[Path]) -> Counts:
    out = Counts()
    rules = bout.truth.rules
    heard = hear(bout.transcript, rules, bout.bout, lexicon=own_lexicon(rules, lexicons))
    _count_scores(bout, heard, out)
    _count_repairs(bout, heard, out)
    _count_calls(bout, heard, out)
    _count_events(bout, out)
    _count_passages(bout, heard, out)
    out.words += count_words(bout, heard, prior_parameters())
    return out


def _count_values(bout: LabelledBout, scoring: Sequence[TrueEvent], out: Counts) -> None:
    """Which of the points that its kind can bring each award brought."""
    rules = get_ruleset(bout.truth.rules, bout.bout.edition if bout.bout else None)
    for event in scoring:
        values = rules.points_of(event.kind)
        if len(values) > 1 and event.points in values:
            out.values["near_fall" if event.kind == "near_fall" else "order", values.index(event.points)] += 1


def _count_scores(bout: LabelledBout, heard: Heard, out: Counts) -> None:
    for row in bout.truth.scores:
        out.verdicts[row.slip or "agrees"] += 1
        red, blue = board_at(bout.truth.board, row.t)
        off = abs(row.said[0] - red) + abs(row.said[1] - blue)
        if row.slip == "ahead":
            out.ahead["one" if off <= 1 else "two" if off == 2 else "more"] += 1
    for m in heard.mentions:
        if not isinstance(m, ScoreMention):
            continue
        same = labels_of(m, heard, bout.truth)
        out.scores.append((m.all_signs(), bool(same)))
        if not same:
            out.loose[m.stance, _loose(m, bout.truth)] += 1
        if same and m.first is not None and m.pair[0] != m.pair[1]:
            out.ties["score", m.tie, any(r.said in m.values() for r in same)] += 1


def said_place(truth: Truth) -> float:
    """How far from the time of its label something may be said, seconds."""
    return _PLACE_COARSE_S if truth.coarse else _PLACE_S


def labels_of(m: ScoreMention, heard: Heard, truth: Truth) -> list[TrueScore]:
    """The labelled scores that a score mention may be, with its numbers in either order, the nearest first."""
    place, at = said_place(truth), heard.said_at(m)
    same = [r for r in truth.scores if sorted(r.said) == sorted(m.pair) and abs(at - r.t) <= place]
    return sorted(same, key=lambda r: abs(at - r.t))


def _loose(m: ScoreMention, truth: Truth) -> str:
    """How numbers that are no score of the bout compare with its board: an earlier board, the board with one award
    more, or neither."""
    boards = [(0, 0), *((row.red, row.blue) for row in truth.board if row.t <= m.t)]
    values = set(m.values())
    now = boards.pop()
    if now not in values and values & set(boards[-MEMORY:]):
        return "earlier"
    gains = [(a - now[0], b - now[1]) for a, b in values]
    return "next" if any(min(gain) == 0 and 0 < max(gain) <= MOST_POINTS for gain in gains) else "other"


def _count_repairs(bout: LabelledBout, heard: Heard, out: Counts) -> None:
    """Pairs of different scores said soon after one another with no call in between: whether the first was a slip."""
    parameters = prior_parameters()
    again = parameters.table("score.again")
    last: tuple[ScoreMention, TrueScore] | None = None
    for m in heard.mentions:
        if isinstance(m, CallMention) and parameters.chance("call.sign", m.all_signs()) >= 0.5:
            last = None
        if not isinstance(m, ScoreMention):
            continue
        same = labels_of(m, heard, bout.truth)
        if not same:
            continue
        row = same[0]
        if last is not None and row.said != last[1].said and m.t - last[0].t <= again["repair_s"]:
            soon = ("soon",) if m.t - last[0].t <= again["soon_s"] else ()
            out.repaired.append(((*m.repair, *soon), last[1].slip is not None))
        last = m, row


def fits_event(m: CallMention, event: TrueEvent, near: float) -> bool:
    """Whether a call may tell of a labelled event, whoever gets it; the label may be off by ``near`` seconds."""
    if not -_BEFORE_S <= m.t - event.t <= near + _AFTER_S:
        return False
    if not event.points:
        return event.kind in m.kinds
    if m.points is not None and m.points != event.points:
        return False
    return not m.kinds or m.grade.startswith("points") or event.kind in m.kinds


def _count_calls(bout: LabelledBout, heard: Heard, out: Counts) -> None:
    events = [e for e in bout.truth.events if e.points or e.kind in WARNINGS or e.kind == "fall"]
    calls: Counter[int] = Counter()
    within = prior_parameters().get("call.late", "within_s")
    for m in heard.mentions:
        if not isinstance(m, CallMention):
            continue
        fits = [k for k, e in enumerate(events) if fits_event(m, e, bout.truth.near_s)]
        out.calls.append((m.all_signs(), bool(fits)))
        if not fits:
            continue
        at = min(fits, key=lambda k: (calls[k] > 0, abs(m.t - events[k].t)))
        event = events[at]
        if m.corner is not None and event.corner is not None:
            out.ties["call", m.tie, m.corner == event.corner] += 1
        earlier = [e for k, e in enumerate(events) if calls[k] and e.corner == event.corner]
        if earlier:
            gap = m.t - max(e.t for e in earlier if e.t <= m.t + _BEFORE_S)
            out.repeats.append((max(gap, 0.0), m.more, calls[at] > 0))
        if not calls[at] and event.points:
            said = [row.t for row in bout.truth.scores if 0 < m.t - row.t <= within]
            if said:
                out.late[event.t < max(said) - _LATE_S] += 1
        calls[at] += 1


def _count_passages(bout: LabelledBout, heard: Heard, out: Counts) -> None:
    given = [(event.t, KINDS[event.kind].told_as) for event in bout.truth.events if event.points]
    for p in heard.passages:
        kinds = {kind for t, kind in given if p.t - _TOLD_S <= t <= p.until + _EARLY_S}
        out.passages.append((word_signs(p.said, p.beside), tuple(sorted(kinds))))


def _count_events(bout: LabelledBout, out: Counts) -> None:
    scoring = [e for e in bout.truth.events if e.points]
    out.events += len(scoring)
    _count_values(bout, scoring, out)
    for challenge in bout.truth.challenges:
        earlier = [e.corner for e in scoring if e.t <= challenge.t]
        if challenge.by is not None and earlier:
            out.asked[challenge.by == earlier[-1]] += 1
    out.seconds += bout.transcript.seconds if bout.truth.seconds is None else bout.truth.seconds
    for k, event in enumerate(scoring):
        if event.called in HEARD_AS_CALL:
            continue
        out.kinds[event.kind] += 1
        if k and event.t - scoring[k - 1].t <= _FLURRY_S:
            out.flurries += 1
        else:
            out.uncalled += 1
