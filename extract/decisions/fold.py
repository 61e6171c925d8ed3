"""Which decisions are in force, and which contradict each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from extract.decisions.model import ChallengeIs, Decision, EventIs, ScoreIs

#: Two decisions are about the same thing if their times are no further apart, in seconds.
_SAME_S = 1.5


@dataclass(frozen=True, slots=True)
class Force:
    """The decisions in force, in order. Then pairs that contradict each other, neither of which is in force, and what
    may be undone and redone next, the newest first."""

    decisions: tuple[Decision, ...] = ()
    conflicts: tuple[tuple[Decision, Decision], ...] = ()
    undoable: tuple[Decision, ...] = ()
    redoable: tuple[Decision, ...] = ()


def in_force(decisions: Iterable[Decision]) -> Force:
    """What is in force after all of them. A decision that was undone, or that another one in force replaces, is not.
    Two that say different things of the same are a conflict, and neither is in force, because the program cannot know
    which is right."""
    made: dict[str, Decision] = {}
    done: list[str] = []
    undone: list[str] = []
    for decision in decisions:
        if decision.do == "undo":
            if decision.target in done:
                done.remove(decision.target)
                undone.append(decision.target)
        elif decision.do == "redo":
            if decision.target in undone:
                undone.remove(decision.target)
                done.append(decision.target)
        else:
            made[decision.id] = decision
            done.append(decision.id)
            undone.clear()
    replaced = {name for at in done for name in made[at].replaces}
    standing = [made[at] for at in done if at not in replaced]
    conflicts = tuple(_conflicts(standing))
    out = {decision.id for pair in conflicts for decision in pair}
    return Force(
        tuple(_once([decision for decision in standing if decision.id not in out])),
        conflicts,
        tuple(made[at] for at in reversed(done)),
        tuple(made[at] for at in reversed(undone)),
    )


def _conflicts(standing: Sequence[Decision]) -> Iterator[tuple[Decision, Decision]]:
    for k, one in enumerate(standing):
        for other in standing[k + 1 :]:
            if _same_subject(one, other) and _says(one) != _says(other):
                yield one, other


def _once(standing: Sequence[Decision]) -> Iterator[Decision]:
    """The decisions without repetitions, as two people may decide the same. Two additions by one person mean two."""
    for k, one in enumerate(standing):
        twice = any(
            _same_subject(one, other) and not (one.do == other.do == "add" and one.by == other.by)
            for other in standing[:k]
        )
        if not twice:
            yield one


def _same_subject(one: Decision, other: Decision) -> bool:
    """Whether two decisions are about one thing."""
    if one.what != other.what:
        return False
    a, b = one.of or one.to, other.of or other.to
    if isinstance(a, EventIs) and isinstance(b, EventIs):
        if (one.of is None) != (other.of is None):
            return False
        return _near(a.t, b.t) and _nature(a) == _nature(b)
    if isinstance(a, ScoreIs) and isinstance(b, ScoreIs):
        shared = not one.words or not other.words or one.words[0].text == other.words[0].text
        return _near(a.t, b.t) and shared
    if isinstance(a, ChallengeIs) and isinstance(b, ChallengeIs):
        return _near(a.t, b.t)
    # There is one pair of sides, and one result.
    return True


def _near(a: float, b: float) -> bool:
    return abs(a - b) <= _SAME_S


def _nature(event: EventIs) -> tuple[object, ...]:
    return event.kind, event.corner, event.against, event.points


def _says(decision: Decision) -> object:
    """What a decision says, without differences of its moments that do not matter."""
    to = decision.to
    if isinstance(to, EventIs):
        moved = isinstance(decision.of, EventIs) and not _near(decision.of.t, to.t)
        return *_nature(to), to.status, round(to.t) if moved else None
    if isinstance(to, ChallengeIs):
        return to.by, to.outcome
    return replace(to, t=0.0) if isinstance(to, ScoreIs) else to
