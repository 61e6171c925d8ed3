"""The scores said so far, newest first, and what becomes of them when the board that they are held against changes."""

from __future__ import annotations

from extract.log.hypothesis import Hypothesis, Said, Score, Trail, Verdict

#: Over how many scores said before an uncalled award may be found to have come.
_LOOK_BACK = 3


def said_since(h: Hypothesis, last_event: float, within_s: float) -> list[tuple[Trail, int]]:
    """The scores said since the board last changed, newest first, one value said over at once being one; each with
    its oldest place in the trail and how many places that is back."""
    out: list[tuple[Trail, int]] = []
    trail, count, score = h.said, 0, h.score
    while trail is not None and len(out) < _LOOK_BACK:
        if trail.item.board != score or trail.item.t < last_event:
            break
        first, places = trail.run(within_s)
        if first.item.t < last_event:
            # It was said before the last event too.
            first, places = trail, 1
            while first.rest is not None and first.rest.item.t >= last_event:
                first, places = first.rest, places + 1
        count += places
        out.append((first, count))
        trail = first.rest
    return out


def relabelled(trail: Trail | None, count: int, board: Score, old: Score) -> Trail | None:
    """A trail whose newest ``count`` scores are held against ``board``, which had been ``old``."""
    items: list[Said] = []
    while trail is not None and len(items) < count:
        items.append(trail.item)
        trail = trail.rest
    for item in reversed(items):
        trail = Trail(item._replace(verdict=held_against(item, board, old), board=board), trail)
    return trail


def held_against(item: Said, board: Score, old: Score) -> Verdict:
    """What a score said before is once it is held against ``board``, which had been ``old``."""
    return "agrees" if item.said == board else "stale" if item.said == old else item.verdict


def as_ahead(trail: Trail | None, since: float, counted: Score, board: Score) -> Trail | None:
    """A trail in which the scores that counted an award since taken back run ahead of the board."""
    ahead: list[Said] = []
    while trail is not None and trail.item.t >= since:
        if trail.item.board != counted or trail.item.verdict != "agrees":
            break
        ahead.append(trail.item._replace(verdict="ahead", board=board))
        trail = trail.rest
    for item in reversed(ahead):
        trail = Trail(item, trail)
    return trail
