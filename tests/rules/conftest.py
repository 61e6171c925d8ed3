"""Bouts in shorthand: ``period_start; takedown red 2; caution blue 1``."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

import pytest

from extract.rules import Corner, Move, Ruleset, State, other

WARNINGS = ("passivity_warning", "stalling_warning", "activity_clock_start", "yellow_card")
OFFENCES = ("caution", "passivity_point", "stalling_point", "penalty_point", "penalty_touch")


def read_moves(text: str) -> list[Move]:
    """Moves from shorthand, parted by semicolons. The corner of a warning is the side warned; of a point for
    an offence, the side that gets it."""
    moves = []
    for part in text.split(";"):
        kind, *rest = part.split()
        corner = cast(Corner | None, rest[0] if rest else None)
        points = int(rest[1]) if len(rest) > 1 else 0
        if kind in WARNINGS:
            moves.append(Move(kind, None, 0, corner))
        elif kind in OFFENCES and corner is not None:
            moves.append(Move(kind, corner, points, other(corner)))
        else:
            moves.append(Move(kind, corner, points))
    return moves


@pytest.fixture(name="moves")
def moves_fixture() -> Callable[[str], list[Move]]:
    return read_moves


@pytest.fixture
def play() -> Callable[[Ruleset, str], State]:
    def run(rules: Ruleset, text: str) -> State:
        state = rules.initial()
        for move in read_moves(text):
            state = rules.apply(state, move)
        return state

    return run
