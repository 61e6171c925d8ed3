"""The scores said so far, newest first, and what becomes of them when the board that they are held against changes."""

from __future__ import annotations

from extract.log.hypothesis import Hypothesis, Said, Score, Trail, Verdict

#: Over how many scores said before an uncalled award may be found to have come.
_LOOK_BACK = 3


def said_since(h: Hypothesis, last_event: float, within_s: float) -> list[tuple[Trail, int]]:
    """The scores said since the board last changed, newest first, one value said over at once being one; each with
    its oldest place in the trail and how many places that is back."""
    out: list[tuple[Trail, int]] = []
    trail, count = h.said, 0
    while trail is not None:
        count += 1
        item = trail.item
        if item.board != h.score or item.t < last_event:
            break
        if out and out[-1][0].item.said == item.said and out[-1][0].item.t - item.t < within_s:
            out[-1] = (trail, count)
        elif len(out) == _LOOK_BACK:
            break
        else:
            out.append((trail, count))
        trail = trail.rest
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
    if trail is None or trail.item.t < since or trail.item.board != counted or trail.item.verdict != "agrees":
        return trail
    return Trail(
        trail.item._replace(verdict="ahead", board=board), as_ahead(trail.rest, since, counted, board)
    )
