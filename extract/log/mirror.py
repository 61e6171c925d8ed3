"""The same bout with its corners exchanged: mentions, facts and readings, the other way round.

The search keeps the first of readings that are equally probable, and red's come before blue's. So that this favours
neither corner, it is given the corner that the talk names first for red: a bout and its mirror image have the same log,
but for the corners.
"""

from __future__ import annotations

from dataclasses import replace

from extract.log.facts import Facts
from extract.log.hypothesis import Hypothesis, ReadingEvent, SaidHistory, nodes
from extract.log.search import SearchResult
from extract.mentions.model import (
    CallMention,
    CriteriaMention,
    MarginMention,
    Mention,
    PositionMention,
    ResultMention,
    ReviewMention,
    ScoreMention,
)
from extract.rules.base import Corner, Move, Outcome, State, other


def _corner(mention: Mention) -> Corner | None:
    match mention:
        case ScoreMention():
            return mention.first
        case CallMention() | ReviewMention():
            return mention.corner
        case MarginMention() | CriteriaMention():
            return mention.leader
        case ResultMention():
            return mention.winner
        case PositionMention():
            return mention.top
    return None


def mirrored_mention(mention: Mention) -> Mention:
    """The mention as said of the other corner. The numbers of a score stay in the order in which they were said."""
    corner = _turned(_corner(mention))
    match mention:
        case ScoreMention():
            return replace(mention, first=corner)
        case CallMention() | ReviewMention():
            return replace(mention, corner=corner)
        case MarginMention() | CriteriaMention():
            return replace(mention, leader=corner)
        case ResultMention():
            return replace(mention, winner=corner)
        case PositionMention():
            return replace(mention, top=corner)
    return mention


def mirrored_facts(facts: Facts) -> Facts:
    """What a person has decided, of the other corner."""
    return replace(
        facts,
        fixed=tuple(replace(fixed, move=_move(fixed.move)) for fixed in facts.fixed),
        barred=tuple(replace(barred, move=_move(barred.move)) for barred in facts.barred),
        ruled=tuple(replace(ruled, by=other(ruled.by)) for ruled in facts.ruled),
        outcome=_outcome(facts.outcome),
    )


def mirrored_found(found: SearchResult) -> SearchResult:
    """What a search over the mirror image has found, as of the bout itself."""
    return replace(found, readings=tuple((share, _reading(h)) for share, h in found.readings))


def _reading(h: Hypothesis) -> Hypothesis:
    history: SaidHistory | None = None
    for node in reversed(list(nodes(h.said))):
        said = node.item
        history = SaidHistory(said._replace(said=said.said[::-1], board=said.board[::-1]), history)
    return Hypothesis(
        h.logp,
        _state(h.state),
        tuple(map(_entry, h.entries)),
        tuple((t, score[::-1]) for t, score in h.boards),
        tuple(review._replace(by=other(review.by)) for review in h.reviews),
        history,
        h.quiet_since,
    )


def _turned(corner: Corner | None) -> Corner | None:
    return None if corner is None else other(corner)


def _move(move: Move) -> Move:
    return move._replace(corner=_turned(move.corner), against=_turned(move.against))


def _entry(entry: ReadingEvent) -> ReadingEvent:
    return entry._replace(move=_move(entry.move))


def _outcome(outcome: Outcome | None) -> Outcome | None:
    return None if outcome is None else outcome._replace(winner=_turned(outcome.winner))


def _state(state: State) -> State:
    return state.but(
        score=state.score[::-1],
        control=_turned(state.control),
        warnings=state.warnings[::-1],
        cautions=state.cautions[::-1],
        challenges=state.challenges[::-1],
        activity=_turned(state.activity),
        values=tuple((other(corner), points) for corner, points in state.values),
        over=_outcome(state.over),
        penalties=state.penalties[::-1],
    )
