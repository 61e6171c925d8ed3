"""The scores said so far, newest first, and what becomes of them when the board that they are held against changes."""

from __future__ import annotations

from extract.log.hypothesis import Hypothesis, Said, SaidHistory, Score, Verdict

#: Over how many scores said before an uncalled award may be found to have come.
_LOOK_BACK = 3


def said_since(h: Hypothesis, last_event: float, within_s: float) -> list[tuple[SaidHistory, int]]:
    """The scores said since the board last changed, newest first, one value said over at once being one; each with
    its oldest place in the history and how many places that is back."""
    out: list[tuple[SaidHistory, int]] = []
    history, count, score = h.said, 0, h.score
    while history is not None and len(out) < _LOOK_BACK:
        if history.item.board != score or history.item.t < last_event:
            break
        first, places = history.run(within_s)
        if first.item.t < last_event:
            # It was said before the last event too.
            first, places = history, 1
            while first.rest is not None and first.rest.item.t >= last_event:
                first, places = first.rest, places + 1
        count += places
        out.append((first, count))
        history = first.rest
    return out


def relabelled(history: SaidHistory | None, count: int, board: Score, old: Score) -> SaidHistory | None:
    """A history whose newest ``count`` scores are held against ``board``, which had been ``old``."""
    items: list[Said] = []
    while history is not None and len(items) < count:
        items.append(history.item)
        history = history.rest
    for item in reversed(items):
        history = SaidHistory(item._replace(verdict=held_against(item, board, old), board=board), history)
    return history


def held_against(item: Said, board: Score, old: Score) -> Verdict:
    """What a score said before is once it is held against ``board``, which had been ``old``."""
    return "agrees" if item.said == board else "stale" if item.said == old else item.verdict


def as_ahead(history: SaidHistory | None, since: float, counted: Score, board: Score) -> SaidHistory | None:
    """A history in which the scores that counted an award since taken back run ahead of the board."""
    ahead: list[Said] = []
    while history is not None and history.item.t >= since:
        if history.item.board != counted or history.item.verdict != "agrees":
            break
        ahead.append(history.item._replace(verdict="ahead", board=board))
        history = history.rest
    for item in reversed(ahead):
        history = SaidHistory(item, history)
    return history
