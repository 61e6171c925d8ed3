"""Fits the weights by which a flag waits (``flag`` in the parameters of the live desk) on bouts that were replayed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from extract.labelled.live_measures import is_slip
from extract.labelled.live_replay import Doubted, Replayed
from extract.live.waiting import features

#: The weights that are fitted.
NAMES = ("always", "odds", "stood", "swapped", "stale", "ahead")
#: So strongly weights are held near where they are without labels: one of the odds, none of the others.
_HELD = 0.5
_START = np.array([0.0, 1.0, 0.0, 0.0, 0.0, 0.0])
_ROUNDS = 40


def fit(replayed: Sequence[Replayed]) -> dict[str, float]:
    """The weights, from all that was doubted in some bouts. Each of it counts once, however long it stood."""
    rows: list[list[float]] = []
    stands: list[float] = []
    counts: list[float] = []
    for one in replayed:
        for doubted in _stated(one):
            looks = [features(seen, n) for n, seen in enumerate(doubted.history, 1)]
            rows += [[look.get(name, 0.0) for name in NAMES] for look in looks]
            stands += [float(is_slip(one, doubted))] * len(looks)
            counts += [1 / len(looks)] * len(looks)
    weights = _logistic(np.array(rows), np.array(stands), np.array(counts))
    return {name: round(float(weight), 4) for name, weight in zip(NAMES, weights, strict=True)}


def held_out(replayed: Sequence[Replayed]) -> Iterator[tuple[Replayed, Mapping[str, float]]]:
    """Each bout with the weights that the others give."""
    for n, one in enumerate(replayed):
        yield one, fit([*replayed[:n], *replayed[n + 1 :]])


def _stated(one: Replayed) -> Iterator[Doubted]:
    return (doubted for doubted in one.doubted if doubted.said is not None and doubted.history)


def _logistic(rows: np.ndarray, stands: np.ndarray, counts: np.ndarray) -> np.ndarray:
    """The weights of the greatest likelihood with the prior, by Newton's method."""
    weights = _START.copy()
    for _ in range(_ROUNDS):
        p = 1 / (1 + np.exp(-rows @ weights))
        slope = rows.T @ (counts * (stands - p)) - _HELD * (weights - _START)
        curve = (rows * (counts * p * (1 - p))[:, None]).T @ rows + _HELD * np.eye(len(weights))
        weights = weights + np.linalg.solve(curve, slope)
    return weights
