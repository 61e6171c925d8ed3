"""The criteria as they were said."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice, takewhile

from extract.checks.model import BoutRead, Finding
from extract.checks.words import score_text
from extract.mentions.model import CriteriaMention

#: An event that is called so long after the words, seconds, was there already.
_AFTER_S = 3


def check_criteria(bout: BoutRead) -> Iterator[Finding]:
    """Who was said to be ahead on criteria, where the score is level, against the log."""
    rules, sides = bout.rules, bout.sides
    recalled = [
        (index, m)
        for index, m in enumerate(bout.mentions)
        if isinstance(m, CriteriaMention)
        and m.leader is not None
        and m.grade == "named"
        and m.stance == "asserted"
    ]
    events, played, done = bout.log.events, rules.played(()), 0
    for index, m in sorted(recalled, key=lambda one: one[1].t):
        # What stands for good is played once for all that is told later.
        while (
            done < len(events) and events[done].t <= m.t + _AFTER_S and (events[done].entry.off or 0.0) <= m.t
        ):
            if events[done].entry.off is None:
                played = rules.played([events[done].entry.move], played)
            done += 1
        lately = takewhile(lambda e, m=m: e.t <= m.t + _AFTER_S, islice(events, done, None))  # type: ignore[misc]
        state = rules.replay(
            [e.entry.move for e in lately if e.entry.off is None or e.entry.off > m.t], played
        )
        if state.score[0] != state.score[1]:
            continue
        outcome = rules.outcome(state)
        leader = outcome.winner if outcome is not None else None
        if leader is not None and m.leader is not None and leader != m.leader:
            why = f"At {score_text(state.score)} {sides.name(leader)} leads on criteria, not {sides.name(m.leader)}."
            yield Finding("criteria", "warning", m.t, index, m.leader, leader, why)
