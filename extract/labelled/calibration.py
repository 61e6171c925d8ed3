"""Whether the confidence in the record can be believed: of all entries with 0.8, about eight in ten should be right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extract.labelled.labels import Truth
from extract.labelled.measures import judged
from extract.record.model import Event, Record, Result, Statement

#: A confidence and whether the entry was right.
Graded = tuple[float, bool]
_KIND_OF = {Event: "events", Statement: "verdicts", Result: "results"}
KINDS = tuple(_KIND_OF.values())
BINS = 10


def grade(truth: Truth, record: Record) -> dict[str, list[Graded]]:
    """The confidences of a record's entries with whether each was right (see ``judged``), for each of ``KINDS``."""
    out: dict[str, list[Graded]] = {kind: [] for kind in KINDS}
    for entry, right in judged(truth, record):
        out[_KIND_OF[type(entry)]].append((entry.confidence, right))
    return out


@dataclass(frozen=True, slots=True)
class Bin:
    """The cases with a confidence above ``low`` and up to ``high``: how many, their mean confidence, the share
    right."""

    low: float
    high: float
    cases: int
    confidence: float
    right: float


def reliability(graded: Sequence[Graded], bins: int = BINS) -> list[Bin]:
    """The reliability table, in bins of equal width from 0 to 1. Bins without a case are left out. A confidence of 0
    is in the first bin."""
    if not graded:
        return []
    edges = np.linspace(0.0, 1.0, bins + 1)
    confidence, right = (np.array(column, dtype=float) for column in zip(*graded, strict=True))
    place = np.searchsorted(edges[1:-1], confidence)
    return [
        Bin(
            float(edges[k]),
            float(edges[k + 1]),
            int(inside.sum()),
            float(confidence[inside].mean()),
            float(right[inside].mean()),
        )
        for k in range(bins)
        if (inside := place == k).any()
    ]


def calibration_error(graded: Sequence[Graded], bins: int = BINS) -> float | None:
    """Expected calibration error: the gap between mean confidence and share right, averaged over the bins by their
    cases (Naeini, Cooper and Hauskrecht, AAAI 2015). None without a case."""
    if not graded:
        return None
    return sum(b.cases * abs(b.confidence - b.right) for b in reliability(graded, bins)) / len(graded)
