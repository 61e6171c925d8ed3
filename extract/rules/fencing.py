"""Foil in direct elimination under the rules of the Fédération Internationale d'Escrime."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from extract.rules.base import CORNERS, Corner, Move, State, other
from extract.rules.family import Family, of


class Foil(Family):
    """Fifteen touches in three periods; cards, appeals to the video, and at a level score a minute with priority.

    ``priority`` is drawn in the break before the extra minute; ``State.control`` keeps who has it.
    """

    silent = ("yellow_card", "priority")
    decisive_running = ()

    def criteria_in_order(self, state: State) -> Iterator[tuple[str, Corner | None]]:
        """Who wins at a level score: who drew priority."""
        if state.score[0] == state.score[1]:
            yield "priority", state.control

    def _scores(self, state: State) -> Iterator[Move]:
        for corner in CORNERS:
            for points in self.points_of("touch"):
                yield Move("touch", corner, points)

    def _calls(self, state: State) -> Iterator[Move]:
        for corner in CORNERS:
            offender = other(corner)
            # A second offence of the first group, and any after a red card, is red (t.165).
            if not of(state.warnings, offender) and not of(state.penalties, offender):
                yield Move("yellow_card", None, 0, offender)
            for points in self.points_of("penalty_touch"):
                yield Move("penalty_touch", corner, points, offender)
            level = state.score[0] == state.score[1]
            if level and state.period >= len(self.period_seconds) and state.control is None:
                yield Move("priority", corner)

    def _starts(self, state: State) -> Iterator[Move]:
        if state.period < len(self.period_seconds) + len(self.extra_period_seconds):
            yield Move("period_start")

    def _changes(self, state: State, move: Move) -> dict[str, Any]:
        return {"control": move.corner} if move.kind == "priority" else {}

    def _is_end(self, state: State) -> bool:
        level = state.score[0] == state.score[1]
        if max(state.score) >= (self.data.target_score or 0) > 0:
            return True
        if state.period > len(self.period_seconds):
            return not level or not state.running
        return state.period == len(self.period_seconds) and not state.running and not level

    def _is_late(self, state: State, move: Move) -> bool:
        """Nothing is given once the bout is over: the video is looked at before the referee gives the last touch."""
        return False

    def _why_not(self, state: State, move: Move) -> str | None:
        if move.kind == "priority":
            return "drawn only once, at a level score after the last period"
        if move.kind == "yellow_card":
            return f"{move.against} has had a card; the next is red"
        return None
